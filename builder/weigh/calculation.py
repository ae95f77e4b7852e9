"""Calculations of a record: worked with units over whole ranges, and held against what the text says.

In: an expression, inputs as (value, unit) texts by name, the unit of the result. A value is a number, a range
(`120 to 160`) or ± (`16.7 ± 0.5`); units are as in `unit`. Out: a `Result` with the least and greatest value in the
result's unit and the working as one line, or a `CalcFault`. An input named twice is one quantity; the range is the
worst case over all inputs at once. A value with ± is taken as the whole interval, not as a standard deviation.

Refused, as faults: what cannot be read, unknown names and units, units that name several, dimensions that do not fit,
a division by a range that holds 0, a root of a negative number, a temperature reading where only a difference makes
sense, values beyond 10^99, a formula not settled after a fixed amount of work. No text raises.
"""

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from typing import Final

from builder.weigh.expression import FUNCTIONS, Step, SyntaxFault, Token, read_expression, split_tokens
from builder.weigh.extreme import find_range
from builder.weigh.formula import Formula, RangeFault
from builder.weigh.number import find_quantities, is_met, make_known
from builder.weigh.unit import Dimension, Unit, describe_dimension, multiply_dimensions, parse_unit, say_quantity

_DIGITS: Final = Context(prec=28)
_TOLD: Final = {
    "divides-by-zero": ("the divisor may be 0", "narrow the range of the divisor until it cannot be 0"),
    "no-real-value": ("the root of a negative number is asked for", "narrow the range under the root to 0 or more"),
    "too-large": ("a number, a power or a root is too large", "write the calculation with smaller numbers and powers"),
    "not-settled": (
        "the range could not be settled",
        "name each quantity fewer times, or split the sum in two",
    ),
}
_SIGNS: Final = {"*": "×", "/": "÷", "-": "−", "^": "^"}


@dataclass(frozen=True, slots=True)
class CalcFault:
    """Why there is no result: what is wrong, what to do, the place in the expression or None, the input at fault.

    `fault` is cannot-be-read, unknown-name, unknown-unit, ambiguous-unit, units-do-not-fit, divides-by-zero,
    no-real-value, too-large or not-settled. `choices` are what to write instead where a unit names several.
    """

    fault: str
    message: str
    mend: str
    place: int | None = None
    name: str = ""
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Result:
    """Least and greatest value in `unit`, the inputs used, and the working as one line for readers."""

    low: Decimal
    high: Decimal
    unit: str
    working: str
    used: tuple[str, ...] = ()


class _Stop(Exception):
    def __init__(self, fault: CalcFault) -> None:
        super().__init__(fault.message)
        self.fault = fault


@dataclass(frozen=True, slots=True)
class _Operand:
    """A node with its dimension; `readings` counts temperature readings in it (a difference has 0, kelvins None)."""

    node: int
    dimension: Dimension
    readings: Fraction | None = Fraction(0)


def _find_unit(text: str, *, place: int | None = None, name: str = "") -> Unit:
    unit = parse_unit(text)
    if isinstance(unit, Unit):
        return unit
    mend = "write " + " or ".join(f"`{choice}`" for choice in unit.choices) if unit.choices else "write a known unit"
    raise _Stop(CalcFault(unit.fault, unit.message, mend, place, name, unit.choices))


def read_value(text: str) -> tuple[Fraction, Fraction, str] | None:
    """(low, high, unit) of one number, range or ± that fills a text; None for anything else, or with a hedge."""
    spelled = text.strip()
    found = find_quantities(spelled)
    if len(found) != 1 or (found[0].start, found[0].end) != (0, len(spelled)):
        return None
    value = found[0]
    if value.hedge or value.kind in {"ordinal", "weak"} or value.shape == "band" or value.unit in {"o'clock"}:
        return None
    return Fraction(value.low), Fraction(value.high), value.unit


