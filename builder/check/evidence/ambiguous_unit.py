"""ambiguous-unit: see ambiguous_unit.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.model.piece import Piece
from builder.problem import ERROR, WARNING, Problem
from builder.weigh.calculation import CalcFault
from builder.weigh.unit import find_ambiguous

NAME, SEVERITY, WAIVABLE = "ambiguous-unit", ERROR, True
TELLING = tuple(
    "gallon|pint|quart|ton|fl oz|fl. oz|fluid o|calorie|proof|ethanol|alcohol|spirit|formalin|psi|square inch".split(
        "|"
    )
)
"""Most texts, and most sentences, hold none of these words and are passed at once."""


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
    telling = [word for word in TELLING if word in whole]
    if not telling:
        return
    for sentence in piece.sentences:
        if not sentence.marks or not any(word in sentence.text.lower() for word in telling):
            continue
        for start, end, choices in find_ambiguous(sentence.text):
            if choices[0] == "°F difference":  # "rose by 3 °F" is clear to a reader, if not to a sum
                continue
            message = f"“{sentence.text[start:end]}” names more than one unit"
            mend = f"write {' or '.join(f'`{choice}`' for choice in choices)}"
            yield Problem(NAME, message, mend, spot=sentence.spot_of(start, end), file=file, severity=WARNING)
