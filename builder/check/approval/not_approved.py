"""not-approved: see not_approved.md"""

from builder.problem import WARNING

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "not-approved", WARNING, False, "approve"
