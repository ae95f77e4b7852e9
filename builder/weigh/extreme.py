"""The least and greatest value a formula takes while its quantities range over their intervals.

In: a `Formula` and a box, one closed interval of exact fractions for each quantity. Out: (low, high). One quantity has
one value at a time, so `x − x` is 0 and `x · x` of −1 to 2 is 0 to 4; the corners and the inside of the box both count.

Method: interval arithmetic (Moore, Kearfott & Cloud 2009; IEEE 1788-2015) in exact fractions, so nothing is lost to
rounding. A formula that uses each quantity once is exact as it stands. Otherwise interval derivatives (forward
differentiation) fix every quantity the formula rises or falls in at the end of its interval; what is left goes to
branch and bound with the mean value form (ibid.) until the bound is within 1e-12 of the value or of
the size of its parts, or within a millionth where that has taken long, as on the ridges of `min` and `max`; the
simplest fraction between the two is given. Roots are enclosed to 40 digits.

Raises: `RangeFault` for a division by an interval that holds zero, a root of a negative number, values beyond 10^99,
or a formula not settled after a fixed amount of work.
"""

import heapq
from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from fractions import Fraction
from itertools import count
from math import isqrt
from typing import Final

from builder.weigh.formula import ONE, ZERO, Formula, RangeFault

Interval = tuple[Fraction, Fraction]
_CLOSE: Final = Fraction(1, 10**12)
_NEAR: Final = Fraction(1, 10**6)
_MAX_WORK: Final = 50_000  # node evaluations: about a second
_LONG: Final = _MAX_WORK * 2 // 5  # for one end; the other needs its share
_MAX_BITS: Final = 330  # 2^330 is about 10^99
_TINY: Final = Fraction(1, 1 << _MAX_BITS)
_TIDY_BITS: Final = 400
_KEPT_BITS: Final = 160
_STEEP: Final = Fraction(1 << 2_000)  # the slope of a root at zero, beyond every other slope


