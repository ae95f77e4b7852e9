"""bad-diet-table: see bad_diet_table.md"""

from builder.problem import ERROR

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "bad-diet-table", ERROR, False, "load, weigh"
