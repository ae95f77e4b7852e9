"""Quantities a sentence states: numeral, unit, range or ±, and hedge ("about", "nearly", "more than").

In: a sentence of English prose. Out: its quantities in order, with their places. Refuses nothing: what cannot be read
as a number is not one; no text raises.
"""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from typing import Final

from builder.weigh.hedge import find_hedge, find_hedge_after, loosens
from builder.weigh.numeral import find_numerals
from builder.weigh.numeraltoken import Numeral
from builder.weigh.unitword import convert_unit, read_unit


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number as stated at text[start:end]: `low` to `high` in `unit` (one spelling; `%`; empty for counts).

    `kind` is plain, year, ordinal, share (a percentage as written, or a fraction of one) or weak ("one", perhaps the
    pronoun). `step` and `high_step` are the places of the last digits given. `hedge` is empty or one of about, nearly,
    barely over, over, under, at least, at most. `shape` is one, range, between, plus-minus or band (a decade, a
    century, "hundreds": any value within meets it). `parts` are the 9 and 10 of "nine out of ten".
    """

    low: Decimal
    high: Decimal
    unit: str
    kind: str
    step: Decimal
    start: int
    end: int
    high_step: Decimal
    hedge: str = ""
    shape: str = "one"
    parts: tuple[Decimal, Decimal] | None = None


_TO: Final = re.compile(
    r"\s?(?:–|—|-|−|\bto\b|\bthrough\b|\bup to\b|\buntil\b)\s?"
    r"(?:(?:about|around|nearly|almost|roughly|perhaps|some|maybe|over|as (?:much|many) as)\s)?[£$€]?"
)
_AND: Final = re.compile(r"\s(?:and|to)\s(?:(?:about|around|nearly|almost|roughly|perhaps|some|maybe)\s)?[£$€]?")
_PLUS_MINUS: Final = re.compile(r"\s?(?:±|\+/[-−]|\+[-−]|plus or minus)\s?")
_LIST: Final = re.compile(r"(?P<comma>,\s(?:and\s|or\s)?)|\s(?:and|or)\s")
_YEAR_BEFORE: Final = re.compile(
    r"(?:^|[\s(—–-])(?:in|since|from|until|till|by|before|after|during|year|about|around|circa|c|ca|of|early|late|mid"
    r"|spring|summer|autumn|winter|january|february|march|april|may|june|july|august|september|october|november|december)[\s.,-]*$"
    r"|[(,–—]\s?$",
    re.IGNORECASE,
)
_COUNTED: Final = re.compile(r"\s(?:[a-z]+\s)?[a-z]{2,}[a-rt-z]s\b")


def _is_year(text: str, numeral: Numeral) -> bool:
    """Whether four bare digits are a year: not "2184 bounties", but "in 1874 lemmings" and "(Linnaeus, 1758)"."""
    if numeral.band or numeral.end - numeral.start != 4 or not text[numeral.start : numeral.end].isdigit():
        return True
    if _YEAR_BEFORE.search(text, max(0, numeral.start - 14), numeral.start):
        return True
    return _COUNTED.match(text, numeral.end) is None


def _measure(text: str, numeral: Numeral) -> Quantity:
    """A numeral with its unit; currency stands before it."""
    kind, unit, start, end = numeral.kind, numeral.unit, numeral.start, numeral.end
    if numeral.start and text[numeral.start - 1] in "£$€":
        unit, start = text[numeral.start - 1], numeral.start - 1
    elif kind != "ordinal" and not numeral.band and not (kind == "share" and " " in text[start:end] and numeral.parts):
        after = end
        if kind == "share" and numeral.parts is None and text.startswith((" a ", " an "), end):
            after = end + 2 + (text[end + 2] == "n")  # "half an hour"
        found, behind = read_unit(text, after)
        if found:
            unit, end = found, behind
            pronoun = kind == "weak" and found in {"day", "night", "year", "h", "min", "month", "week"}
            kind = "weak" if pronoun else "share" if found in {"%", "‰"} else "plain"
    if kind == "year" and not unit and not _is_year(text, numeral):
        kind = "plain"
    return Quantity(
        numeral.low, numeral.high, unit, kind, numeral.step, start, end, numeral.step,
        shape="band" if numeral.band or numeral.low != numeral.high else "one", parts=numeral.parts,
    )  # fmt: skip


def _align(low: Quantity, high: Quantity, scales: tuple[Decimal, Decimal]) -> tuple[Quantity, Quantity] | None:
    """Two ends of a range in one unit: "1 to 2 million", "10 mm to 2 cm", "1970–97"; None where they do not fit."""
    first, last = scales
    if last > 1 and first == 1 and 0 < low.low <= high.low / last:
        low = replace(
            low, low=low.low * last, high=low.high * last, step=low.step * last, high_step=low.high_step * last
        )
    if low.kind == "year" and high.kind == "plain" and not high.unit and 0 <= high.high < 100 <= low.low:
        if high.high <= low.low % 100:
            return None  # 2028-05 is a month
        century = low.low // 100 * 100
        high = replace(high, low=century + high.low, high=century + high.high, kind="year")
    unit = low.unit or high.unit
    if low.unit and high.unit and low.unit != high.unit:
        value, step = convert_unit(high.high, high.unit, low.unit), convert_unit(high.high_step, high.unit, low.unit)
        if value is None or step is None or "°" in unit:
            return None
        high = replace(high, low=value, high=value, high_step=step)
    kind = (
        "year"
        if "year" in (low.kind, high.kind) and not unit
        else "share"
        if "share" in (low.kind, high.kind)
        else "plain"
    )
    return (
        low if (low.unit, low.kind) == (unit, kind) else replace(low, unit=unit, kind=kind),
        high if (high.unit, high.kind) == (unit, kind) else replace(high, unit=unit, kind=kind),
    )


def _join_range(text: str, low: Quantity, high: Quantity, scales: tuple[Decimal, Decimal]) -> Quantity | None:
    """One range of two quantities, where the words between them make it one."""
    if "ordinal" in (low.kind, high.kind):
        return None
    if _PLUS_MINUS.fullmatch(text, low.end, high.start):
        pair = _align(low, high, scales)
        if pair is None or "band" in (low.shape, high.shape):
            return None
        low, high = pair
        spread = abs(high.high)
        return replace(
            low,
            low=low.low - spread,
            high=low.high + spread,
            end=high.end,
            high_step=low.step,
            shape="plus-minus",
            parts=None,
        )
    before = text[max(0, low.start - 20) : low.start].lower()
    between = bool(re.search(r"\bbetween\s(?:\w+\s)?[£$€]?$", before))
    if not (_TO.fullmatch(text, low.end, high.start) or (between and _AND.fullmatch(text, low.end, high.start))):
        return None
    pair = _align(low, high, scales)
    if pair is None:
        return None
    low, high = pair
    ends = sorted(((low.low, low.step), (low.high, low.step), (high.low, high.high_step), (high.high, high.high_step)))
    band = low.shape == "band" and high.shape == "band"
    return Quantity(
        ends[0][0], ends[-1][0], low.unit, low.kind, ends[0][1], low.start, high.end, ends[-1][1],
        shape="band" if band else "between" if between else "range",
    )  # fmt: skip


def _finish(text: str, quantity: Quantity, inner: str) -> Quantity:
    """Add the hedge before, within or after a quantity; a firm or hedged "one" is no pronoun."""
    hedge = find_hedge(text, quantity.start, measured=bool(quantity.unit) or quantity.kind != "plain")
    kind = "plain" if hedge and quantity.kind == "weak" else quantity.kind
    if not hedge:
        hedge = find_hedge_after(text, quantity.end) or ("about" if inner and loosens(inner) else "")
    hedge = "" if hedge == "exactly" else hedge
    return quantity if not hedge and kind == quantity.kind else replace(quantity, hedge=hedge, kind=kind)


def _share_units(text: str, found: list[Quantity]) -> list[Quantity]:
    """Give the unit at the end of a list to all of it, "8, 10 and 12 mm"; a "one" in a list is no pronoun."""
    for index in range(len(found) - 2, -1, -1):
        this, after = found[index], found[index + 1]
        joiner = _LIST.fullmatch(text, this.end, after.start)
        if joiner is None:
            continue
        chain = not joiner["comma"] or (
            index + 2 < len(found) and _LIST.fullmatch(text, after.end, found[index + 2].start)
        )
        if this.kind == "weak" and after.kind in {"plain", "share"}:
            this = replace(this, kind="plain")
        if chain and not this.unit and this.kind in {"plain", "year"} and after.unit[:1] not in {"", "£", "$", "€"}:
            kind = after.kind if after.kind == "share" else "plain"
            this = replace(this, unit=after.unit, kind=kind)
        found[index] = this
    return found


@lru_cache(maxsize=512)
def find_quantities(text: str) -> tuple[Quantity, ...]:
    """Every quantity a text states, in order of place; `()` at once where it has neither digit nor number word."""
    numerals = find_numerals(text)
    if not numerals:
        return ()
    found: list[Quantity] = []
    inner = ""
    index = 0
    while index < len(numerals):
        quantity = _measure(text, numerals[index])
        inner = ""
        if index + 1 < len(numerals) and numerals[index + 1].start - quantity.end < 24:
            after = _measure(text, numerals[index + 1])
            joined = _join_range(text, quantity, after, (numerals[index].scale, numerals[index + 1].scale))
            if joined is not None:
                inner = text[quantity.end : after.start]
                quantity, index = joined, index + 1
        found.append(_finish(text, quantity, inner))
        index += 1
    return tuple(_share_units(text, found)) if len(found) > 1 else tuple(found)
