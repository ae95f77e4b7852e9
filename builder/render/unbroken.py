"""Words that must not part at the end of a row, held together: here, for the web and for print alike.

In: a text as it will be shown. Out: the same text with no-break spaces (U+00A0) for the spaces between a number and its
unit, a shortened genus and its species, a title or initials and a name, an abbreviation and the number behind it, the
day and the month of a date. No character comes or goes, so that no word moves. Refused: nothing.

A space between a number and its unit is asked for by the SI Brochure (BIPM, 9th edition, 5.4.3), and so is no break
there by most handbooks of style; the rest is common practice, no source.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from builder.weigh.unitword import read_unit

CAPITALS: Final = "A-ZÀ-ÖØ-Þ"
MONTHS: Final = "January|February|March|April|May|June|July|August|September|October|November|December"
TITLES: Final = "Dr|Mr|Mrs|Ms|Prof|St|Sir|Dame|Lord|Lady"
SHORTENED: Final = "pp?|vols?|nos?|figs?|chs?|pls?|ca?"
PLACES: Final = "[Pp]age|[Cc]hapter|[Bb]ook|[Vv]olume|[Ff]igure|[Pp]late|[Ii]mage|[Gg]allery|[Cc]ase|[Rr]oom|[Ss]helf"

_NUMBERED: Final = re.compile(r"(?<=[\d½¼¾⅓⅔]) (?=[^\W\d_])")
_DIGIT: Final = re.compile(r"[\d½¼¾⅓⅔°]")
_WITH_DIGITS: Final = (
    r"(?<=\d) (?=[%‰°±])",
    r"(?<=±) (?=\d)",
    r"(?<=[a-z],) (?=(?:1[5-9]|20)\d\d\b)",  # Linnaeus, 1758
    r"(?<=°) (?=[NSEW]\b)",
    rf"(?<=\d) (?=(?:{MONTHS}|BC|BCE|AD|CE)\b)",
    rf"\b(?:{PLACES}) (?=\d)",
    r"\b(?:doi|DOI|ISBN|ISSN) (?=\d)",
    r"(?<=\b[nNpP]) (?=[=<>] \d)",
    r"(?<=\b[nNpP] [=<>]) (?=\d)",
)
_WITHOUT: Final = (
    rf"(?<=\b[{CAPITALS}]\.) (?=(?!and\b)[a-z]{{3}}|[{CAPITALS}])",
    r"(?<=[a-z]) (?=(?:spp?|cf|aff|subsp|var)\.(?!\w))",
    rf"\b(?:{TITLES})\b\.? (?=[{CAPITALS}])",
    rf"\b(?:{SHORTENED})\. (?=\d|[ivxlcIVXLC]+\b)",
)
_SIGNS: Final = (". ", *(f" {name}." for name in ("sp", "spp", "cf", "aff", "subsp", "var")))
"""One of these, or a title, has every text in which words without a digit are held together."""
_TITLED: Final = tuple(f"{title} " for title in TITLES.split("|"))
_LETTERS: Final = re.compile("|".join(_WITHOUT))
_ANY: Final = re.compile("|".join((*_WITH_DIGITS, *_WITHOUT)))
"""Each expression ends with the space that is held."""


@lru_cache(maxsize=4096)
def keep_together(text: str) -> str:
    """The text, its spaces no-break spaces where a row must not end."""
    if " " not in text:
        return text
    if _DIGIT.search(text) is None:
        if not any(sign in text for sign in _SIGNS) and not any(title in text for title in _TITLED):
            return text
        return _LETTERS.sub(_hold, text)
    text = _ANY.sub(_hold, text)
    return _NUMBERED.sub(lambda found: "\u00a0" if _is_unit(text, found.start()) else " ", text)


def _hold(found: re.Match[str]) -> str:
    return f"{found[0][:-1]}\u00a0"


def _is_unit(text: str, at: int) -> bool:
    name, _ = read_unit(text, at)
    return bool(name) and not name.startswith("1/")  # no unit of its own: "122 a year"
