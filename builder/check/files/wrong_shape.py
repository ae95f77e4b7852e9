"""wrong-shape: see wrong_shape.md"""

from builder.problem import ERROR

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "wrong-shape", ERROR, False, "load"