class _Worker:
    """Turns steps into a formula over a box, checking units on the way."""

    def __init__(self, inputs: Mapping[str, tuple[str, str]]) -> None:
        self.inputs = inputs
        self.formula = Formula()
        self.box: list[tuple[Fraction, Fraction]] = []
        self.named: dict[str, _Operand] = {}
        self.stack: list[_Operand] = []

    def _add_value(self, low: Fraction, high: Fraction, unit: Unit, place: int) -> _Operand:
        readings = {"reading": Fraction(1), "kelvin": None}.get(unit.temperature, Fraction(0))
        low, high = low * unit.factor + unit.offset, high * unit.factor + unit.offset
        if low == high:
            return _Operand(self.formula.add_number(low, place=place), unit.dimension, readings)
        self.box.append((low, high))
        return _Operand(self.formula.add_quantity(len(self.box) - 1), unit.dimension, readings)

    def _find_named(self, step: Step) -> _Operand:
        if step.text in self.named:
            return self.named[step.text]
        given = self.inputs.get(step.text)
        if given is None:
            unit = parse_unit(step.text)
            if isinstance(unit, Unit):  # `kJ / day`: a unit named alone is one of it
                return self._add_value(Fraction(1), Fraction(1), unit, step.place)
            near = difflib.get_close_matches(step.text, self.inputs, n=1)
            mend = f"did you mean `{near[0]}`?" if near else f"add `{step.text}` to the inputs"
            raise _Stop(CalcFault("unknown-name", f"`{step.text}` is no input", mend, step.place, step.text))
        value, unit_text = given
        read = read_value(value)
        if read is None:
            told = f"the value `{value[:60]}` of `{step.text}` is no number, range or ±"
            raise _Stop(CalcFault("cannot-be-read", told, "write it as `3`, `3 to 5` or `3 ± 0.5`", None, step.text))
        low, high, own = read
        if own and unit_text.strip():
            told = f"the value `{value[:60]}` of `{step.text}` carries a unit beside `unit: {unit_text}`"
            raise _Stop(CalcFault("cannot-be-read", told, "leave the unit out of the value", None, step.text))
        unit = _find_unit(unit_text if unit_text.strip() else own, name=step.text)
        self.named[step.text] = self._add_value(low, high, unit, step.place)
        return self.named[step.text]

    def _stop_unfit(self, one: _Operand, other: _Operand, sign: str, place: int) -> _Stop:
        first, second = describe_dimension(one.dimension), describe_dimension(other.dimension)
        told = f"{first} met {second} at `{sign}`"
        return _Stop(CalcFault("units-do-not-fit", told, "bring both sides to the same kind of quantity", place))

    def _refuse_reading(self, place: int) -> _Stop:
        told = "a temperature on a scale (°C, °F) is used where only a difference or kelvins make sense"
        choices = ("°C difference", "°F difference", "K")
        return _Stop(CalcFault("ambiguous-unit", told, "write the unit as `°C difference` or `K`", place, "", choices))

    def _scale(self, one: _Operand, other: _Operand, place: int, *, divides: bool) -> Fraction | None:
        """Readings of a product or quotient: a reading may only be multiplied by a plain number, as in a mean."""
        if not one.readings and not other.readings:
            return None if one.readings is None or other.readings is None else Fraction(0)
        factor = self.formula.get_number(other.node)
        if one.readings and factor and not other.dimension:
            return one.readings / factor if divides else one.readings * factor
        factor = self.formula.get_number(one.node)
        if other.readings and factor and not one.dimension and not divides:
            return other.readings * factor
        raise self._refuse_reading(place)

    def _add_pair(self, step: Step) -> _Operand:
        other, one = self.stack.pop(), self.stack.pop()
        formula, place = self.formula, step.place
        if step.op in {"+", "-"}:
            if one.dimension != other.dimension:
                raise self._stop_unfit(one, other, _SIGNS.get(step.op, step.op), place)
            readings = None
            if one.readings is not None and other.readings is not None:
                readings = one.readings + (other.readings if step.op == "+" else -other.readings)
            combine = formula.add if step.op == "+" else formula.subtract
            return _Operand(combine(one.node, other.node, place=place), one.dimension, readings)
        if step.op == "^":
            power = formula.get_number(other.node)
            if power is None or other.dimension:
                told = "a power must be a plain number without a range or a unit"
                raise _Stop(CalcFault("cannot-be-read", told, "write the power as a number such as `2`", place))
            if one.readings:
                raise self._refuse_reading(place)
            dimension = multiply_dimensions((), one.dimension, power)
            return _Operand(formula.raise_to(one.node, power, place=place), dimension, one.readings)
        divides = step.op == "/"
        readings = self._scale(one, other, place, divides=divides)
        combine = formula.divide if divides else formula.multiply
        dimension = multiply_dimensions(one.dimension, other.dimension, Fraction(-1 if divides else 1))
        return _Operand(combine(one.node, other.node, place=place), dimension, readings)

    def add_step(self, step: Step) -> None:
        if step.op == "number":
            operand = self._add_value(step.low, step.high, _find_unit(step.unit, place=step.place), step.place)
        elif step.op == "name":
            operand = self._find_named(step)
        elif step.op == "neg":
            one = self.stack.pop()
            readings = None if one.readings is None else -one.readings
            operand = _Operand(self.formula.negate(one.node, place=step.place), one.dimension, readings)
        elif step.op == "sqrt":
            one = self.stack.pop()
            if one.readings:
                raise self._refuse_reading(step.place)
            half = Fraction(1, 2)
            node = self.formula.raise_to(one.node, half, place=step.place)
            operand = _Operand(node, multiply_dimensions((), one.dimension, half), one.readings)
        elif step.op in FUNCTIONS:
            parts = [self.stack.pop() for _ in range(step.size)][::-1]
            for part in parts[1:]:
                if part.dimension != parts[0].dimension:
                    raise self._stop_unfit(parts[0], part, step.op, step.place)
                if part.readings != parts[0].readings:
                    raise self._refuse_reading(step.place)
            node = self.formula.choose(step.op, tuple(part.node for part in parts))
            operand = _Operand(node, parts[0].dimension, parts[0].readings)
        else:
            operand = self._add_pair(step)
        self.stack.append(operand)


