"""Formulas over numbered quantities, each quantity one node however often it is named.

In: numbers, quantities and operations, operands first. Out: a `Formula`: its nodes in working order, alike ones kept
once, products gathered (`x · x` is one square, `x / x` is 1), and the conditions under which it has a value. Refused,
as `RangeFault`: a division by the number 0, a power above 64, a root above the twentieth, a number over 2,000 bits.
"""

from fractions import Fraction
from typing import Final, NamedTuple

ZERO: Final = Fraction(0)
ONE: Final = Fraction(1)
_MAX_POWER: Final = 64
_MAX_ROOT: Final = 20
_MAX_BITS: Final = 2_000


class RangeFault(Exception):
    """Why a formula has no range: `kind` divides-by-zero, no-real-value, too-large or not-settled; `place` as told."""

    def __init__(self, kind: str, place: int) -> None:
        super().__init__(kind)
        self.kind, self.place = kind, place


class Node(NamedTuple):
    """One step: number (value), quantity (its index in args), ^ (power in value), or + - * min max of earlier nodes."""

    op: str
    args: tuple[int, ...] = ()
    value: Fraction = ZERO


class Condition(NamedTuple):
    """What must hold of a node: never 0, or (`positive`) at least 0; `place` is where the formula asks for it."""

    node: int
    positive: bool
    place: int


class Formula:
    """Nodes in working order; every method adds what it needs and returns the index of the node with its value."""

    def __init__(self) -> None:
        self.nodes: list[Node] = []
        self.conditions: list[Condition] = []
        self._known: dict[Node, int] = {}

    def _keep(self, node: Node) -> int:
        if node not in self._known:
            self._known[node] = len(self.nodes)
            self.nodes.append(node)
        return self._known[node]

    def add_number(self, value: Fraction, *, place: int = 0) -> int:
        if value.numerator.bit_length() + value.denominator.bit_length() > _MAX_BITS:
            raise RangeFault("too-large", place)
        return self._keep(Node("number", (), value))

    def add_quantity(self, number: int) -> int:
        return self._keep(Node("quantity", (number,)))

    def get_number(self, node: int) -> Fraction | None:
        """The value of a node that is a plain number."""
        return self.nodes[node].value if self.nodes[node].op == "number" else None

    def add(self, one: int, other: int, *, place: int = 0) -> int:
        left, right = self.get_number(one), self.get_number(other)
        if left is not None and right is not None:
            return self.add_number(left + right, place=place)
        return self._keep(Node("+", tuple(sorted((one, other)))))

    def subtract(self, one: int, other: int, *, place: int = 0) -> int:
        left, right = self.get_number(one), self.get_number(other)
        if one == other:
            return self.add_number(ZERO)
        if left is not None and right is not None:
            return self.add_number(left - right, place=place)
        return self._keep(Node("-", (one, other)))

    def choose(self, op: str, args: tuple[int, ...]) -> int:
        """The `min` or `max` of nodes."""
        kept = tuple(sorted(set(args)))
        return kept[0] if len(kept) == 1 else self._keep(Node(op, kept))

    def _split_product(self, node: int) -> tuple[Fraction, dict[int, Fraction]]:
        """A node as a number times powers of other nodes."""
        factor, pending = ONE, [(node, ONE)]
        gathered: dict[int, Fraction] = {}
        while pending:
            at, power = pending.pop()
            op, args, value = self.nodes[at]
            if op == "number" and power.denominator == 1 and (value or power > 0):
                factor *= value ** int(power)
            elif op == "*":
                pending.extend((arg, power) for arg in args)
            elif op == "^" and value.denominator == 1:
                pending.append((args[0], power * value))
            elif op == "^":  # its base is at least 0, or there is no value at all
                gathered[args[0]] = gathered.get(args[0], ZERO) + power * value
            else:
                gathered[at] = gathered.get(at, ZERO) + power
        return factor, gathered

    def _join_product(self, factor: Fraction, powers: dict[int, Fraction], place: int) -> int:
        number = self.add_number(factor, place=place)
        if not factor:
            return number
        result = None if factor == 1 else number
        for base, power in sorted(powers.items()):
            if abs(power) > _MAX_POWER or power.denominator > _MAX_ROOT:
                raise RangeFault("too-large", place)
            if power:
                part = base if power == 1 else self._keep(Node("^", (base,), power))
                result = part if result is None else self._keep(Node("*", (result, part)))
        return number if result is None else result

    def multiply(self, one: int, other: int, *, place: int = 0) -> int:
        factor, powers = self._split_product(one)
        more, others = self._split_product(other)
        for base, power in others.items():
            powers[base] = powers.get(base, ZERO) + power
        return self._join_product(factor * more, powers, place)

    def negate(self, node: int, *, place: int = 0) -> int:
        return self.multiply(self.add_number(-ONE), node, place=place)

    def divide(self, one: int, other: int, *, place: int = 0) -> int:
        return self.multiply(one, self.raise_to(other, -ONE, place=place), place=place)

    def raise_to(self, node: int, power: Fraction, *, place: int = 0) -> int:
        """A node to a power; a negative power asks that it never be 0, a fractional one that it be at least 0."""
        if abs(power) > _MAX_POWER or power.denominator > _MAX_ROOT:
            raise RangeFault("too-large", place)
        factor, powers = self._split_product(node)
        if power < 0:
            if not factor:
                raise RangeFault("divides-by-zero", place)
            self.conditions.extend(Condition(base, False, place) for base in sorted(powers))
        if power.denominator > 1:
            self.conditions.append(Condition(node, True, place))
            return self._keep(Node("^", (node,), power))
        size = (factor.numerator.bit_length() + factor.denominator.bit_length()) * abs(power)
        if size > 4 * _MAX_BITS:
            raise RangeFault("too-large", place)
        whole = factor ** int(power)
        return self._join_product(whole, {base: own * power for base, own in powers.items()}, place)
