"""The small language of calculations: numbers, names, + − × ÷ ^, parentheses, min, max and sqrt; nothing else.

In: one line such as `energy * 1 day / moth`, `sqrt(area)`, `(a - b) / 2`, `(120 to 160) kJ`. Out: its steps in the
order they are worked (operands first), and its tokens for printing. A number may carry a unit behind it (`1 day`,
`5 cm²`, `2 US gallon`) and may be a range (`120 to 160 kJ`, `16.7 ± 0.5 kg`). Powers bind tightest and to the right,
then the minus sign, then × and ÷, then + and −; there is no unwritten multiplication. `**` is `^`, `²` a power of two.

Refused, as a `SyntaxFault` with its place: anything else, more than 500 characters, 200 tokens, 40 open brackets or a
number of more than 30 digits. No text raises, and nothing is ever executed. Method: precedence climbing (Pratt 1973).
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, NamedTuple

MAX_LENGTH: Final = 500
MAX_TOKENS: Final = 200
MAX_DEPTH: Final = 40
FUNCTIONS: Final = frozenset({"min", "max", "sqrt"})


class Token(NamedTuple):
    """A piece of an expression: kind number, name, unit, operator or end, as written, and its place."""

    kind: str
    text: str
    place: int


class Step(NamedTuple):
    """One step: number (low, high, unit), name (text), operator + - * / ^ neg, or a function over `size` operands."""

    op: str
    place: int
    text: str = ""
    low: Fraction = Fraction(0)
    high: Fraction = Fraction(0)
    unit: str = ""
    size: int = 0


@dataclass(frozen=True, slots=True)
class SyntaxFault:
    """Why an expression cannot be read, and at which character (from 0)."""

    message: str
    place: int


_TOKEN: Final = re.compile(
    r"\s*(?:(?P<number>(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][-+]?\d{1,2})?(?![\d.]))"
    r"|(?P<operator>\*\*|[-+*/×·÷^()−–,±²³])|(?P<name>[^\W\d]\w*)|(?P<sign>[%‰£$€]|°\s?[CF]?))"
)
_SAME: Final = {"**": "^", "×": "*", "·": "*", "÷": "/", "−": "-", "–": "-"}
_BINDING: Final = {"+": 10, "-": 10, "*": 20, "/": 20, "^": 41}
_UNIT_PREFIXES: Final = frozenset(
    (
        "US",
        "UK",
        "imperial",
        "fluid",
        "long",
        "short",
        "metric",
        "troy",
        "square",
        "cubic",
        "survey",
        "nautical",
        "light",
    )
)


def split_tokens(expression: str) -> tuple[Token, ...] | SyntaxFault:
    """The tokens of an expression, the last one of kind end."""
    if len(expression) > MAX_LENGTH:
        return SyntaxFault(f"the expression is longer than {MAX_LENGTH} characters", MAX_LENGTH)
    tokens: list[Token] = []
    at, last = 0, len(expression.rstrip())
    while at < last:
        found = _TOKEN.match(expression, at)
        if found is None:
            place = at + len(expression[at:]) - len(expression[at:].lstrip())
            return SyntaxFault(f"`{expression[place]}` has no meaning here", place)
        kind = str(found.lastgroup)
        text = found[kind]
        place = found.start(kind)
        if kind == "number" and sum(character.isdigit() for character in text) > 30:
            return SyntaxFault("the number has more than 30 digits", place)
        tokens.append(Token("unit" if kind == "sign" else kind, _SAME.get(text, text), place))
        if len(tokens) > MAX_TOKENS:
            return SyntaxFault(f"the expression has more than {MAX_TOKENS} parts", place)
        at = found.end()
    tokens.append(Token("end", "", last))
    return tuple(tokens)


class _Fault(Exception):
    def __init__(self, message: str, place: int) -> None:
        super().__init__(message)
        self.fault = SyntaxFault(message, place)


class _Reader:
    """Reads tokens into steps by precedence climbing; recursion is bounded by the depth limit."""

    def __init__(self, tokens: tuple[Token, ...]) -> None:
        self.tokens = tokens
        self.at = 0
        self.depth = 0
        self.steps: list[Step] = []

    def is_next(self, text: str, *, ahead: int = 0) -> bool:
        token = self.tokens[min(self.at + ahead, len(self.tokens) - 1)]
        return token.text == text and token.kind in {"operator", "name"}

    def expect(self, text: str, why: str) -> None:
        if not self.is_next(text):
            token = self.tokens[self.at]
            raise _Fault(f"{why}, found {f'`{token.text}`' if token.text else 'the end'}", token.place)
        self.at += 1

    def read(self, binding: int) -> None:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise _Fault(
                f"more than {MAX_DEPTH} brackets, signs or powers are open at once", self.tokens[self.at].place
            )
        self.read_operand()
        while True:
            token = self.tokens[self.at]
            if token.kind == "operator" and token.text in {"²", "³"}:
                power = Fraction(2 if token.text == "²" else 3)
                self.steps.append(Step("number", token.place, low=power, high=power))
                self.steps.append(Step("^", token.place))
                self.at += 1
                continue
            power_of = _BINDING.get(token.text, 0) if token.kind == "operator" else 0
            if power_of <= binding:
                break
            self.at += 1
            self.read(40 if token.text == "^" else power_of)  # powers to the right, the rest to the left
            self.steps.append(Step(token.text, token.place))
        self.depth -= 1

    def read_operand(self) -> None:
        token = self.tokens[self.at]
        if token.kind == "number":
            self.read_number()
        elif token.kind == "name" and token.text in FUNCTIONS and self.is_next("(", ahead=1):
            self.read_call(token)
        elif token.kind == "name":
            self.at += 1
            name, squared = token.text.rstrip("²³"), token.text[-1]
            self.steps.append(Step("name", token.place, text=name))
            if squared in "²³":
                power = Fraction(2 if squared == "²" else 3)
                self.steps.extend((Step("number", token.place, low=power, high=power), Step("^", token.place)))
        elif token.text in {"-", "+"} and token.kind == "operator":
            self.at += 1
            self.read(30)
            if token.text == "-":
                self.steps.append(Step("neg", token.place))
        elif token.text == "(" and token.kind == "operator":
            if self.is_range_in_brackets():
                return
            self.at += 1
            self.read(0)
            self.expect(")", "a bracket is not closed: expected `)`")
        else:
            raise _Fault(
                f"expected a number or a name, found {f'`{token.text}`' if token.text else 'the end'}", token.place
            )

    def read_call(self, token: Token) -> None:
        self.at += 2
        count = 1
        self.read(0)
        while self.is_next(","):
            self.at += 1
            self.read(0)
            count += 1
        self.expect(")", f"`{token.text}` is not closed: expected `)`")
        if token.text == "sqrt" and count != 1:
            raise _Fault("`sqrt` takes one value", token.place)
        self.steps.append(Step(token.text, token.place, size=count))

    def read_value(self) -> Fraction:
        token = self.tokens[self.at]
        sign = 1
        if token.kind == "operator" and token.text == "-":
            sign, self.at = -1, self.at + 1
            token = self.tokens[self.at]
        if token.kind != "number":
            raise _Fault("a range needs a number on either side", token.place)
        self.at += 1
        return sign * Fraction(token.text)

    def read_number(self) -> None:
        start = self.tokens[self.at]
        low = high = self.read_value()
        if self.is_next("to"):
            self.at += 1
            high = self.read_value()
            low, high = min(low, high), max(low, high)
        elif self.is_next("±"):
            self.at += 1
            spread = abs(self.read_value())
            low, high = low - spread, high + spread
        self.steps.append(Step("number", start.place, low=low, high=high, unit=self.read_unit()))

    def is_range_in_brackets(self) -> bool:
        """Read `(120 to 160) kJ`: the unit stands behind the bracket."""
        kept = self.at, len(self.steps)
        sizes = [index for index in range(2, 6) if self.is_next(")", ahead=index)]
        inner = [self.is_next("to", ahead=index) or self.is_next("±", ahead=index) for index in range(2, 4)]
        if not sizes or not any(inner):
            return False
        self.at += 1
        try:
            self.read_number()
        except _Fault:
            self.at = kept[0]
            del self.steps[kept[1] :]
            return False
        if not self.is_next(")"):
            self.at = kept[0]
            del self.steps[kept[1] :]
            return False
        self.at += 1
        step = self.steps[-1]
        if not step.unit:
            self.steps[-1] = step._replace(unit=self.read_unit())
        return True

    def read_unit(self) -> str:
        """The unit behind a number: a sign, or a name of up to three words, with a power."""
        words: list[str] = []
        while True:
            token = self.tokens[self.at]
            callable_name = token.text in FUNCTIONS and self.is_next("(", ahead=1)
            if token.kind not in {"name", "unit"} or token.text == "to" or callable_name:
                break
            words.append(token.text)
            self.at += 1
            if token.text not in _UNIT_PREFIXES or len(words) == 3:
                break
        if not words:
            return ""
        power = self.tokens[self.at]
        after = self.tokens[min(self.at + 1, len(self.tokens) - 1)]
        if power.text == "^" and after.kind == "number" and after.text in {"2", "3"}:
            words[-1] += after.text
            self.at += 2
        return " ".join(words)


def read_expression(expression: str) -> tuple[Step, ...] | SyntaxFault:
    """The steps of an expression, operands before operators; the last step leaves its value."""
    tokens = split_tokens(expression)
    if isinstance(tokens, SyntaxFault):
        return tokens
    if len(tokens) == 1:
        return SyntaxFault("the expression is empty", 0)
    reader = _Reader(tokens)
    try:
        reader.read(0)
        last = tokens[reader.at]
        if last.kind != "end":
            what = (
                "a name behind a value is no unit; write `×` between"
                if last.kind == "name"
                else "nothing may stand here"
            )
            return SyntaxFault(f"`{last.text}`: {what}", last.place)
    except _Fault as raised:
        return raised.fault
    return tuple(reader.steps)
