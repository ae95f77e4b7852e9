"""approval-out-of-date: see approval_out_of_date.md"""

from builder.problem import ERROR

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "approval-out-of-date", ERROR, False, "approve"
