"""The language of calculations: what it reads, in which order it works, what it refuses."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.expression import MAX_TOKENS, Step, SyntaxFault, read_expression, split_tokens


def worked(expression: str) -> str:
    """The steps as one line, operands first."""
    steps = read_expression(expression)
    assert not isinstance(steps, SyntaxFault), steps
    return " ".join(tell(step) for step in steps)


def tell(step: Step) -> str:
    if step.op == "name":
        return step.text
    if step.op != "number":
        return f"{step.op}{step.size or ''}"
    ends = f"{step.low}" if step.low == step.high else f"{step.low}..{step.high}"
    return f"{ends}[{step.unit}]" if step.unit else ends


@pytest.mark.parametrize(
    ("expression", "steps"),
    [
        ("energy * 1 day / moth", "energy 1[day] * moth /"),
        ("a + b * c", "a b c * +"),
        ("a - b - c", "a b - c -"),
        ("a / b / c", "a b / c /"),
        ("a / b * c", "a b / c *"),
        ("a ^ b ^ c", "a b c ^ ^"),
        ("a ** 2", "a 2 ^"),
        ("-a ^ 2", "a 2 ^ neg"),
        ("a ^ -1", "a 1 neg ^"),
        ("a * -b", "a b neg *"),
        ("−a − −b", "a neg b neg -"),
        ("+a", "a"),
        ("a × b ÷ c · d", "a b * c / d *"),
        ("(a + b) * c", "a b + c *"),
        ("a² + b³", "a 2 ^ b 3 ^ +"),
        ("(a + b)²", "a b + 2 ^"),
        ("sqrt(a * b)", "a b * sqrt1"),
        ("min(a, b, 3)", "a b 3 min3"),
        ("max(a, min(b, c))", "a b c min2 max2"),
        ("120 to 160", "120..160"),
        ("160 to 120", "120..160"),
        ("-1 to 2", "1..2 neg"),
        ("(120 to 160) kJ", "120..160[kJ]"),
        ("(-1 to 2) * a", "-1..2 a *"),
        ("120 to 160 kJ / 2", "120..160[kJ] 2 /"),
        ("33/2 + 16.5 ± 0.5 kg", "33 2 / 16..17[kg] +"),
        ("5 cm² + 5 cm^2", "5[cm²] 5[cm2] +"),
        ("2 US gallon * 3", "2[US gallon] 3 *"),
        ("2 US fluid ounce", "2[US fluid ounce]"),
        ("20 %", "20[%]"),
        ("20 °C", "20[°C]"),
        ("1.5e3 + .5", "1500 1/2 +"),
        ("min + max", "min max +"),
        ("( ( a ) )", "a"),
    ],
)
def test_order_of_work(expression: str, steps: str) -> None:
    assert worked(expression) == steps


@pytest.mark.parametrize(
    ("expression", "place"),
    [
        ("", 0), ("   ", 0), ("a +", 3), ("a b", 2), ("a (b)", 2), ("(a", 2), ("a)", 1), ("a + * b", 4), ("1,200 + 3", 1),
        ("a.b", 1), ("a[0]", 1), ("a; b", 1), ("a = 3", 2), ("'x'", 0), ("lambda: 0", 6), ("open('x')", 5), ("a @ b", 2),
        ("sqrt(a, b)", 0), ("sqrt()", 5), ("min()", 4), ("min(a,)", 6), ("5 to", 4), ("5 to kJ", 5), ("1.2.3", 0),
        ("sqrt a", 5), ("a to b", 2), ("5 ± ± 3", 4), ("a\x00b", 1), ("1" * 31, 0), ("()", 1), ("2 a b", 4), ("--", 2),
    ],
)  # fmt: skip
def test_refusals_name_the_place(expression: str, place: int) -> None:
    fault = read_expression(expression)
    assert isinstance(fault, SyntaxFault), fault
    assert fault.place == place, fault
    assert fault.message


@pytest.mark.parametrize(
    "expression",
    ["(" * 300 + "1" + ")" * 150, "-" * 400 + "1", "2" + "^2" * 200, "1" + "+1" * 200, "a" * 501, "sqrt(" * 80 + "1"],
)
def test_deep_and_long_texts_are_refused(expression: str) -> None:
    assert isinstance(read_expression(expression), SyntaxFault)


def test_a_long_sum_within_the_limits_is_read() -> None:
    steps = read_expression("1" + "+1" * (MAX_TOKENS // 2 - 1))
    assert not isinstance(steps, SyntaxFault)
    assert sum(step.low for step in steps if step.op == "number") == Fraction(MAX_TOKENS // 2)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    assert isinstance(read_expression(text), tuple | SyntaxFault)


PIECES = st.sampled_from(
    ["a", "b", "1", "2.5", "+", "-", "*", "/", "^", "(", ")", ",", "to", "±", "sqrt", "min", "kJ", "²", "%"]
)


@settings(max_examples=100, deadline=None)
@given(st.lists(PIECES, max_size=30))
def test_steps_always_leave_one_value(pieces: list[str]) -> None:
    steps = read_expression(" ".join(pieces))
    if isinstance(steps, SyntaxFault):
        assert 0 <= steps.place <= len(" ".join(pieces))
        return
    depth = 0
    for step in steps:
        taken = {"number": 0, "name": 0, "neg": 1}.get(step.op, step.size or 2)
        assert depth >= taken
        depth += 1 - taken
    assert depth == 1
    tokens = split_tokens(" ".join(pieces))
    assert not isinstance(tokens, SyntaxFault) and tokens[-1].kind == "end"
