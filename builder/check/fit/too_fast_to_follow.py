"""too-fast-to-follow: see too_fast_to_follow.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.fit.length import words_aloud
from builder.model.piece import Piece
from builder.problem import WARNING, Problem
from builder.weigh.pace import pace_of
from builder.weigh.slot import minutes, text_seconds

NAME, SEVERITY, WAIVABLE, SCOPE = "too-fast-to-follow", WARNING, True, "piece"


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A script for an audience that follows fewer words a minute than it is spoken at."""
    front, rate = piece.front, case.rules.rate_wpm("script")
    if front.piece != "script" or not front.audience:
        return
    pace = pace_of(front.audience)
    if rate <= pace.high:
        return
    words = sum(words_aloud(piece, beat) for beat in piece.beats)
    now, then = (minutes(text_seconds(words, rate_wpm=each)) for each in (rate, pace.high))
    message = f"{rate} words a minute is too fast for `{front.audience}`: {pace.high} is the most for {pace.audience}"
    mend = f"speak at {pace.high}, and plan {then} for its words in place of {now}; `words_per_minute` sets the rate"
    yield Problem(NAME, message, mend, path=("audience",))
