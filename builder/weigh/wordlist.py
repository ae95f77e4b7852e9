"""Lists of words as what a sentence is searched with.

In: words with blanks between. Out: sets, and expressions that heed no capitals. Nothing is refused.
"""

from __future__ import annotations

import re
from functools import lru_cache

LETTERS = re.compile(r"[^\W\d_¹²³⁰-₉¼½¾⅐-↉]+")
"""A run of letters; signs such as ½ and ² are none."""


def word_set(text: str) -> frozenset[str]:
    """The words of the text."""
    return frozenset(text.split())


def any_of(words: str) -> str:
    """An expression for any one of the words."""
    return "(?:" + "|".join(words.split()) + ")"


def heedless(pattern: str) -> re.Pattern[str]:
    """The expression, whatever the capitals."""
    return re.compile(pattern, re.IGNORECASE)


@lru_cache(maxsize=1024)
def words_in(text: str) -> frozenset[str]:
    """The words of a text in small letters, each a run of letters: had once, as many rules ask for them."""
    return frozenset(LETTERS.findall(text.lower()))
