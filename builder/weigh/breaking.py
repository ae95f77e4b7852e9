"""Where a caption may be broken: into captions, and a caption into lines.

In: words in order, with what binds each to the next. Out: where to cut. The rules are those of the BBC Subtitle
Guidelines and of the Described and Captioned Media Program (n.d.): at most 37 characters a line and two lines; no break
between article and noun, preposition and phrase, pronoun and verb; best at the end of a sentence, then of a clause. The
cuts are the cheapest in all, by dynamic programming; the costs are our choice. Only English words are known.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cache

LINE_CHARACTERS = 37
LINES = 2
INSEPARABLE, TIED, LOOSE, CLAUSE, SENTENCE = 60, 12, 4, 1, 0
"""What a break costs: within a number or name; after an article and the like; elsewhere; after a comma or a stop."""


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


ARTICLES = _words(
    "a an the this that these those my your his her its our their no every each some any both such one two three four "
    "five six seven eight nine ten"
)
PREPOSITIONS = _words(
    "about above across after against along among around as at before behind below beneath beside between beyond by "
    "down during for from in inside into like near of off on onto out outside over past per round since than through "
    "throughout to toward towards under until up upon with within without"
)
PRONOUNS = _words("i you he she it we they who which there what")
AUXILIARIES = _words(
    "is are was were be been being am has have had do does did will would shall should can could may might must not "
    "don't don’t doesn't doesn’t didn't didn’t isn't isn’t can't can’t won't won’t very too so more most less"
)
JOINTS = _words("and but or nor yet because although though while when where who which that if unless so whereas until")
NUMERAL = re.compile(r"[(“\"]?[–−-]?[0-9][0-9,.:]*")
OPENING = "\"'“‘(["
CLOSING = "\"'”’)]"


def break_cost(before: str, after: str) -> int:
    """What it costs to break between two words; the higher, the worse it reads."""
    bare = before.rstrip(CLOSING)
    if bare.endswith((".", "!", "?", "…")) and not NUMERAL.fullmatch(bare):
        return SENTENCE if len(bare.strip(OPENING)) > 2 or not bare[0].isupper() else INSEPARABLE  # “C. europaeus”
    if bare.endswith((",", ";", ":")) or before in ("–", "—"):
        return CLAUSE
    word = bare.strip(OPENING).lower()
    if after in ("–", "—") or NUMERAL.fullmatch(bare):
        return INSEPARABLE
    if word in ARTICLES or word in PREPOSITIONS:
        return TIED
    if word in PRONOUNS:
        return TIED - 1
    if bare[:1].isupper() and after.strip(OPENING)[:1].isupper() and bare == before:
        return TIED  # a person's name, or a place
    if word in AUXILIARIES or word in JOINTS:
        return TIED // 2 + 1
    return CLAUSE + 1 if after.strip(OPENING).lower() in JOINTS else LOOSE


def break_lines(words: Sequence[str], bound: Sequence[int]) -> tuple[tuple[str, ...], int] | None:
    """The words in one line, or in two at the best place, with the cost; None where two lines do not hold them.

    `bound[i]` is what a break after word `i` costs. A single word that is longer than a line has it to itself.
    """
    whole = " ".join(words)
    if len(whole) <= LINE_CHARACTERS or len(words) == 1:
        return (whole,), 0
    best: tuple[int, int, tuple[str, ...]] | None = None
    for cut in range(1, len(words)):
        first, second = " ".join(words[:cut]), " ".join(words[cut:])
        if (len(first) > LINE_CHARACTERS and cut > 1) or (len(second) > LINE_CHARACTERS and len(words) - cut > 1):
            continue
        found = (bound[cut - 1] * 4 + abs(len(first) - len(second)) // 4, cut, (first, second))
        if best is None or found < best:
            best = found
    return (best[2], best[0]) if best else None


def cut_captions(
    words: Sequence[str], bound: Sequence[int], judge: Callable[[int, int], int]
) -> tuple[tuple[int, int, tuple[str, ...]], ...]:
    """The words cut into captions, each (first, one past the last, its lines), so that the whole costs least.

    `bound[i]` is what a break after word `i` costs; `judge(first, end)` what a caption of those words costs beside.
    """
    count = len(words)
    most = (LINE_CHARACTERS + 1) * LINES // 2 + 1

    @cache
    def lines(first: int, end: int) -> tuple[tuple[str, ...], int] | None:
        return break_lines(words[first:end], bound[first:end])

    cheapest: list[tuple[int, int]] = [(0, 0)]
    for end in range(1, count + 1):
        choices = []
        for first in range(end - 1, max(end - most, 0) - 1, -1):
            laid = lines(first, end)
            if laid is None:
                break  # more words fit even less
            breaking = 0 if end == count else bound[end - 1] * 6
            choices.append((cheapest[first][0] + laid[1] + breaking + judge(first, end), first))
        cheapest.append(min(choices))
    cuts, end = [], count
    while end:
        first = cheapest[end][1]
        laid = lines(first, end)
        assert laid
        cuts.append((first, end, laid[0]))
        end = first
    return tuple(reversed(cuts))
