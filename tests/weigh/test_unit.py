"""Units: exact factors from published definitions, unit names that name several, dimensions told in words."""

from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.unit import (
    Unit,
    UnitFault,
    ambiguous_unit,
    convert,
    describe_dimension,
    parse_unit,
    round_converted,
    say_quantity,
)
from builder.weigh.unitword import convert_unit, name_unit, read_unit

D = Decimal


def converted(value: str, source: str, target: str) -> Fraction:
    result = convert(D(value), source, target)
    assert isinstance(result, Fraction), result
    return result


@pytest.mark.parametrize(
    ("row", "value", "source", "target", "expected"),
    [
        # Q1: 16 CFR 500.19, exact
        ("Q1", "1", "inch", "cm", "2.54"),
        ("Q1", "1", "foot", "cm", "30.48"),
        ("Q1", "1", "yard", "m", "0.9144"),
        ("Q1", "1", "square inch", "cm²", "6.4516"),
        ("Q1", "1", "square foot", "cm²", "929.0304"),
        # Q2: 16 CFR 500.19, at full length
        ("Q2", "1", "pound", "kg", "0.45359237"),
        ("Q2", "1", "ounce", "g", "28.349523125"),
        ("Q2", "1", "US pint", "mL", "473.176473"),
        ("Q2", "1", "US gallon", "L", "3.785411784"),
        ("Q2", "1", "US fluid ounce", "mL", "29.5735295625"),
        # Q3: imperial measures; definition from memory
        ("Q3", "1", "imperial pint", "mL", "568.26125"),
        ("Q3", "1", "imperial gallon", "L", "4.54609"),
        ("Q3", "1", "imperial fluid ounce", "mL", "28.4130625"),
        # Q5: fixed points of the scales
        ("Q5", "-40", "°F", "°C", "-40"),
        ("Q5", "32", "°F", "°C", "0"),
        ("Q5", "68", "°F", "°C", "20"),
        ("Q5", "98.6", "°F", "°C", "37"),
        ("Q5", "212", "°F", "°C", "100"),
        ("Q5", "1.8", "°F difference", "°C difference", "1.0"),
        # Q6: no binary rounding
        ("Q6", "1", "ft", "cm", "30.48"),
        ("Q6", "1", "lb", "kg", "0.45359237"),
        # Q7: international units
        ("Q7", "1", "acre", "m²", "4046.8564224"),
        ("Q7", "1", "fathom", "m", "1.8288"),
        ("X7", "1", "troy pound", "kg", "0.3732417216"),  # 12 × 480 grains of 64.79891 mg
    ],
)
def test_factors_are_exact(row: str, value: str, source: str, target: str, expected: str) -> None:
    assert converted(value, source, target) == Fraction(expected)
    assert converted(expected, target, source) == Fraction(value)


@pytest.mark.parametrize(
    ("source", "target", "printed"),
    [
        ("pound", "kg", "0.453592"), ("ounce", "g", "28.3495"), ("US pint", "mL", "473.177"),
        ("US gallon", "L", "3.78541"), ("US fluid ounce", "mL", "29.5735"),
    ],
)  # fmt: skip
def test_q2_as_printed_to_six_digits(source: str, target: str, printed: str) -> None:
    found = converted("1", source, target)
    value = D(found.numerator) / D(found.denominator)
    last_digit = D(1).scaleb(D(printed).as_tuple().exponent)
    assert abs(value - D(printed)) <= last_digit  # 16 CFR 500.19, to one unit in the last digit printed


def test_q7_survey_units_differ_from_the_sixth_digit() -> None:
    assert round(float(converted("1", "survey acre", "m²")), 4) == 4046.8726
    assert abs(float(converted("1", "survey fathom", "m")) - 1.828803657) <= 1e-9


def test_q4_rounds_as_precisely_as_the_original() -> None:
    # NIST SP 811, appendix B: 36 ft is 11.0 m, not 11 m; value from memory
    assert round_converted(D("10.9728"), D("0.3048")) == D("11.0")
    assert str(round_converted(D("10.9728"), D("0.3048"))) == "11.0"
    assert round_converted(D("2.5"), D("1.2")) == D("3")
    assert round_converted(D("2.5"), D("0")) == D("2.5")


