"""Numbers a sentence states, and whether known numbers bear them out.

In: quantities as a sentence states them, and those known. `is_borne_out` compares one with many, at the rounding its
own wording allows and no further; `is_met` compares one with one as a whole.

Rounding: a number stands for what rounds to it, half up, at the last digit it gives. A hedged number rounds at the
coarsest 1, 2.5 or 5 of its trailing zeros, never off by more than a tenth; that width, and the widths for fractions and
bounds below, are choices of our own.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Final

from builder.weigh.quantity import Quantity, find_quantities
from builder.weigh.unitword import convert_unit, name_unit

__all__ = ["Quantity", "are_alike", "find_quantities", "is_borne_out", "is_met", "make_known"]

_OVER: Final = frozenset({"over", "barely over", "at least"})
_UNDER: Final = frozenset({"under", "nearly", "at most"})


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


def are_alike(one: Quantity, other: Quantity) -> bool:
    """Whether two quantities measure the same kind of thing, so that one could bear the other out."""
    return _fit(other, one) is not None


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
        if hedge == "over" and said.unit in {"s", "min", "h", "day", "week", "month", "year", "decade", "century"}:
            return known.hedge not in _UNDER  # "over two years" may mean during them
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


def _is_far_end(said: Quantity, known: Quantity, point: Decimal) -> bool:
    """Whether a bound said is the wrong end of a known range: "at least 95 %" of "60 to 95 %"."""
    if known.low == known.high or said.low != point:
        return False
    return (said.hedge in _OVER and point == known.high) or (said.hedge in _UNDER and point == known.low)


def _spans(said: Quantity, known: Quantity) -> bool:
    """Whether a range worded with "between", no wider than half its upper end, holds a whole known range or value."""
    narrow = said.shape == "between" and said.low > 0 and said.high <= 2 * said.low
    return narrow and known.shape != "band" and said.low <= known.low and known.high <= said.high


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
        points = ((fit, point) for fit in fitting for point in _points(fit) if not _is_far_end(said, fit, point))
        if any(_meets(said.low, said.step, said, point, fit) for fit, point in points):
            return True
        if said.parts is not None:  # nine out of ten, where both 9 and 10 are known
            counts = {fit.low for fit in kept if fit.kind in {"plain", "weak"} and fit.low == fit.high}
            return counts.issuperset(said.parts)
        return False
    hedged = replace(said, hedge="about" if said.hedge else "")
    ends = ((said.low, said.step), (said.high, said.high_step))
    if all(any(_meets(*end, hedged, point, fit) for fit in fitting for point in _points(fit)) for end in ends):
        return True
    return any(_spans(said, fit) for fit in fitting)


def is_met(said: Quantity, known: Quantity) -> bool:
    """Whether what is said tells one known value or range as a whole: a number both its ends, a range end by end.

    A number said without a unit is in the known one's unit, and a bare gallon in its gallon; a percentage may tell a
    bare ratio. Whether the unit is clear is asked elsewhere.
    """
    if said.kind == "year":  # beside a computed value four digits are a number like any other
        said = replace(said, kind="plain")
    if said.unit and said.unit == known.unit.removeprefix("US ").removeprefix("imperial "):
        said = replace(said, unit=known.unit)  # a bare gallon beside a result in one of the gallons
    if not said.unit and not _is_fraction(said):
        said = replace(said, unit=known.unit, kind="share" if known.unit in {"%", "‰"} else said.kind)
    if said.unit == "%" and not known.unit:
        known = replace(known, unit="%", kind="share", low=known.low * 100, high=known.high * 100)
    fit = _fit(known, said)
    if fit is None:
        return False
    if _spans(said, fit):
        return True
    if said.shape == "band":
        return said.low <= fit.low and fit.high <= said.high
    hedged = said if said.low == said.high or not said.hedge else replace(said, hedge="about")
    low, high = (said.low, said.step), (said.high, said.high_step)
    return _meets(*low, hedged, fit.low, fit) and _meets(*high, hedged, fit.high, fit)