def spell_value(value: Fraction | Decimal, digits: int) -> str:
    """A value at some significant digits, without exponents in ordinary sizes, with its thousands apart."""
    numerator, denominator = value.as_integer_ratio()
    rounded = Context(prec=digits).divide(Decimal(numerator), Decimal(denominator))
    if not rounded or not -7 < rounded.adjusted() < 16:
        return f"{rounded:.{digits - 1}e}" if rounded else "0"
    spelled = f"{rounded:,f}"
    return (spelled.rstrip("0").rstrip(".") if "." in spelled else spelled).replace("-", "−")


def _write_working(
    tokens: tuple[Token, ...], inputs: Mapping[str, tuple[str, str]], low: Fraction, high: Fraction, unit: str
) -> str:
    """The expression with its inputs' values in place of their names, and the result.

    Exact where that takes no more digits than the longest value has and one, so that 730.92 + 342.12 is 1073.04; else
    to four digits.
    """
    words: list[str] = []
    for token in tokens[:-1]:
        given = inputs.get(token.text) if token.kind == "name" else None
        power = ""
        if given is None and token.kind == "name" and token.text[-1] in "²³":
            given, power = inputs.get(token.text[:-1]), token.text[-1]
        if given is None:
            words.append(_SIGNS.get(token.text, token.text) if token.kind == "operator" else token.text)
            continue
        value = say_quantity(*given)
        bracketed = " " in given[0].strip() or "/" in value or power
        words.append((f"({value})" if bracketed else value) + power)
    line = ""
    for index, word in enumerate(words):
        before = words[index - 1] if index else "("
        opens = index > 1 and words[index - 2] in {"(", "+", "−", "×", "÷", "^", ","}
        sign = before in {"−", "+"} and (index == 1 or opens)  # a sign, not an operation
        close = (
            word in {")", ",", "^", "²", "³"} or before in {"(", "^"} or sign or (word == "(" and before in FUNCTIONS)
        )
        line += word if close or not index else " " + word
    exact = [spell_value(end, 20) for end in (low, high)]
    longest = max((len(run) for word in words for run in re.findall(r"\d+", re.sub("[.,]", "", word))), default=0)
    spelled = (
        [spell_value(end, digits) for end in (low, high)] for digits in range(4, max(4, min(longest + 1, 7)) + 1)
    )
    short = next((ends for ends in spelled if ends == exact), None)
    ends = short or [spell_value(end, 4) for end in (low, high)]
    told = ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"
    return f"{line} {'=' if short else '≈'} {say_quantity(told, unit)}"


