"""The gist of a text: its content words, cut to their stems, so that two wordings of one thing can be held together.

In: English prose. Out: stems in order of place. The small words of grammar are left out. The stemming is our own and
light: it only has to bring `suck`, `sucks` and `sucked` together, and never has to be shown.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

from rapidfuzz import fuzz

_BLANKS = {ord(sign): " " for sign in ".,;:!?()[]{}\"'`´‘’“”„«»…–—-/\\*_|<>=+%&#@~"}
_SMALL = """
a about after all also although am among an and any are as at be because been before being both but by can could did
do does done each either else even every few for from had has have having he her here hers him his how i if in into is
it its itself just like many may me might more most much must my no nor not of off often on once one only or other our
out over own perhaps rather said same say says see seem seems she should since so some such than that the their them
then there these they this those though through thus to too under until up upon us very was we were what when where
whether which while who whom whose why will with without would yet you your s t people believe believed think thought
tale story known
"""
SMALL = frozenset(_SMALL.split())
"""Words of grammar, and the words with which a belief is reported."""
ALIKE = 84
"""Likeness, of 100, from which two stems are one word in two spellings (our choice)."""
_ENDING = re.compile(r"(?:ies|ied|ing|edly|ed|es|s|ly|e)$")
_ODD_STEMS = """
ate=eat eaten=eat drank=drink drunk=drink fed=feed found=find gave=give given=give went=go gone=go laid=lay
slept=sleep stole=steal stolen=steal took=tak taken=tak made=mak bit=bit bitten=bit bite=bit flew=fly flown=fly
flies=fly feet=foot teeth=tooth mice=mous geese=goos men=man women=woman children=child lice=lous oxen=ox calves=calf
wolves=wolf leaves=leaf died=die dies=die dying=die blood=blood need=need seed=seed breed=breed weed=weed speed=speed
milked=milk caught=catch hid=hid hidden=hid sang=sing sung=sing sing=sing king=king ring=ring spring=spring wing=wing
wings=wing thing=thing string=string nothing=nothing threw=throw thrown=throw ran=run saw=saw seen=see fell=fall
fallen=fall left=left
"""
_ODD = dict(pair.split("=") for pair in _ODD_STEMS.split())


@lru_cache(maxsize=8192)
def gist(text: str) -> tuple[str, ...]:
    """The stems of the content words of a text, in order."""
    return tuple([stem(word) for word in text.lower().translate(_BLANKS).split() if word not in SMALL])


@lru_cache(maxsize=16384)
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


def count_shared(wanted: Iterable[str], said: Iterable[str]) -> int:
    """How many of the stems wanted are among those said, in that spelling or one very like it."""
    among = frozenset(said)
    missing = [stem for stem in wanted if stem not in among]
    exact = sum(stem in among for stem in wanted)
    if not exact:
        return 0
    return exact + sum(any(_alike(stem, other) for other in among) for stem in missing)


def _alike(one: str, other: str) -> bool:
    return len(one) > 4 and len(other) > 4 and one[0] == other[0] and fuzz.ratio(one, other) >= ALIKE