def _cut(end: Fraction, *, up: bool) -> Fraction:
    """An end cut to 160 bits, up or down."""
    over, under = end.numerator, end.denominator
    if over.bit_length() + under.bit_length() <= _TIDY_BITS:
        return end
    shift = _KEPT_BITS - (over.bit_length() - under.bit_length())
    over, under = (over << shift, under) if shift >= 0 else (over, under << -shift)
    whole = -(-over // under) if up else over // under
    return Fraction(whole, 1 << shift) if shift >= 0 else Fraction(whole << -shift)


def _round_outward(low: Fraction, high: Fraction, place: int) -> Interval:
    """The interval, its ends cut outward once they grow long or tiny; refuses ends beyond 10^99."""
    for end in (low, high):
        if end.numerator.bit_length() - end.denominator.bit_length() > _MAX_BITS:
            raise RangeFault("too-large", place)
    if low and abs(low) < _TINY:
        low = ZERO if low > 0 else -_TINY
    if high and abs(high) < _TINY:
        high = ZERO if high < 0 else _TINY
    return _cut(low, up=False), _cut(high, up=True)


def _multiply(one: Interval, other: Interval) -> Interval:
    if one[0] == one[1]:
        ends: tuple[Fraction, ...] = (one[0] * other[0], one[0] * other[1])
    else:
        ends = (one[0] * other[0], one[0] * other[1], one[1] * other[0], one[1] * other[1])
    return min(ends), max(ends)


def _take_root(value: Fraction, power: Fraction, *, up: bool) -> Fraction:
    """`value^power` for a value of at least 0: exact where it is a fraction, else to 40 digits, rounded down or up."""
    if not value:
        return ZERO
    if power.denominator == 2:
        over, under = isqrt(value.numerator), isqrt(value.denominator)
        if over * over == value.numerator and under * under == value.denominator:
            return Fraction(over, under) ** power.numerator
    context = Context(prec=50, Emax=10**6, Emin=-(10**6), rounding=ROUND_CEILING if up else ROUND_FLOOR)
    base = context.divide(Decimal(value.numerator), Decimal(value.denominator))
    exponent = context.divide(Decimal(power.numerator), Decimal(power.denominator))
    near = Fraction(context.power(base, exponent))
    whole = near.limit_denominator(10**6)
    if power.denominator < 20 and whole**power.denominator == value**power.numerator:
        return whole
    return near * (1 + Fraction(1 if up else -1, 10**40))


def _raise(base: Interval, power: Fraction, place: int) -> Interval:
    """`base^power`; a fractional power needs a base of at least 0, a negative one a base without 0."""
    if power < 0:
        low, high = _raise(base, -power, place)
        if low <= 0 <= high:
            raise RangeFault("divides-by-zero", place)
        return 1 / high, 1 / low
    if power.denominator > 1:
        return _take_root(max(base[0], ZERO), power, up=False), _take_root(max(base[1], ZERO), power, up=True)
    exponent = power.numerator
    longest = max(end.numerator.bit_length() + end.denominator.bit_length() for end in base)
    if longest * exponent > 40_000:
        raise RangeFault("too-large", place)
    low, high = base[0] ** exponent, base[1] ** exponent
    if exponent % 2 or base[0] >= 0:
        return low, high
    return (high, low) if base[1] <= 0 else (ZERO, max(low, high))


def _find_simplest(low: Fraction, high: Fraction) -> Fraction:
    """The fraction with the smallest denominator from low to high: 1/2 rather than 0.4999999999997."""
    if low <= 0 <= high:
        return ZERO
    if low < 0:
        return -_find_simplest(-high, -low)
    whole: list[int] = []
    while True:  # continued fractions, as long as they agree
        floor = low.numerator // low.denominator
        if floor == low or floor + 1 <= high:
            whole.append(floor if floor == low else floor + 1)
            break
        whole.append(floor)
        low, high = 1 / (high - floor), 1 / (low - floor)
    result = Fraction(whole.pop())
    while whole:
        result = whole.pop() + 1 / result
    return result


class _Search:
    """Ranges of one formula over one box. Divisors and roots are ranged first; their true range then bounds them."""

    def __init__(self, formula: Formula, box: Sequence[Interval]) -> None:
        self.nodes, self.conditions = formula.nodes, formula.conditions
        self.place = 0
        self.box = list(box)
        self.work = 0
        self.true: dict[int, Interval] = {}

    def find_needed(self, root: int) -> list[int]:
        needed, pending = {root}, [root]
        while pending:
            node = self.nodes[pending.pop()]
            if node.op not in {"number", "quantity"}:
                fresh = [arg for arg in node.args if arg not in needed]
                needed.update(fresh)
                pending.extend(fresh)
        return sorted(needed)

    def evaluate(self, needed: list[int], box: Sequence[Interval]) -> dict[int, Interval]:
        """Natural interval value of every needed node."""
        self.work += len(needed)
        if self.work > _MAX_WORK:
            raise RangeFault("not-settled", self.place)
        values: dict[int, Interval] = {}
        for index in needed:
            op, args, value = self.nodes[index]
            if op == "number":
                low = high = value
            elif op == "quantity":
                low, high = box[args[0]]
            elif op == "+":
                one, other = values[args[0]], values[args[1]]
                low, high = one[0] + other[0], one[1] + other[1]
            elif op == "-":
                one, other = values[args[0]], values[args[1]]
                low, high = one[0] - other[1], one[1] - other[0]
            elif op == "*":
                low, high = _multiply(values[args[0]], values[args[1]])
            elif op == "^":
                low, high = _raise(values[args[0]], value, self.place)
            else:
                pick = min if op == "min" else max
                low, high = pick(values[arg][0] for arg in args), pick(values[arg][1] for arg in args)
            bound = self.true.get(index)
            if bound is not None:  # both hold every value, so they overlap
                low, high = max(low, bound[0]), min(high, bound[1])
            values[index] = _round_outward(low, high, self.place)
        return values

    def find_slopes(
        self, needed: list[int], values: dict[int, Interval], active: list[int]
    ) -> dict[int, list[Interval]]:
        """Interval derivative of every needed node with respect to every active quantity."""
        self.work += 2 * len(needed) * len(active)
        slopes: dict[int, list[Interval]] = {}
        flat = [(ZERO, ZERO)] * len(active)
        for index in needed:
            op, args, power = self.nodes[index]
            if op == "number":
                slopes[index] = flat
                continue
            if op == "quantity":
                slopes[index] = [(ONE, ONE) if quantity == args[0] else (ZERO, ZERO) for quantity in active]
                continue
            if op in {"min", "max"}:  # only those that may be the least, or the greatest, count
                first_high, last_low = min(values[arg][1] for arg in args), max(values[arg][0] for arg in args)
                args = tuple(
                    arg for arg in args if (values[arg][0] <= first_high if op == "min" else values[arg][1] >= last_low)
                )
            parts = [slopes[arg] for arg in args]
            row: list[Interval] = []
            for at in range(len(active)):
                first = parts[0][at]
                if op == "+":
                    slope = (first[0] + parts[1][at][0], first[1] + parts[1][at][1])
                elif op == "-":
                    slope = (first[0] - parts[1][at][1], first[1] - parts[1][at][0])
                elif op == "*":
                    left, right = _multiply(first, values[args[1]]), _multiply(parts[1][at], values[args[0]])
                    slope = (left[0] + right[0], left[1] + right[1])
                elif op == "^":
                    slope = _multiply(first, self._find_power_slope(values[args[0]], power))
                else:
                    slope = (min(part[at][0] for part in parts), max(part[at][1] for part in parts))
                row.append((_cut(slope[0], up=False), _cut(slope[1], up=True)))
            slopes[index] = row
        return slopes

    def _find_power_slope(self, base: Interval, power: Fraction) -> Interval:
        if not power:
            return ZERO, ZERO
        if power.denominator > 1 and power < 1 and base[0] <= 0:
            if power < 0:
                raise RangeFault("divides-by-zero", self.place)
            least = _raise((base[1], base[1]), power - 1, self.place)[0] * power if base[1] > 0 else ZERO
            return least, _STEEP
        return _multiply((power, power), _raise(base, power - 1, self.place))

    def check_conditions(self) -> None:
        """Range every divisor and every root's base first: its true range decides whether there is a value at all."""
        for node, positive, place in self.conditions:
            self.place = place
            if node not in self.true:
                self.true[node] = self.find_bounds(node)
            low, high = self.true[node]
            if positive and low < 0 <= self.find_range(node)[0]:  # 0 as far as can be told
                low = ZERO
                self.true[node] = low, high
            if positive and low < 0:
                raise RangeFault("no-real-value", self.place)
            if not positive and low <= 0 <= high:
                raise RangeFault("divides-by-zero", self.place)

    def find_bounds(self, root: int) -> Interval:
        """Ends that no value of a node lies beyond."""
        needed = self.find_needed(root)
        return self._find_end(root, needed, least=True)[0], -self._find_end(root, needed, least=False)[0]

    def find_range(self, root: int) -> Interval:
        """The simplest ends within the tolerance."""
        needed = self.find_needed(root)
        low, high = self._find_end(root, needed, least=True), self._find_end(root, needed, least=False)
        return _find_simplest(*low), -_find_simplest(*high)

    def _count_uses(self, root: int, needed: list[int]) -> dict[int, int]:
        """On how many ways each quantity enters the root (2 stands for more)."""
        ways = dict.fromkeys(needed, 0)
        ways[root] = 1
        uses: dict[int, int] = {}
        for index in reversed(needed):
            node = self.nodes[index]
            if node.op == "quantity":
                uses[node.args[0]] = min(2, uses.get(node.args[0], 0) + ways[index])
            elif node.op != "number":
                for arg in node.args:
                    ways[arg] = min(2, ways[arg] + ways[index])
        return uses

    def _find_end(self, root: int, needed: list[int], *, least: bool) -> Interval:
        """A sound bound and a value reached that enclose the least value of the root, or of its negative."""
        side, sign = (0, 1) if least else (1, -1)
        uses = self._count_uses(root, needed)
        start = tuple(self.box)
        size = max(abs(end) for end in self.evaluate(needed, start)[root])
        order = count(-1, -1)  # of equal bounds the latest box first, to reach a value soon
        heap: list[tuple[Fraction, int, tuple[Interval, ...]]] = [(-2 * size - 1, 0, start)]
        best: Fraction | None = None  # a value the formula is known to reach
        begun = self.work
        while heap:
            bound, _, box = heapq.heappop(heap)
            enough = _CLOSE if self.work - begun < _LONG else _NEAR
            if best is not None and bound >= best - max(abs(best), size) * enough:
                return min(bound, best), best
            box, values, slopes, active = self._fix_ends(root, needed, box, uses, side)
            natural = sign * values[root][side]
            if not any(uses[quantity] > 1 for quantity in active):
                best = natural if best is None else min(best, natural)
                continue
            # what is named once keeps its interval: natural evaluation is exact in it
            often = {q: slope for q, slope in zip(active, slopes, strict=True) if uses[q] > 1}
            centre, corner = list(box), list(box)
            for quantity, slope in often.items():
                low, high = box[quantity]
                centre[quantity] = ((low + high) / 2,) * 2
                corner[quantity] = (low if sign * (slope[0] + slope[1]) > 0 else high,) * 2
            middle = sign * self.evaluate(needed, centre)[root][side]
            reached = min(middle, sign * self.evaluate(needed, corner)[root][side])
            best = reached if best is None else min(best, reached)
            pulls = {
                q: max(abs(slope[0]), abs(slope[1])) * (box[q][1] - box[q][0])
                for q, slope in zip(active, slopes, strict=True)
            }
            bound = max(bound, natural, middle - sum((pulls[q] for q in often), ZERO) / 2)  # mean value form
            widest = max(pulls, key=lambda q: (pulls[q], q))
            low, high = box[widest]
            for part in ((low, (low + high) / 2), ((low + high) / 2, high)):
                heapq.heappush(heap, (bound, next(order), (*box[:widest], part, *box[widest + 1 :])))
        if best is None:
            raise RangeFault("not-settled", self.place)
        return best, best

    def _fix_ends(
        self, root: int, needed: list[int], box: tuple[Interval, ...], uses: dict[int, int], side: int
    ) -> tuple[tuple[Interval, ...], dict[int, Interval], list[Interval], list[int]]:
        """Set each quantity the root only rises or only falls in to the end that matters, until none is left to set."""
        while True:
            active = [quantity for quantity in sorted(uses) if box[quantity][0] < box[quantity][1]]
            values = self.evaluate(needed, box)
            if not any(uses[quantity] > 1 for quantity in active):
                return box, values, [], active
            slopes = self.find_slopes(needed, values, active)[root]
            fixed = list(box)
            for quantity, slope in zip(active, slopes, strict=True):
                if slope[0] >= 0 or slope[1] <= 0:
                    end = fixed[quantity][side if slope[0] >= 0 else 1 - side]
                    fixed[quantity] = (end, end)
            if tuple(fixed) == box:
                return box, values, slopes, active
            box = tuple(fixed)


def find_range(formula: Formula, root: int, box: Sequence[Interval]) -> Interval:
    """Least and greatest value of node `root` over the box: exact, or good to 1e-12 of the size of its parts; to a
    millionth where that takes long.

    Raises `RangeFault` where the formula has no value somewhere in the box, or is not settled after a fixed work.
    """
    for low, high in box:
        if low > high:
            raise ValueError("an interval's low end is above its high end")
    search = _Search(formula, box)
    search.check_conditions()
    return search.find_range(root)