def _finish(worker: _Worker, unit: Unit) -> tuple[Fraction, Fraction]:
    """Range of the only operand left, in the unit of the result."""
    operand = worker.stack[-1]
    if operand.dimension != unit.dimension:
        first, second = describe_dimension(operand.dimension), describe_dimension(unit.dimension)
        told = f"the working gives {first}, but `{unit.name}` measures {second}"
        raise _Stop(CalcFault("units-do-not-fit", told, "mend the unit of the result, or what the working leaves out"))
    wanted = {"reading": Fraction(1), "difference": Fraction(0)}.get(unit.temperature)
    if wanted is not None and operand.readings is not None and operand.readings != wanted:
        raise worker._refuse_reading(0)
    low, high = find_range(worker.formula, operand.node, worker.box)
    return (low - unit.offset) / unit.factor, (high - unit.offset) / unit.factor


def evaluate(expression: str, inputs: Mapping[str, tuple[str, str]], unit: str) -> Result | CalcFault:
    """Work an expression over its inputs, name → (value text, unit text), to a range in `unit`.

    The range is exact, or good to 1e-12 of its parts where a quantity is named more than once and pulls both ways.
    """
    steps, tokens = read_expression(expression), split_tokens(expression)
    if isinstance(steps, SyntaxFault) or isinstance(tokens, SyntaxFault):
        fault = steps if isinstance(steps, SyntaxFault) else tokens
        assert isinstance(fault, SyntaxFault)
        mend = "write it with numbers, input names, + - * / ^, brackets, min, max and sqrt"
        return CalcFault("cannot-be-read", fault.message, mend, fault.place)
    worker = _Worker(inputs)
    try:
        found = _find_unit(unit)
        for step in steps:
            worker.add_step(step)
        low, high = _finish(worker, found)
    except _Stop as stopped:
        return stopped.fault
    except RangeFault as raised:
        message, mend = _TOLD[raised.kind]
        return CalcFault(raised.kind, message, mend, raised.place)
    ends = [_DIGITS.divide(Decimal(end.numerator), Decimal(end.denominator)) for end in (low, high)]
    working = _write_working(tokens, inputs, low, high, found.name)
    return Result(ends[0], ends[1], found.name, working, tuple(sorted(worker.named)))


def agrees(result: Result, says: str) -> bool:
    """Whether a text ("about 85 to 270", "just over half", "nearly two US gallons") tells a result at its precision.

    A number told must fit both ends of the result; a range told must fit them end by end. A number without a unit is in
    the result's own. Every number told must fit; a text that tells none agrees with nothing.
    """
    told = [quantity for quantity in find_quantities(says) if quantity.kind != "ordinal"]
    unit = "" if result.unit in {"count", "share"} else "%" if result.unit.startswith("%") else result.unit
    known = make_known(result.low, result.high, unit=unit.replace("count/", "1/"))
    return bool(told) and all(is_met(quantity, known) for quantity in told)