@pytest.mark.parametrize(
    ("text", "choices"),
    [
        ("gallon", ("US gallon", "imperial gallon")),
        ("gallons/year", ("US gallon", "imperial gallon")),
        ("nearly two gallons a year", ("US gallon", "imperial gallon")),
        ("half a pint", ("US pint", "imperial pint")),
        ("fl oz", ("US fluid ounce", "imperial fluid ounce")),
        ("fluid ounces", ("US fluid ounce", "imperial fluid ounce")),
        ("three tons", ("tonne", "long ton", "short ton")),
        ("%", ("% of mass", "% of volume", "% of occurrence", "% of count")),
        ("per cent", ("% of mass", "% of volume", "% of occurrence", "% of count")),
        ("a bite of 1,100 psi, the strongest of all", ("psi (a pressure)", "lbf (a force)", "N (a force)")),
        ("a bite force of 1,100 psi", ("psi (a pressure)", "lbf (a force)", "N (a force)")),
        ("it was 1.8 °F warmer", ("°F difference", "°F")),
        ("a difference of 1.8 °F", ("°F difference", "°F")),
        ("100 proof", ("% ethanol by volume", "US proof", "UK proof")),
        ("10 % formalin", ("% of commercial formalin", "% formaldehyde by mass")),
        ("70 % ethanol", ("% ethanol by volume", "% ethanol by mass")),
        ("70 per cent alcohol", ("% ethanol by volume", "% ethanol by mass")),
        ("300 calories", ("cal", "kcal")),
    ],
)
def test_names_that_name_several(text: str, choices: tuple[str, ...]) -> None:
    assert ambiguous_unit(text) == choices


@pytest.mark.parametrize(
    "text",
    [
        "US gallon", "imperial gallon", "two US gallons", "imperial pint", "US fluid ounces", "tonne", "long ton", "short ton",
        "% of mass", "61.4 % of them", "1,100 psi", "98.6 °F", "70 % ethanol by volume", "waterproof", "proof of it",
        "US proof", "kcal", "kilocalories", "stone", "mL", "count", "", "°F difference",
    ],
)  # fmt: skip
def test_names_that_are_clear(text: str) -> None:
    assert ambiguous_unit(text) is None


def test_each_choice_offered_is_a_unit() -> None:
    for text in ("gallon", "pint", "ton", "fluid ounce", "quart", "%", "proof", "calorie"):
        fault = parse_unit(text)
        assert isinstance(fault, UnitFault) and fault.fault == "ambiguous-unit", text
        for choice in fault.choices:
            assert isinstance(parse_unit(choice), Unit), choice


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("", "a number"), ("count", "a number"), ("% of mass", "a number"), ("mm", "a length"), ("acre", "an area"),
        ("mL", "a volume"), ("kJ", "an energy"), ("kJ/day", "an energy per time"), ("psi", "a pressure"),
        ("kPa", "a pressure"), ("N", "a force"), ("lbf", "a force"), ("g/cm³", "a density"), ("kg/m^3", "a density"),
        ("kg·m/s²", "a force"), ("kg m s⁻²", "a force"), ("m/s/s", "an acceleration"), ("1/cm²", "a number per area"),
        ("per cm²", "a number per area"), ("count/year", "a number per time"), ("°C", "a temperature"),
        ("£", "an amount in pounds sterling"), ("mL/kg/day", "a quantity in length³·mass⁻¹·time⁻¹"),
        ("kilojoules a day", "an energy per time"), ("US gallon/year", "a volume per time"),
    ],
)  # fmt: skip
def test_dimensions_in_words(text: str, dimension: str) -> None:
    unit = parse_unit(text)
    assert isinstance(unit, Unit), unit
    assert describe_dimension(unit.dimension) == dimension


@pytest.mark.parametrize(
    "text",
    [
        "bats",
        "dB",
        "pH",
        "pi",
        "c",
        "m**9**9",
        "m^99",
        "((m",
        "kJ/",
        "/",
        "km" * 40,
        "é",
        "\x00",
        "1",
        "a" * 61,
        "J/(kg K)",
    ],
)
def test_what_is_no_unit_is_a_fault(text: str) -> None:
    unit = parse_unit(text)
    assert isinstance(unit, UnitFault) or (text == "1" and unit.dimension == ())


