"""repeated-key: see repeated_key.md"""

from builder.problem import ERROR

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "repeated-key", ERROR, False, "load"
