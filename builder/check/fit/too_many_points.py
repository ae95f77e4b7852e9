"""too-many-points: see too_many_points.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.model.piece import Beat, Piece
from builder.problem import ERROR, WARNING, Problem

NAME, SEVERITY, WAIVABLE, SCOPE = "too-many-points", WARNING, True, "piece"
WARN, STOP = 4, 7


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A talk that makes more points than listeners keep."""
    if piece.front.piece != "talk" or case.pieces.get(piece.id) is not piece:
        return
    points = points_of(piece)
    if len(points) > WARN:
        severity = ERROR if len(points) > STOP else WARNING
        limit = STOP if severity is ERROR else WARN
        message = f"the talk makes {len(points)} points; {limit} is the most"
        mend = "join beats that say one thing, or mark those to be told only on request `keep=spare`"
        yield Problem(NAME, message, mend, spot=points[limit].spot, severity=severity)


def points_of(piece: Piece) -> tuple[Beat, ...]:
    """The beats that make a point: neither the first nor the last, with which a talk opens and closes, nor spare."""
    return tuple(beat for beat in piece.beats[1:-1] if beat.keep != "spare")
