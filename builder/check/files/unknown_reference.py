"""unknown-reference: see unknown_reference.md"""

from builder.problem import ERROR

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "unknown-reference", ERROR, False, "resolve"
