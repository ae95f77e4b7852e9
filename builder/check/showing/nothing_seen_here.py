"""nothing-seen-here: see nothing_seen_here.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.fit.length import is_spoken
from builder.model.piece import Piece
from builder.problem import WARNING, Problem

NAME, SEVERITY, WAIVABLE, SCOPE = "nothing-seen-here", WARNING, True, "piece"


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A beat of a script that speaks before it says what is seen."""
    if piece.front.piece != "script" or case.pieces.get(piece.id) is not piece:
        return
    for beat in piece.beats:
        for block in beat.blocks:
            if block.kind == "quote":
                break
            if is_spoken(piece, block) and block.sentences:
                what = f"the beat “{beat.title}”" if beat.title else "the opening"
                message = f"{what} speaks, and nothing says what is seen meanwhile"
                mend = "put a line before it that starts with `>` and says what the picture shows"
                yield Problem(NAME, message, mend, spot=block.sentences[0].spot)
                break