def test_units_that_do_not_fit_name_both_dimensions() -> None:
    fault = convert(D(1100), "psi", "N")
    assert isinstance(fault, UnitFault) and fault.fault == "units-do-not-fit"
    assert "a pressure" in fault.message and "a force" in fault.message
    mixed = convert(D(10), "°C difference", "°C")
    assert isinstance(mixed, UnitFault) and mixed.fault == "ambiguous-unit"


LENGTHS = ["mm", "cm", "m", "km", "inch", "foot", "yard", "mile", "fathom", "µm"]


@settings(max_examples=60, deadline=None)
@given(st.decimals(-(10**6), 10**6, places=3), st.sampled_from(LENGTHS), st.sampled_from(LENGTHS))
def test_units_survive_a_round_trip(value: Decimal, one: str, other: str) -> None:
    there = convert(value, one, other)
    assert isinstance(there, Fraction)
    assert convert(there, other, one) == Fraction(value)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=40))
def test_any_text_is_a_unit_or_a_fault(text: str) -> None:
    assert isinstance(parse_unit(text), Unit | UnitFault)
    read_unit(text, 0)
    ambiguous_unit(text)


# Spellings of prose against pint's own definitions; acre and fathom are ours, and months are calendar units here.
PLAIN = [
    "nm", "µm", "mm", "cm", "m", "km", "inch", "foot", "yard", "mile", "µg", "mg", "g", "kg", "t", "pound", "ounce", "s",
    "min", "h", "day", "week", "mL", "cL", "dL", "L", "µL", "cal", "kcal", "J", "kJ", "MJ", "W", "N", "kN", "Pa", "kPa",
    "MPa", "ha", "Hz", "kHz",
]  # fmt: skip


REGISTRY = pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)


@pytest.mark.parametrize("name", PLAIN)
def test_prose_factors_agree_with_pint(name: str) -> None:
    assert name_unit(name) == name
    base = {"length": "m", "mass": "kg", "time": "s", "volume": "L", "energy": "J", "pressure": "Pa", "force": "N"}
    for target in [*base.values(), "ha", "Hz", "W"]:
        ours = convert_unit(D(1), name, target)
        if REGISTRY.Unit(name).is_compatible_with(REGISTRY.Unit(target)):
            theirs = Fraction(REGISTRY.Quantity(Fraction(1), name).to(target).magnitude)
            assert ours is not None
            assert abs(Fraction(ours) - theirs) <= theirs / 10**25
        else:
            assert ours is None


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("millimetres", "mm"), ("Millimetres", "mm"), ("pounds a piece", "pound"), ("pounds apiece", "pound"), ("lbs", "pound"),
        ("grams per day", "g/day"), ("mL daily", "mL/day"), ("gallons in a year", "gallon/year"), ("feet", "foot"),
        ("degrees Celsius", "°C"), ("square centimetres", "cm²"), ("percent", "%"), ("in all", ""), ("miles", "mile"),
        ("years", "year"), ("bats", ""), ("second bird", ""), ("seconds", "s"), ("mmm", ""), ("m2", "m²"), ("", ""),
    ],
)  # fmt: skip
def test_units_of_prose(text: str, unit: str) -> None:
    assert read_unit(text, 0)[0] == unit


@pytest.mark.parametrize(
    "value, unit, told",
    [
        ("365", "day", "365 days"),
        ("1", "day", "1 day"),
        ("0.5 to 1", "foot", "0.5 to 1 feet"),
        ("15", "avoirdupois pound", "15 avoirdupois pounds"),
        ("2", "US gallon", "2 US gallons"),
        ("1441.94", "g", "1,441.94 g"),
        ("12345 ± 1000", "", "12,345 ± 1,000"),
        ("0.12345", "kg", "0.12345 kg"),
        ("1890", "year", "1890 years"),
        ("10.8", "% of occurrence", "10.8 % by occurrence"),
        ("20", "kJ/day", "20 kJ/day"),
        ("7", "count", "7"),
    ],
)
def test_a_quantity_as_readers_are_shown_it(value: str, unit: str, told: str) -> None:
    assert say_quantity(value, unit) == told


def test_a_number_of_any_length_is_told() -> None:
    assert say_quantity("1441.94", "g") == "1,441.94 g" and say_quantity("9" * 6, "g") == "999,999 g"
    assert say_quantity("9" * 4998, "g") == ",".join(["999"] * 1666) + " g"
