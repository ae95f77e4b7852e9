"""approver-not-entitled: see approver_not_entitled.md"""

from builder.problem import ERROR

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "approver-not-entitled", ERROR, False, "approve"
