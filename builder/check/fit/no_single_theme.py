"""no-single-theme: see no_single_theme.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.fit.length import count_words
from builder.load.sentence import split_sentences
from builder.model.piece import Piece
from builder.problem import WARNING, Problem

NAME, SEVERITY, WAIVABLE, SCOPE = "no-single-theme", WARNING, True, "piece"
MOST_WORDS, LEAST_WORDS = 25, 3
"""Above the one a theme is more than one thought (Serrell, at second hand); below the other, a topic (our choice)."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A talk without a theme, or with one that is not a single sentence of at most 25 words."""
    if piece.front.piece != "talk" or case.pieces.get(piece.id) is not piece:
        return
    theme = piece.front.theme
    if theme is None:
        mend = "add `theme: …`, one whole sentence that a visitor should carry home"
        yield Problem(NAME, "the talk has no theme", mend, path=("title",))
        return
    faults = list(_faults(theme))
    if faults:
        mend = f"write one sentence of at most {MOST_WORDS} words that answers “so what?”"
        yield Problem(NAME, f"the theme {' and '.join(faults)}", mend, path=("theme",))


def _faults(theme: str) -> Iterator[str]:
    sentences, words = len(split_sentences(theme)), count_words(theme)
    if sentences > 1:
        yield f"is {sentences} sentences"
    elif ";" in theme:
        yield "is two sentences joined by a semicolon"
    if words > MOST_WORDS:
        yield f"has {words} words, {MOST_WORDS} are the most"
    elif words < LEAST_WORDS:
        yield "names a topic and says nothing of it"
    if theme.rstrip("\"'”’»)] ").endswith("?"):
        yield "asks, where it should answer"
