"""One way in which a withheld value may be written, as an expression and the words it cannot do without.

In: the words of a value. Out: `Pattern`s, which find them in text made plain by `fold` whatever stands between the
words, and know which signs to ask for first, so that most texts need no search. Nothing is refused.

A sign is a word in small letters (`mill`), a word with its number (`row 14`), a surname with an initial (`p.brown`) or
a title (`@brown`), or bare initials (`PQ`). What lacks a sign of a pattern cannot match it, and all signs of a text are
had in one reading.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

WORD = re.compile(r"[^\W\d_]+|\d+")
INITIALS = re.compile(r"(?<![\w.])(?:[A-Z]\.[ -]?){2,5}(?!\w)")
INITIAL_FIRST = re.compile(r"([A-Z])(?<![^\W_].)\. ?(?:[A-Z]\.?[ -]?){0,3}([A-Z][^\W\d_]+)")
INITIAL_LAST = re.compile(r"([A-Z][^\W\d_]+), ([A-Z])\.")
TITLED = re.compile(r"(?:Mr|Mrs|Ms|Miss|Dr|Prof|Professor|Sir|Lady|Lord|Rev)\b\.? ([A-Z][^\W\d_]+)")
GAP = r"[\W_]+"
NUMBERS = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty"),
)

TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
DIGITS = 9
"""Digits of a number at most that a word may carry, as a row does; a longer one, as a barcode, is a word of its own."""
WITHIN = r"[\W_]*(?:(?:no|nr|number)[\W_]+)?"
"""What may stand between a word and its number."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way of writing: `signs`, all of which a text has where the expression can match, and the expression itself.

    `cased` expressions heed capitals; `weak` ones tell something only in the record's own text.
    """

    signs: frozenset[str]
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


def numbered(words: Iterable[str]) -> frozenset[str]:
    """The signs of words of which some carry a number: `row 14`, and the words that carry none."""
    found: list[str] = []
    for word in words:
        if not word.isdigit():
            found.append(word)
        elif found and " " not in found[-1] and not found[-1].isdigit() and len(word) <= DIGITS:
            found[-1] = f"{found[-1]} {int(word)}"
        else:
            found.append(word)
    letters = frozenset(sign for sign in found if not sign.isdigit())
    return letters or frozenset(found)


def number_finder(labels: Iterable[str]) -> re.Pattern[str]:
    """Finds each of these words with the number it carries, in digits (group 2) or spelt out (group 3)."""
    known = sorted(map(re.escape, labels))
    label = "|".join(known) if len(known) <= 64 else r"[^\W\d_]+"
    return re.compile(
        rf"(?<![^\W_])({label})(?:{WITHIN}(\d{{1,{DIGITS}}})(?!\d)|[\W_]+(?:(?:no|nr|number)[\W_]+)?({ANY_SPELT})(?![^\W\d_]))"
    )


def number_sign(found: re.Match[str]) -> str:
    """The sign of a word and its number: `row 14`."""
    return f"{found[1]} {int(found[2]) if found[2] else SPELT[found[3]]}"


def _number(digits: str) -> str:
    plain = digits.lstrip("0") or "0"
    if len(plain) > DIGITS:
        return rf"(?:0*{plain}(?!\d))"
    spelt = f"|{_spelt(int(plain))}" if len(plain) < 3 else ""
    roman = f"|{roman_numeral(int(plain))}" if 1 < int(plain) < 100 else ""  # "store I" may be the start of "I stood"
    return rf"(?:0*{plain}(?!\d){spelt}{roman})"


def roman_numeral(number: int) -> str:
    """A number from 1 to 99 in Roman numerals, in small letters."""
    ten, one = divmod(number, 10)
    rows = (("x", "l", "c"), ("i", "v", "x"))
    forms = ("", "{0}", "{0}{0}", "{0}{0}{0}", "{0}{1}", "{1}", "{1}{0}", "{1}{0}{0}", "{1}{0}{0}{0}", "{0}{2}")
    return "".join(forms[digit].format(*row) for digit, row in zip((ten, one), rows, strict=True))


def _spelt(number: int) -> str:
    """An expression for a number from 0 to 99 in words."""
    if number < len(NUMBERS):
        return NUMBERS[number]
    tens, ones = divmod(number, 10)
    return TENS[tens - 2] + (rf"[\W_]?{NUMBERS[ones]}" if ones else "")


SPELT = {
    **{word: number for number, word in enumerate(NUMBERS)},
    **{
        f"{ten}{gap}{one}": 10 * i + j
        for i, ten in enumerate(TENS, 2)
        for j, one in enumerate(NUMBERS[1:10], 1)
        for gap in ("", " ", "-")
    },
    **{ten: 10 * i for i, ten in enumerate(TENS, 2)},
    **{roman_numeral(number): number for number in range(2, 100)},
}
"""Numbers from 0 to 99 in words and in Roman numerals."""
ANY_SPELT = "|".join(sorted(SPELT, key=lambda word: (-len(word), word)))
"""An expression for any of them, the longest first."""
