"""unreadable-file: see unreadable_file.md"""

from builder.problem import ERROR

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "unreadable-file", ERROR, False, "load"
