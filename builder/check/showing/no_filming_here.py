"""no-filming-here: see no_filming_here.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.model.piece import Piece
from builder.problem import ERROR, WARNING, Problem

NAME, SEVERITY, WAIVABLE, SCOPE = "no-filming-here", ERROR, True, "piece"


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """Objects of a script that lie in a collection where filming is forbidden, or must be asked for."""
    if piece.front.piece != "script":
        return
    for index, key in enumerate(piece.front.objects):
        thing = case.record.objects.get(key)
        collection = case.museum.collections.get(thing.collection) if thing else None
        if thing is None or collection is None or collection.filming == "allowed":
            continue
        because = f" ({collection.because})" if collection.because else ""
        where = f"`{key}` lies in the collection `{thing.collection}`"
        if collection.filming == "forbidden":
            message = f"{where}, where filming is forbidden{because}"
            mend = "film another object, or have the curator lift the rule in museum.yml"
            yield Problem(NAME, message, mend, path=("objects", index))
        elif "filming" in collection.model_fields_set:
            message = f"{where}, where filming must be asked for{because}"
            mend = "ask the curator before the day, then waive this warning with the name and the date"
            yield Problem(NAME, message, mend, path=("objects", index), severity=WARNING)
        else:
            message = f"{where}, which does not say whether it may be filmed"
            mend = "ask the curator, and add `filming: allowed`, `ask` or `forbidden` to it in museum.yml"
            yield Problem(NAME, message, mend, path=("objects", index), severity=WARNING)
