"""too-many-words: see too_many_words.md"""

from collections.abc import Iterator, Mapping

from builder.check.case import Case
from builder.check.fit.length import count_words
from builder.load.shape import suggest
from builder.model.museum import HouseRules
from builder.model.piece import Piece
from builder.problem import ERROR, WARNING, Path, Problem, Severity, Spot

NAME, SEVERITY, WAIVABLE, SCOPE = "too-many-words", WARNING, True, "piece"
LIMITS: Mapping[str, tuple[int, int]] = {
    "title": (7, 10),
    "introductory panel": (150, 300),
    "section panel": (150, 200),
    "group label": (80, 150),
    "object label": (60, 100),
    "identification line": (20, 25),
    "caption": (30, 60),
    "spoken description": (300, 350),
}
"""Kind of text to the words above which it warns, and above which it is an error; the page names the sources."""
USUAL = "object label"
"""What a label is taken for that does not say its kind; then its length is never an error."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A text with more words than its kind bears, and a label's title with more than a title bears."""
    if case.pieces.get(piece.id) is not piece:
        return
    rules, label = case.rules, piece.front.piece == "label"
    if label:
        yield from _judge_title(piece, limits_of(rules, "title"))
    kind = _plain(piece.front.kind or (USUAL if label else piece.front.piece))
    limits = limits_of(rules, kind)
    if limits is None:
        if label:
            known = [*LIMITS, *(name for name in map(_plain, rules.words) if name not in LIMITS)]
            message = f"there is no kind of label `{piece.front.kind}`{suggest(kind, known)}, so no limit is kept"
            mend = f"write one of {', '.join(f'`{name}`' for name in known)}"
            yield Problem(NAME, message, mend, path=("kind",))
        return
    counted = 0
    warn, error = limits
    over: Spot | None = None
    for block in piece.blocks:
        for sentence in block.sentences:
            counted += count_words(sentence.text)
            if over is None and counted > warn:
                over = sentence.spot
    if over is not None:
        firm = piece.front.kind is not None or not label
        severity = ERROR if error is not None and counted > error and firm else WARNING
        limit = error if severity is ERROR and error is not None else warn
        what = f"a text of the kind `{kind}`" if firm else f"this label, taken for an `{kind}` as it has no `kind`,"
        yield _problem(f"{what} has {counted} words; {limit} is the most", counted - warn, severity, spot=over)


def limits_of(rules: HouseRules, kind: str) -> tuple[int, int | None] | None:
    """The words of a kind from which it warns and errs; a house rule of one number keeps the error's ratio.

    A kind of the house's own with one number only warns.
    """
    usual = LIMITS.get(kind)
    house = next((limit for name, limit in rules.words.items() if _plain(name) == kind), None)
    if house is None:
        return usual
    if len(house) == 2:
        return house[0], house[1]
    return house[0], (house[0] * usual[1] * 2 + usual[0]) // (usual[0] * 2) if usual else None


def _plain(kind: str) -> str:
    return " ".join(kind.lower().replace("-", " ").replace("_", " ").split())


def _judge_title(piece: Piece, limits: tuple[int, int | None] | None) -> Iterator[Problem]:
    counted = count_words(piece.front.title)
    if limits and counted > limits[0]:
        warn, error = limits
        severity = ERROR if error is not None and counted > error else WARNING
        limit = error if severity is ERROR and error is not None else warn
        message = f"the title has {counted} words; {limit} is the most"
        yield Problem(NAME, message, f"cut {_words(counted - warn)}", path=("title",), severity=severity)


def _problem(message: str, excess: int, severity: Severity, *, spot: Spot, path: Path = ()) -> Problem:
    mend = f"cut {_words(excess)}: here the limit is passed"
    return Problem(NAME, message, mend, path=path, spot=spot, severity=severity)


def _words(count: int) -> str:
    return "1 word" if count == 1 else f"{count} words"
