"""Whether words come too fast for those who hear them, and read them as captions.

In: words a minute, and for whom a film is, in the words of its author. Out: which of three audiences that is, and how
the rate stands to each, in words. Refused: a rate that is not above zero raises `ValueError`.

Rates, words a minute: school 120–130 and adults with a special interest 150–160 (Described and Captioned Media Program,
captioning guidelines, n.d.); broadcast 160–180, over 200 hard for many (BBC Subtitle Guidelines, section 4; Ofcom as
quoted by BBC R&D 2015, second hand). They are ceilings: to speak more slowly does no harm.
"""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Pace:
    """An audience and the words a minute it follows, from the lower to the upper figure of the guide."""

    audience: str
    low: int
    high: int
    source: str


SCHOOL = Pace("schools", 120, 130, "Described and Captioned Media Program, n.d.")
ADULT = Pace("adults", 150, 160, "Described and Captioned Media Program, n.d.")
BROADCAST = Pace("broadcast", 160, 180, "BBC Subtitle Guidelines, section 4")
PACES = (SCHOOL, ADULT, BROADCAST)

_SCHOOL = re.compile(
    r"\b(?:school\w*|pupils?|class(?:es|room)?|child(?:ren)?|kids?|famil(?:y|ies)|nursery|key stage|ks ?[1-4]"
    r"|years? \d+|young(?:er)? (?:people|visitors))\b",
    re.IGNORECASE,
)
_BROADCAST = re.compile(r"\b(?:broadcast\w*|television|tv|radio|news)\b", re.IGNORECASE)


def pace_of(audience: str) -> Pace:
    """The pace for an audience in its author's words; families count as schools, since children are among them.

    What names neither children nor a broadcast is taken for adults.
    """
    if _SCHOOL.search(audience):
        return SCHOOL
    return BROADCAST if _BROADCAST.search(audience) else ADULT


def judge_pace(rate_wpm: int, pace: Pace) -> str:
    """How a rate stands to an audience: `too fast`, `slower than need be` or `right`."""
    if rate_wpm <= 0:
        raise ValueError("the rate must be above zero")
    if rate_wpm > pace.high:
        return "too fast"
    return "slower than need be" if rate_wpm < pace.low else "right"
