"""The gist of a text: its content words, cut to their stems, so that two wordings of one thing can be held together.

In: English prose. Out: stems in order of place. The small words of grammar are left out. The stemming is our own and
light: it only has to bring `suck`, `sucks` and `sucked` together, and never has to be shown.
"""

from __future__ import annotations

import re
from functools import lru_cache

from rapidfuzz import fuzz

WORD = re.compile(r"[^\W_]+")
SMALL = frozenset(
    "a about after all also although am among an and any are as at be because been before being both but by can could "
    "did do does done each either else even every few for from had has have having he her here hers him his how i if "
    "in into is it its itself just like many may me might more most much must my no nor not of off often on one only "
    "or other our out over own perhaps rather said same say says see seem seems she should since so some such than "
    "that the their them then there these they this those though through thus to too under until up upon us very was "
    "we were what when where whether which while who whom whose why will with without would yet you your s t "
    "people believe believed think thought tale story known".split()
)
"""Words of grammar, and the words with which a belief is reported."""
ALIKE = 84
"""Likeness, of 100, from which two stems are one word in two spellings (our choice: colour and color, grey and gray)."""
_ENDING = re.compile(r"(?:ies|ied|ing|edly|ed|es|s|ly|e)$")
_ODD = {
    "ate": "eat", "eaten": "eat", "drank": "drink", "drunk": "drink", "fed": "feed", "found": "find", "gave": "give",
    "given": "give", "went": "go", "gone": "go", "laid": "lay", "slept": "sleep", "stole": "steal", "stolen": "steal",
    "took": "tak", "taken": "tak", "made": "mak", "bit": "bit", "bitten": "bit", "bite": "bit", "flew": "fly",
    "flown": "fly", "flies": "fly", "feet": "foot", "teeth": "tooth", "mice": "mous", "geese": "goos", "men": "man",
    "women": "woman", "children": "child", "lice": "lous", "oxen": "ox", "calves": "calf", "wolves": "wolf",
    "leaves": "leaf", "died": "die", "dies": "die", "dying": "die", "blood": "blood", "need": "need", "seed": "seed",
    "breed": "breed", "weed": "weed", "speed": "speed", "milked": "milk", "caught": "catch", "hid": "hid",
    "hidden": "hid", "sang": "sing", "sung": "sing", "sing": "sing", "king": "king", "ring": "ring", "spring": "spring",
    "wing": "wing", "wings": "wing", "thing": "thing", "string": "string", "nothing": "nothing", "threw": "throw",
    "thrown": "throw", "ran": "run", "saw": "saw", "seen": "see", "fell": "fall", "fallen": "fall", "left": "left",
}  # fmt: skip


@lru_cache(maxsize=8192)
def gist(text: str) -> tuple[str, ...]:
    """The stems of the content words of a text, in order."""
    return tuple(stem(word) for word in WORD.findall(text.lower()) if word not in SMALL)


def stem(word: str) -> str:
    """The stem of one word in small letters."""
    odd = _ODD.get(word)
    if odd is not None:
        return odd
    short = _ENDING.sub("", word) if len(word) > 3 and not word.endswith("ss") else word
    if len(short) < 3:
        return word
    if word.endswith(("ies", "ied")):
        return short + "y" if len(short) > 1 else word
    if len(short) > 3 and short[-1] == short[-2] and short[-1] not in "lsz":
        return short[:-1]  # "running", "beds" is no case
    return short


def holds(stems: tuple[str, ...], wanted: str) -> bool:
    """Whether a stem is among others, in that spelling or one very like it."""
    if wanted in stems:
        return True
    if len(wanted) < 5:
        return False
    return any(len(other) > 4 and other[0] == wanted[0] and fuzz.ratio(other, wanted) >= ALIKE for other in stems)
