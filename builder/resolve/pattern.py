"""One way in which a withheld value may be written, as an expression and the words it cannot do without.

In: the words of a value. Out: `Pattern`s, which find them in text made plain by `fold` whatever stands between the
words, and know which words to ask for first, so that most texts need no search. Nothing is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

WORD = re.compile(r"[^\W\d_]+|\d+")
INITIALS = re.compile(r"(?<![\w.])(?:[A-Z]\.[ -]?){2,5}(?!\w)")
GAP = r"[\W_]+"
NUMBERS = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty"),
)


TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way of writing: `words`, all of which a text has where the expression can match, and the expression itself.

    `cased` expressions heed capitals; `weak` ones tell something only in the record's own text.
    """

    words: frozenset[str]
    expression: str
    cased: bool = False
    weak: bool = False

    def find(self, plain: str) -> Iterator[re.Match[str]]:
        """Where it stands in a text that was folded."""
        return _compiled(self.expression, self.cased).finditer(plain)


@lru_cache(maxsize=16384)
def _compiled(expression: str, cased: bool) -> re.Pattern[str]:
    return re.compile(expression, 0 if cased else re.IGNORECASE)


def sequence(words: Iterable[str], *, gap: str = GAP, tail: str = "") -> Pattern:
    """The words one after the other, as words of their own."""
    words = tuple(words)
    if any(ord(character) > 0x2E80 for word in words for character in word):  # scripts without blanks between words
        return Pattern(frozenset(), joined(words, gap))
    return Pattern(telling(words), bounded(joined(words, gap) + tail))


def bounded(expression: str) -> str:
    """The expression where no letter or digit touches it."""
    return rf"(?<![^\W_]){expression}(?![^\W_])"


def joined(words: Iterable[str], gap: str) -> str:
    """An expression for the words with `gap` between; a number also spelt out, and with leading zeros."""
    return gap.join(_number(word) if word.isdigit() else re.escape(word) for word in words)


def telling(words: Iterable[str]) -> frozenset[str]:
    """The words that a text must have; numbers may be spelt out, so they count only where there is nothing else."""
    every = frozenset(words)
    return frozenset(word for word in every if not word.isdigit()) or every


def _number(digits: str) -> str:
    plain = digits.lstrip("0") or "0"
    spelt = f"|{_spelt(int(plain))}" if len(plain) < 3 else ""
    return rf"(?:0*{plain}(?!\d){spelt})"


def _spelt(number: int) -> str:
    """An expression for a number from 0 to 99 in words."""
    if number < len(NUMBERS):
        return NUMBERS[number]
    tens, ones = divmod(number, 10)
    return TENS[tens - 2] + (rf"[\W_]?{NUMBERS[ones]}" if ones else "")
