"""recheck-due: see recheck_due.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.problem import WARNING, Problem
from builder.weigh.date import parse_date

NAME, SEVERITY, WAIVABLE = "recheck-due", WARNING, False


def check(case: Case) -> Iterator[Problem]:
    """A claim whose day for looking again has come."""
    for key, claim in case.record.claims.items():
        due = parse_date(claim.recheck) if claim.recheck else None
        day = due and (due.first or due.last)
        if day and day <= case.today:
            yield Problem(
                NAME,
                f"claim `{key}` was to be looked at again by {claim.recheck}",
                "look whether newer work changes it, set `seen` of its sources, and give `recheck` a new date",
                path=("claims", key, "recheck"),
            )
