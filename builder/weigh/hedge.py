"""Words around a number that loosen it: "about", "nearly", "more than", "or so".

In: a text and the place where a number starts or ends. Out: about, nearly, barely over, over, under, at least, at most,
"exactly" for words that make it firm ("only one"), or empty. A wording not listed is no hedge.
"""

import re
from typing import Final

_HEDGES: Final = {
    phrase: hedge
    for hedge, phrases in {
        "about": (
            "about, around, roughly, approximately, approx., approx, circa, ca., ca, c., c, some, ~, ≈, close "
            "to, near, in the region of, something like, of the order of, on the order of, an estimated, "
            "perhaps, maybe, say, broadly, more or less, in round figures"
        ),
        "nearly": (
            "nearly, almost, approaching, just under, a little under, a bit under, slightly under, just "
            "below, barely, not quite, just short of, little short of, a little less than, slightly less "
            "than, just less than, getting on for, a bit less than, a little below"
        ),
        "barely over": (
            "just over, a little over, slightly over, a bit over, just above, slightly more than, just more "
            "than, a little more than, a bit more than, little more than, a little above, slightly above"
        ),
        "over": (
            "more than, over, above, upwards of, upward of, exceeding, exceeds, exceeded, in excess of, >, "
            "greater than, larger than, longer than, heavier than, older than, well over, beyond"
        ),
        "under": (
            "less than, under, below, fewer than, <, smaller than, shorter than, lighter than, younger than, well under"
        ),
        "at least": "at least, no less than, no fewer than, not less than, not fewer than, a minimum of, ≥",
        "at most": "at most, no more than, not more than, a maximum of, ≤",
        "exactly": "exactly, only, just, precisely, up to",
    }.items()
    for phrase in phrases.split(", ")
}
_LAST: Final = frozenset(phrase.split()[-1] for phrase in _HEDGES) | {"as"}
_AFTER: Final = re.compile(
    r"(?P<more>\+(?!\w)|(?:\s\w+)?\sor more\b|\s(?:or|and) (?:over|above)\b|\s?-odd\b| at least\b)"
    r"|(?P<less>\sor (?:less|fewer|under)\b| at (?:the )?most\b)|(?P<about>(?:\s\w+)?\s(?:or so|or thereabouts)\b)"
)
_SIGNS: Final = re.compile(r"(~|≈|>|<|≥|≤)\s?[£$€]?$")


def find_hedge(text: str, start: int, *, measured: bool = True) -> str:
    """The hedge that stands before place `start`; "exactly" for the words that make a number firm.

    Before a bare count (`measured` false) "above", "below" and "beyond" say where: "above two incisors".
    """
    before = text[max(0, start - 40) : start].lower().rstrip("(£$€ \u00a0\n")
    sign = _SIGNS.search(before)
    if sign is not None:
        return _HEDGES[sign[1]]
    words = before.split()[-6:]
    if words and words[-1] in {"a", "an", "the", "between", "from"}:
        words.pop()
    if not words or words[-1] not in _LAST:
        return ""
    if len(words) > 2 and words[-1] == words[-3] == "as" and words[-2] in {"much", "many", "little", "few"}:
        words = words[:-3]
    if not measured and words[-1] in {"above", "below", "beyond"} and words[-2:-1] != ["just"]:
        return ""
    for count in range(min(5, len(words)), 0, -1):
        hedge = _HEDGES.get(" ".join(words[-count:]))
        if hedge is not None:
            return hedge
    return ""


def find_hedge_after(text: str, end: int) -> str:
    """The hedge that stands behind place `end`: "20+", "fifty or more", "500 skins or so"."""
    after = _AFTER.match(text, end)
    return "" if after is None else "at least" if after["more"] else "at most" if after["less"] else "about"


def loosens(words: str) -> bool:
    """Whether one of some words means "about": those between the ends of "15 to about 20"."""
    return any(_HEDGES.get(word) == "about" for word in words.split())
