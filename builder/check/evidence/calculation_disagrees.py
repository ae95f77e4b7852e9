"""calculation-disagrees: see calculation_disagrees.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.problem import ERROR, Problem
from builder.weigh.calculation import CalcFault, agrees, spell_value

NAME, SEVERITY, WAIVABLE = "calculation-disagrees", ERROR, False
ELSEWHERE = {"units-do-not-fit", "ambiguous-unit"}
"""Faults that have a check of their own."""


def check(case: Case) -> Iterator[Problem]:
    """A calculation that comes to something else than the text says, or to nothing."""
    for key, result in case.weighed.calculations.items():
        calculation = case.record.calculations[key]
        path = ("calculations", key, "result")
        if isinstance(result, CalcFault):
            if result.fault not in ELSEWHERE:
                where = ("calculations", key, "inputs", result.name) if result.name in calculation.inputs else path
                yield Problem(NAME, f"the calculation `{key}` has no result: {result.message}", result.mend, path=where)
        elif calculation.result.says and not agrees(result, calculation.result.says):
            digits = max(4, 1 + max(map(len, re.findall(r"[\d.,]+", calculation.result.says)), default=0))
            low, high = (spell_value(value, min(digits, 15)) for value in (result.low, result.high))
            comes = low if low == high else f"{low} to {high}"
            unit = "" if result.unit == "count" else f" {result.unit}"
            message = f"the calculation `{key}` comes to {comes}{unit}; the text says `{calculation.result.says}`"
            mend = f"write what it comes to, or look at the inputs: {result.working}"
            yield Problem(NAME, message, mend, path=(*path, "says"))
