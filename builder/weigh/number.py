"""Numbers a sentence states, and whether known numbers bear them out.

In: a sentence of English prose. Out: its quantities: numeral, unit, range or ±, and hedge ("about", "nearly", "over").
`is_borne_out` compares one of them with those known, at the rounding its own wording allows and no further. Refuses
nothing: what cannot be read as a number is not one; no text raises.

Rounding: a number stands for what rounds to it, half up, at the last digit it gives. A hedged number rounds at the
coarsest 1, 2.5 or 5 of its trailing zeros, never off by more than a tenth; that width, and the widths for fractions and
bounds below, are choices of our own.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from builder.weigh.hedge import find_hedge, find_hedge_after, loosens
from builder.weigh.numeral import find_numerals
from builder.weigh.numeraltoken import Numeral
from builder.weigh.unitword import convert_unit, name_unit, read_unit


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
_OVER: Final = frozenset({"over", "barely over", "at least"})
_UNDER: Final = frozenset({"under", "nearly", "at most"})


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
        century = low.low // 100 * 100
        if high.high > low.low % 100:
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
    hedge = find_hedge(text, quantity.start)
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


def make_known(low: Decimal, high: Decimal | None = None, *, unit: str = "") -> Quantity:
    """A computed or recorded value (`high` left out: a single one) to compare with; its span is empty."""
    top = low if high is None else high
    exponent = low.as_tuple().exponent
    step = Decimal(1).scaleb(min(0, exponent)) if isinstance(exponent, int) else Decimal(1)
    name = name_unit(unit)
    kind = "share" if name in {"%", "‰"} else "plain"
    return Quantity(low, top, name, kind, step, 0, 0, step, shape="one" if low == top else "range")


def _is_fraction(quantity: Quantity) -> bool:
    return quantity.kind == "share" and not quantity.unit


def _as_share(quantity: Quantity) -> Decimal | None:
    """What one unit of a quantity is worth as a share, else None. A bare 0.614 may be one; a bare 1 is a count."""
    if quantity.unit in {"%", "‰"}:
        return Decimal("0.01") if quantity.unit == "%" else Decimal("0.001")
    if quantity.unit:
        return None
    fine = quantity.kind == "plain" and quantity.step < 1 and 0 <= quantity.low <= quantity.high <= 1
    return Decimal(1) if quantity.kind == "share" or fine else None


def _fit(known: Quantity, said: Quantity) -> Quantity | None:
    """A known quantity in the unit of the one said, or None where the two do not measure the same thing."""
    ours, theirs = _as_share(said), _as_share(known)
    if ours is not None and theirs is not None:
        factor = theirs / ours
        return known if factor == 1 else replace(known, low=known.low * factor, high=known.high * factor)
    if said.kind == "share" or known.kind == "share":
        return None
    if said.kind == "ordinal" and known.kind not in {"ordinal", "plain"}:
        return None
    if known.kind == "ordinal" and said.kind != "ordinal":
        return None
    if known.unit == said.unit:
        return known
    low, high = convert_unit(known.low, known.unit, said.unit), convert_unit(known.high, known.unit, said.unit)
    return None if low is None or high is None else replace(known, low=min(low, high), high=max(low, high))


def _coarse_step(value: Decimal, step: Decimal) -> Decimal:
    """The place a hedged number is rounded at: the coarsest 1, 2.5 or 5 of a power of ten that divides it."""
    count = abs(value / step)
    if not count or count % 1:
        return step
    size = Decimal(1)
    while count % (size * 10) == 0:
        size *= 10
    for part in (Decimal(5), Decimal("2.5")):
        if count % (size * part) == 0 and (size * part) % 1 == 0:
            return step * size * part
    return step * size


def _leeway(value: Decimal, step: Decimal, said: Quantity, *, hedged: bool) -> Decimal:
    if _is_fraction(said) and 0 < value < 1 and (said.parts is None or said.parts[1] <= 100):
        # "two thirds" of 66 %: a fraction word has no last digit
        return min(value, 1 - value) * (Decimal("0.15") if hedged else Decimal("0.03"))
    if said.kind == "year":
        return Decimal(0) if not hedged else Decimal(10 if value % 100 == 0 else 5 if value % 10 == 0 else 2)
    if said.kind == "ordinal":
        return Decimal(0)
    if not hedged:
        return step / 2
    return max(step / 2, min(_coarse_step(value, step) / 2, abs(value) / 10))


def _meets(value: Decimal, step: Decimal, said: Quantity, point: Decimal, known: Quantity) -> bool:
    """Whether one known value bears out one value said, under its hedge."""
    hedge = said.hedge
    if not hedge or hedge == "about":
        leeway = _leeway(value, step, said, hedged=bool(hedge))
        if hedge or not leeway or _is_fraction(said):
            return abs(point - value) <= leeway
        return value - leeway <= point < value + leeway if value >= 0 else value - leeway < point <= value + leeway
    if point == value:  # the same number, unless the known one leans the other way
        if hedge in {"over", "barely over"}:
            return known.hedge in _OVER
        if hedge == "under":
            return known.hedge in _UNDER
        return known.hedge not in (_UNDER if hedge == "at least" else _OVER)
    leeway = _leeway(value, step, said, hedged=True)
    wide = max(leeway * 2, abs(value) / 2)
    if said.kind == "share":  # "more than half" is true of any larger share
        wide = max(wide, (1 if _is_fraction(said) else 100) - value if hedge in _OVER else value)
    if hedge == "nearly":
        return value - leeway <= point < value
    if hedge == "barely over":
        return value < point <= value + leeway
    if hedge in {"over", "at least"}:
        return value < point <= value + wide
    return value - wide <= point < value


def _points(known: Quantity) -> Iterator[Decimal]:
    if known.shape != "band":
        yield known.low
        if known.high != known.low:
            yield known.high
        if known.shape == "plus-minus":
            yield (known.low + known.high) / 2


def is_borne_out(said: Quantity, known: Iterable[Quantity]) -> bool:
    """Whether the quantity said is among those known, at the rounding its wording allows.

    A range needs both its ends known; a range worded with "between" may also hold a whole known range or value, if it
    is no wider than half its upper end. A share may be known as a percentage, a fraction or a decimal; units convert
    exactly within a dimension, and units that do not fit bear out nothing.
    """
    kept = list(known)
    fitting = [fit for other in kept if (fit := _fit(other, said)) is not None]
    if said.shape == "band":
        return any(said.low <= fit.low and fit.high <= said.high for fit in fitting)
    if said.low == said.high and said.shape == "one":
        if any(_meets(said.low, said.step, said, point, fit) for fit in fitting for point in _points(fit)):
            return True
        if said.parts is not None:  # nine out of ten, where both 9 and 10 are known
            counts = {fit.low for fit in kept if fit.kind in {"plain", "weak"} and fit.low == fit.high}
            return counts.issuperset(said.parts)
        return False
    hedged = replace(said, hedge="about" if said.hedge else "")
    ends = ((said.low, said.step), (said.high, said.high_step))
    if all(any(_meets(*end, hedged, point, fit) for fit in fitting for point in _points(fit)) for end in ends):
        return True
    narrow = said.shape == "between" and said.low > 0 and said.high <= 2 * said.low
    return narrow and any(said.low <= fit.low and fit.high <= said.high for fit in fitting if fit.shape != "band")
