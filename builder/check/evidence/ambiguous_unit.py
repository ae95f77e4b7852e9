"""ambiguous-unit: see ambiguous_unit.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.model.piece import Piece
from builder.problem import ERROR, WARNING, Problem
from builder.weigh.calculation import CalcFault
from builder.weigh.unit import ambiguous_unit

NAME, SEVERITY, WAIVABLE = "ambiguous-unit", ERROR, True
LIKELY = re.compile(r"gallon|pint|quart|ton|ounce|\boz\b|proof|ethanol|alcohol|formalin|psi|calorie", re.IGNORECASE)
TELLING = ("gallon", "pint", "quart", "ton", "ounce", "oz", "proof", "ethanol", "alcohol", "formalin", "psi", "calorie")
"""Most texts hold none of these words and are passed at once."""


def check(case: Case) -> Iterator[Problem]:
    """A unit that names more than one: in a calculation an error, in a text a warning."""
    for key, result in case.weighed.calculations.items():
        if isinstance(result, CalcFault) and result.fault == "ambiguous-unit":
            inputs = case.record.calculations[key].inputs
            path = ("calculations", key, "inputs", result.name, "unit") if result.name in inputs else None
            message = f"the calculation `{key}`: {result.message}"
            yield Problem(NAME, message, result.mend, path=path or ("calculations", key, "result"))
    for file, piece in case.texts:
        yield from _in_text(file, piece)


def _in_text(file: str, piece: Piece) -> Iterator[Problem]:
    whole = " ".join(sentence.text for sentence in piece.sentences).lower()
    if not any(word in whole for word in TELLING):
        return
    for sentence in piece.sentences:
        found = LIKELY.search(sentence.text)
        if not found or not sentence.marks:
            continue
        choices = ambiguous_unit(sentence.text)
        if choices:
            message = f"“{found.group()}” names more than one unit"
            mend = f"write {' or '.join(f'`{choice}`' for choice in choices)}"
            spot = sentence.spot_of(*found.span())
            yield Problem(NAME, message, mend, spot=spot, file=file, severity=WARNING)
