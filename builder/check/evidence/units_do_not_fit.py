"""units-do-not-fit: see units_do_not_fit.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.problem import ERROR, Problem
from builder.weigh.calculation import CalcFault

NAME, SEVERITY, WAIVABLE = "units-do-not-fit", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """A calculation in which two dimensions meet that cannot."""
    for key, result in case.weighed.calculations.items():
        if isinstance(result, CalcFault) and result.fault == "units-do-not-fit":
            message = f"the calculation `{key}`: {result.message}"
            yield Problem(NAME, message, result.mend, path=("calculations", key, "result"))
