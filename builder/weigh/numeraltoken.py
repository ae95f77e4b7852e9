"""Digits and number words of a text, one by one, before they are read together as numerals.

In: a text, and the same text in small letters. Out: tokens in order, digits with their value. Left out are digits in
addresses, DOIs, ISBNs, catalogue numbers, codes (`PMC3574350`, `H2O`), volume and page numbers. No text raises.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, NamedTuple

from builder.weigh.wordlist import LETTERS, words_in


@dataclass(frozen=True, slots=True)
class Numeral:
    """One numeral: its value (`low` = `high` but for decades and the like) and `step`, its last digit's place.

    `kind` is plain, year, ordinal, share (a fraction of one) or weak ("one", perhaps the pronoun; "double"). A `band`
    is met by any value in it. `scale` is the million of "1.2 million"; `parts` the 9 and 10 of "nine out of ten".
    """

    low: Decimal
    high: Decimal
    step: Decimal
    kind: str
    start: int
    end: int
    band: bool = False
    scale: Decimal = Decimal(1)
    parts: tuple[Decimal, Decimal] | None = None
    unit: str = ""


class Token(NamedTuple):
    """One piece of a numeral; `code` says what kind, `numeral` is set for digits and signs such as ½."""

    code: str
    value: int
    start: int
    end: int
    numeral: Numeral | None = None


_ONES: Final = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TEENS: Final = (
    "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"
)  # fmt: skip
_TENS: Final = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_ORDINALS: Final = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
    "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth",
    "twentieth"
)  # fmt: skip
_SCALES: Final = {
    "dozen": 12, "hundred": 100, "thousand": 1000, "million": 10**6, "billion": 10**9, "trillion": 10**12,
}  # fmt: skip
# one: a digit, teen: 10 to 19, ten: 20 to 90, scale: hundred, many: hundreds, ord: ordinal, den: thirds, times: twice
_WORDS: Final[dict[str, tuple[str, int]]] = {
    **{word: ("one", value) for value, word in enumerate(_ONES)},
    **{word: ("teen", value) for value, word in enumerate(_TEENS, 10)},
    **{word: ("ten", 10 * value) for value, word in enumerate(_TENS, 2)},
    **{word: ("scale", value) for word, value in _SCALES.items()},
    **{word + "s": ("many", value) for word, value in _SCALES.items()},
    **{word: ("ord", value) for value, word in enumerate(_ORDINALS, 1)},
    **{word[:-1] + "ieth": ("ord", 10 * value) for value, word in enumerate(_TENS, 2)},
    **{word + "s": ("den", value) for value, word in enumerate(_ORDINALS, 1) if value > 2},
    **{word + "fold": ("times", value) for value, word in enumerate(_ONES + _TEENS) if value > 1},
    "hundredth": ("ord", 100), "thousandth": ("ord", 1000), "hundredths": ("den", 100), "thousandths": ("den", 1000),
    "quarters": ("den", 4), "halves": ("den", 2), "half": ("half", 2), "quarter": ("quarter", 4),
    "nought": ("one", 0), "nil": ("one", 0), "twice": ("times", 2), "thrice": ("times", 3),
    "hundredfold": ("times", 100), "double": ("weak", 2), "doubled": ("weak", 2), "doubles": ("weak", 2),
    "triple": ("weak", 3), "tripled": ("weak", 3), "triples": ("weak", 3), "quadruple": ("weak", 4),
}  # fmt: skip
_VULGAR: Final = {
    "½": (1, 2), "⅓": (1, 3), "⅔": (2, 3), "¼": (1, 4), "¾": (3, 4), "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5), "⅘": (4, 5),
    "⅙": (1, 6), "⅚": (5, 6), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8), "⅒": (1, 10),
}  # fmt: skip
MONTHS: Final = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december"
)  # fmt: skip
_RAISED: Final = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻−", "0123456789--")

_ANY_DIGIT: Final = re.compile(rf"[\d{''.join(_VULGAR)}]")
_NAMES: Final = frozenset(_WORDS)
_THIN: Final = " \u00a0\u2009\u202f"
_TOKEN: Final = re.compile(
    rf"""(?=[-−.\d{"".join(_VULGAR)}])(?:  # seen at once to fail, as it mostly does
    (?P<vulgar>[{"".join(_VULGAR)}])
    | (?<![\w])(?:
        (?P<iso>\d{{4}}-\d\d-\d\d(?!\d))
      | (?P<clock>\d\d?:[0-5]\d(?![\d:]))
      | (?P<season>(?:1[5-9]|20)\d\d[/⁄]\d\d(?!\d))
      | (?P<ratio>\d{{1,4}}[/⁄]\d{{1,4}}(?![\d/⁄]))
      | (?P<sign>(?<![^\s(\[])[-−])?
        (?P<digits>\d+\.\d{{3}}(?:[{_THIN}]\d{{1,3}})+(?=[{_THIN}]?[eE][-+]?\d)
          | \d{{1,3}}(?:,\d{{3}})+(?!\d)(?:\.\d+)?
          | \d{{1,3}}(?:[{_THIN}]\d{{3}})+(?!\d)(?:\.\d+)?
          | \d+(?:\.\d+)? | \.\d+)
        (?P<power>(?<=10)⁻?[⁰¹²³⁴-⁹]{{1,2}}(?!\w)|[{_THIN}]?[eE][-+]?\d{{1,2}}(?!\w)
          | \s?[×x]\s?10(?:\^?[-−]?\d{{1,2}}|⁻?[⁰¹²³⁴-⁹]{{1,2}})(?!\w))?
        (?P<tail>(?:st|nd|rd|th|['’]?s)(?!\w))?
    ))""",
    re.VERBOSE,
)
_CODE: Final = re.compile(
    r"""://|^\W*www\.|\b10\.\d{4,9}/|\d\.\d+\.\d|\d/\d+/\d|\d[._/-][A-Z]+[._/-]\d|\d\(\d+\)
    | \d:\d+[-–]\d+(?!:)|\d:\d{3,}(?!,\d) | [\dXx](?:-[\dXx]+){2,}$ | (?<![\d.])\d{10,}(?![\d.]) | \d{4}-\d{3}[Xx]
    | \b(?!(?:mid|pre|post|early|late|circa|ca?|approx|non|n)\b)[^\W\d_]+[._/:-]\d""",
    re.VERBOSE | re.IGNORECASE,
)
_UNBROKEN: Final = re.compile(r"\S{0,200}")
_LOCATORS: Final = frozenset((
    "p.", "pp.", "fig.", "figs.", "figure", "figures", "table", "plate", "pl.", "no.", "nos.", "vol.", "vols.",
    "chapter", "ch.", "page", "pages", "isbn", "issn", "orcid", "doi", "pmid", "isbn:", "issn:", "doi:"
))  # fmt: skip
_ERA: Final = re.compile(r"\s?(BCE?|B\.C\.(?:E\.)?|CE|AD|A\.D\.)(?!\w)")


def _is_code(text: str, start: int, end: int) -> int:
    """Place behind the address, code or locator that holds these digits; 0 where they are a number."""
    left = start
    while left > 0 and start - left < 80 and not text[left - 1].isspace():
        left -= 1
    rest = _UNBROKEN.match(text, end)
    right = end if rest is None else rest.end()
    chunk = text[left:right].strip("()[]{}.,;:!?'\"“”‘’*_")
    if _CODE.search(chunk):
        return right
    before = text[max(0, left - 9) : left].lower().split()
    if left == start and before and before[-1].lstrip("([") in _LOCATORS:
        return right
    return 0


def _read_digits(found: re.Match[str], text: str) -> Numeral | None:
    start, end = found.span()
    kind = found.lastgroup
    if kind == "tail" or found["digits"] is not None:
        return _read_decimal(found, text)
    if kind == "iso":
        year, month = Decimal(found["iso"][:4]), int(found["iso"][5:7])
        unit = f"{MONTHS[month - 1]} {int(found['iso'][8:])}" if 1 <= month <= 12 else ""
        return Numeral(year, year, Decimal(1), "year", start, end, unit=unit)
    if kind == "clock":
        hour, minute = found["clock"].split(":")
        value = Decimal(hour) + Decimal(minute) / 60
        return Numeral(value, value, Decimal(1) / 60, "plain", start, end, unit="o'clock")
    if kind == "season":
        year = Decimal(found["season"][:4])
        last = year // 100 * 100 + Decimal(found["season"][5:])
        return Numeral(year, max(year, last), Decimal(1), "year", start, end)
    over, under = (Decimal(part) for part in re.split("[/⁄]", found["ratio"]))
    if not under:
        return None
    share = over < under
    value = over / under
    step = Decimal("0.01") if share else Decimal("0.001")
    return Numeral(value, value, step, "share" if share else "plain", start, end, parts=(over, under))


def _read_decimal(found: re.Match[str], text: str) -> Numeral | None:
    start, end = found.span()
    digits, tail, power = found["digits"], found["tail"] or "", found["power"]
    if len(digits) > 40:
        return None
    value = Decimal(re.sub(f"[,{_THIN}]", "", digits))
    exponent = value.as_tuple().exponent
    step = Decimal(1).scaleb(exponent if isinstance(exponent, int) else 0)
    if power:
        if digits == "10" and power[0] in "⁻⁰¹²³⁴⁵⁶⁷⁸⁹":
            value, step = Decimal(1), Decimal(1)
        shift = int(re.sub(r"[\s\u00a0\u2009\u202f]|[eE]|[×x]\s?10\^?", "", power).translate(_RAISED))
        value, step = value.scaleb(shift), step.scaleb(shift)
    if found["sign"]:
        value = -value
    whole = digits.isdigit() and not power and not found["sign"]
    if tail in {"st", "nd", "rd", "th"}:
        return Numeral(value, value, step, "ordinal", start, end) if whole else None
    if tail:
        if whole and len(digits) in {3, 4} and digits[-1] == "0":
            return Numeral(value, value + (99 if digits[-2:] == "00" else 9), step, "year", start, end, band=True)
        end = found.start("tail")
    era = _ERA.match(text, end)
    if whole and era is not None:
        value = -value if era[1].startswith("B") else value
        return Numeral(value, value, step, "year", start, era.end())
    if whole and text[max(0, start - 3) : start] == "AD ":
        return Numeral(value, value, step, "year", start, end)
    year = whole and len(digits) == 4 and digits[0] in "12" and value <= 2100
    return Numeral(value, value, step, "year" if year else "plain", start, end)


def find_tokens(text: str, lower: str) -> list[Token]:
    """Digits and number words of a text, in order; `lower` is the text in small letters, letter for letter."""
    tokens: list[Token] = []
    resume = 0
    told = list(_TOKEN.finditer(lower)) if _ANY_DIGIT.search(lower) else []
    if not _NAMES.isdisjoint(words_in(text)):
        told += [found for found in LETTERS.finditer(lower) if found[0] in _WORDS]
        told.sort(key=re.Match.start)
    for found in told:
        start, end = found.span()
        if start < resume:
            continue
        if found.re is LETTERS:
            tokens.append(Token(*_WORDS[found[0]], start, end))
        elif found["vulgar"] is not None:
            over, under = _VULGAR[found["vulgar"]]
            value = Decimal(over) / under
            tokens.append(Token("vulgar", 0, start, end, Numeral(value, value, Decimal("0.01"), "share", start, end)))
        else:
            resume = 0 if found["power"] else _is_code(text, start, end)
            if not resume:
                numeral = _read_digits(found, text)
                if numeral is not None:
                    tokens.append(Token("digits", 0, start, end, numeral))
    return tokens


def has_numeral(text: str) -> bool:
    """Whether a text has a digit or a number word at all."""
    return bool(_ANY_DIGIT.search(text)) or not _NAMES.isdisjoint(words_in(text))
