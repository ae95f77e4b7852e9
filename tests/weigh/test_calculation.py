"""Calculations: published sums and their traps, ranges, units, and what the text says of them."""

import json
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.calculation import CalcFault, Result, agrees, evaluate, read_value

D = Decimal
Inputs = dict[str, tuple[str, str]]


def work(expression: str, inputs: Inputs | None = None, unit: str = "count") -> Result:
    result = evaluate(expression, inputs or {}, unit)
    assert isinstance(result, Result), result
    return result


def fail(expression: str, inputs: Inputs | None = None, unit: str = "count") -> CalcFault:
    fault = evaluate(expression, inputs or {}, unit)
    assert isinstance(fault, CalcFault), fault
    assert fault.message and fault.mend
    json.dumps([fault.fault, fault.message, fault.mend])
    return fault


def shown(result: Result, digits: str) -> tuple[Decimal, Decimal]:
    return result.low.quantize(D(digits)), result.high.quantize(D(digits))


# X1: Wimsatt & Guerriere, J. Mammal. 43:17–27 (15.3 and 15.6 mL a day; range 11.6–21.0) and Wimsatt, J. Mammal. 50:233–244
# (no less than 20 % more in the wild); authors, years and volumes of both from memory.
BAT: Inputs = {"one": ("15.3", "mL/day"), "two": ("15.6", "mL/day"), "wild": ("1.2", "")}


def test_x1_nearly_two_gallons_a_year() -> None:
    captive = "(one + two) / 2 * 365 day"
    assert shown(work(captive, BAT, "L"), "0.01") == (D("5.64"), D("5.64"))
    assert shown(work(captive, BAT, "US gallon"), "0.01")[0] == D("1.49")
    assert shown(work(captive, BAT, "imperial gallon"), "0.01")[0] == D("1.24")
    wild = work(captive + " * wild", BAT, "US gallon")
    assert shown(work(captive + " * wild", BAT, "L"), "0.01")[0] == D("6.77")
    assert shown(wild, "0.01")[0] == D("1.79")
    assert shown(work(captive + " * wild", BAT, "imperial gallon"), "0.01")[0] == D("1.49")
    spread = work("each * 1 year", {"each": ("11.6–21.0", "mL/day")}, "US gallon")
    assert shown(spread, "0.01") == (D("1.12"), D("2.03"))
    assert agrees(wild, "nearly two gallons") and agrees(wild, "nearly two US gallons")
    assert not agrees(wild, "nearly two imperial gallons")
    assert not agrees(work(captive, BAT, "US gallon"), "nearly two gallons")
    assert not agrees(work(captive + " * wild", BAT, "imperial gallon"), "nearly two gallons")
    assert not agrees(spread, "nearly two gallons")


def test_x1_a_bare_gallon_asks_which() -> None:
    fault = fail("(one + two) / 2 * 365 day", BAT, "gallon")
    assert (fault.fault, fault.choices) == ("ambiguous-unit", ("US gallon", "imperial gallon"))
    assert "US gallon" in fault.mend and "imperial gallon" in fault.mend


def test_x2_a_sample_size_recovered() -> None:
    # Bobrowiec, Lemes & Gribel 2015, J. Mammal. 96(1):54–63: chickens 61.4 % of identifications (n = 27)
    result = work("chickens / share", {"chickens": ("27", ""), "share": ("61.4", "% of identifications")})
    assert shown(result, "0.01")[0] == D("43.97")
    assert agrees(result, "44") and not agrees(result, "45")
    assert agrees(work("27 / 44", unit="% of identifications"), "61.4 %")


def test_x3_the_thylacines_mass() -> None:
    # Rovinsky, Evans & Adams 2020, Proc. R. Soc. B: males 19.7, females 13.7, mean 16.7; the old figure 29.5 kg
    mass: Inputs = {"male": ("19.7", "kg"), "female": ("13.7", "kg"), "old": ("29.5", "kg"), "new": ("16.7", "kg")}
    assert agrees(work("(male + female) / 2", mass, "kg"), "16.7 kg")
    ratio = work("new / old", mass)
    assert shown(ratio, "0.001")[0] == D("0.566")
    assert agrees(ratio, "just over half")
    assert shown(work("old / new", mass), "0.01")[0] == D("1.77")
    assert agrees(work("old / new - 1", mass, "% of mass"), "about 80 % too big")
    fall = work("(old - new) / old", mass, "% of mass")
    assert shown(fall, "1")[0] == 43
    assert not agrees(fall, "almost 60 % smaller")


def test_x4_bounties() -> None:
    # Guiler 1961 as given by naturalworlds.org, and Lyne's motion, The Mercury 5 Nov 1886, as quoted there
    count: Inputs = {"early": ("1,954", ""), "late": ("230", "")}
    assert agrees(work("early + late", count), "2,184")
    assert agrees(work("(early + late) / 21 year", count, "count/year"), "104 a year")
    assert agrees(work("early / 16 year", count, "count/year"), "122 a year")
    assert agrees(work("late / 5 year", count, "count/year"), "46 a year")
    assert agrees(work("500 * 100"), "50,000 sheep")
    assert agrees(work("500 £ / 1 £"), "500")


@pytest.mark.parametrize(("empty", "all_", "printed"), [("18", "167", "10.8 %"), ("121", "257", "47.1 %")])
def test_x5_empty_stomachs(empty: str, all_: str, printed: str) -> None:
    # Smuts 1979, S. Afr. J. Wildl. Res. 9(1):19–25
    assert agrees(work("empty / all", {"empty": (empty, ""), "all": (all_, "")}, "% of stomachs"), printed)


def test_x6_parts_of_an_ostrich_egg() -> None:
    # Nikolova, Agricultural Sciences (Plovdiv), doi 10.22620/agrisci.2010.03.011
    first: Inputs = {"white": ("730.92", "g"), "yolk": ("342.12", "g"), "shell": ("265.22", "g")}
    second: Inputs = {"white": ("789.89", "g"), "yolk": ("370.78", "g"), "shell": ("281.27", "g")}
    parts = "white + yolk + shell"
    assert work(parts, first, "g").low == D("1338.26")
    assert agrees(work(parts, first, "g"), "1338.3 g") and not agrees(work(parts, first, "g"), "1338.27 g")
    assert work(parts, second, "g").low == D("1441.94")
    assert not agrees(work(parts, second, "g"), "1442.95 g")  # 1.01 g off as printed, probably a misprint
    assert shown(work("shell / (white + yolk + shell)", first, "% of mass"), "0.01")[0] == D("19.82")
    assert shown(work("shell / 1442.95 g", second, "% of mass"), "0.01")[0] == D("19.49")
    assert not agrees(work("shell / (white + yolk + shell)", first, "% of mass"), "19.80 %")


def test_x7_the_fifteen_pound_egg() -> None:
    # Leo Africanus as quoted in a 19th-century text; Willoughby and others 2016, Anat. Rec. 299(8); Nikolova 2010
    egg: Inputs = {"told": ("15", "pound"), "willoughby": ("1,312", "g"), "nikolova": ("1442.95", "g")}
    assert shown(work("told", egg, "kg"), "0.01")[0] == D("6.80")
    assert shown(work("told / willoughby", egg), "0.1")[0] == D("5.2")
    assert shown(work("told / nikolova", egg), "0.1")[0] == D("4.7")
    assert not agrees(work("willoughby", egg, "pound"), "fifteen pounds a piece")
    egg["told"] = ("15", "troy pound")
    assert shown(work("told", egg, "kg"), "0.01")[0] == D("5.60")
    assert shown(work("told / nikolova", egg), "0.1")[0] == D("3.9")
    assert shown(work("told / willoughby", egg), "0.1")[0] == D("4.3")


def test_x8_pores_and_density() -> None:
    # Willoughby and others 2016, Anat. Rec. 299(8):1015–1026
    assert agrees(work("40596 / 619 cm²", unit="1/cm²"), "65.6 per cm²")
    assert agrees(work("1312 g / 1333 cm³", unit="g/cm³"), "0.984 g/cm³")


def test_x9_the_argonauts_male() -> None:
    # Yong 2010, discovermagazine blog: about 8 times smaller, 600 times lighter
    assert agrees(work("8 ^ 3"), "512")
    assert shown(work("600 ^ (1/3)"), "0.01")[0] == D("8.43")


@pytest.mark.parametrize(("depth", "share"), [("7", "0.59"), ("10", "0.50")])
def test_x10_air_at_depth(depth: str, share: str) -> None:
    # Boyle's law; sea water 1025 kg/m³, surface 101.325 kPa, g 9.80665 m/s²
    inputs: Inputs = {
        "surface": ("101.325", "kPa"), "water": ("1025", "kg/m³"), "gravity": ("9.80665", "m/s²"), "depth": (depth, "m"),
    }  # fmt: skip
    assert agrees(work("surface / (surface + water * gravity * depth)", inputs), share)


def test_x11_years_before_the_film() -> None:
    # Popular Science Monthly 4 (1874) and 11 (1877); White Wilderness, 1958
    assert agrees(work("film - article", {"film": ("1958", ""), "article": ("1874", "")}), "84")
    assert agrees(work("film - article", {"film": ("1958", "year"), "article": ("1877", "year")}, "year"), "81 years")


def test_x12_a_pressure_is_no_force() -> None:
    # "1,100 psi" as popular pages give a hyena's bite; no area, no primary source
    assert agrees(work("bite", {"bite": ("1,100", "psi")}, "MPa"), "7.58 MPa")
    assert agrees(work("bite * 1 cm²", {"bite": ("1,100", "psi")}, "N"), "758 N")
    fault = fail("bite", {"bite": ("1,100", "psi")}, "N")
    assert fault.fault == "units-do-not-fit"
    assert "a pressure" in fault.message and "a force" in fault.message


def test_x14_the_vampires_teeth() -> None:
    # Handbook of the Mammals of the World 9 (2019), p. 495: I 1/2, C 1/1, P 1/2, M 1/1
    assert agrees(work("2 * (1 + 2 + 1 + 1 + 1 + 2 + 1 + 1)"), "20 teeth in all")


def test_x15_the_thylacines_teeth() -> None:
    # Beddard, Mammalia: I 4/3, C 1/1, Pm 3/3, M 4/4
    assert agrees(work("2 * (4 + 3 + 1 + 1 + 3 + 3 + 4 + 4)"), "46 teeth")
    assert agrees(work("2 * 4"), "eight of them upper incisors")
    assert not agrees(work("2 * (4 + 3 + 1 + 1 + 3 + 3 + 4 + 4)"), "42 teeth")


def test_moths_a_night() -> None:
    inputs: Inputs = {"energy": ("120 to 160", "kJ/day"), "moth": ("0.6 to 1.4", "kJ")}
    result = work("energy * 1 day / moth", inputs)
    assert shown(result, "0.01") == (D("85.71"), D("266.67"))
    assert result.working == "(120 to 160 kJ/day) × 1 day ÷ (0.6 to 1.4 kJ) ≈ 85.71 to 266.7"
    assert result.used == ("energy", "moth")
    assert agrees(result, "about 85 to 270")
    assert not agrees(result, "85 to 270") and not agrees(result, "about 85") and not agrees(result, "about 100 to 270")


def test_q8_gum_end_gauge() -> None:
    # JCGM 100:2008, H.1: l = l_s + d − l_s(δα·θ + α_s·δθ) = 50.000 838 mm, u_c = 32 nm
    inputs: Inputs = {
        "standard": ("50.000623", "mm"), "difference": ("215", "nm"), "alpha": ("11.5e-6", "1/K"),
        "theta": ("-0.1", "°C difference"), "alpha_apart": ("0", "1/K"), "theta_apart": ("0", "°C difference"),
    }  # fmt: skip
    length = "standard + difference - standard * (alpha_apart * theta + alpha * theta_apart)"
    assert agrees(work(length, inputs, "mm"), "50.000838 mm")
    inputs |= {
        "standard": ("50.000623 ± 0.000025", "mm"), "difference": ("215 ± 9.7", "nm"), "alpha": ("11.5e-6 ± 1.2e-6", "1/K"),
        "theta": ("-0.1 ± 0.41", "°C difference"), "alpha_apart": ("0 ± 0.58e-6", "1/K"),
        "theta_apart": ("0 ± 0.029", "°C difference"),
    }  # fmt: skip
    result = work(length, inputs, "nm")
    half = (result.high - result.low) / 2
    # the worst case holds the standard uncertainty, and is what its corners give: 25 + 9.7 + l_s(0.51 × 0.58e-6 + 12.7e-6 × 0.029)
    corners = 25 + 9.7 + 50.000648e6 * (0.51 * 0.58e-6 + 12.7e-6 * 0.029)
    assert half > 32 and abs(float(half) - corners) < 0.01


def test_q9_a_resistance() -> None:
    # GTC package, introductory example: V 0.1 ± 0.001 V, I 15 ± 0.5 mA, R = 6.67(23) Ω
    exact: Inputs = {"V": ("0.1", "V"), "I": ("15", "mA")}
    assert shown(work("V / I", exact, "ohm"), "0.0001")[0] == D("6.6667")
    ranged = work("V / I", {"V": ("0.1 ± 0.001", "V"), "I": ("15 ± 0.5", "mA")}, "ohm")
    assert ranged.low < D("6.6667") - D("0.2320") and D("6.6667") + D("0.2320") < ranged.high
    assert shown(ranged, "0.0001") == (D("6.3871"), D("6.9655"))


@pytest.mark.parametrize(
    ("expression", "x", "low", "high"),
    [
        ("x - x", "2 to 3", "0", "0"), ("x * x", "-1 to 2", "0", "4"), ("x ^ 2", "-1 to 2", "0", "4"),
        ("x² - 2 * x", "-1 to 2", "-1", "3"), ("1 / x", "2 to 4", "0.25", "0.5"), ("x / x", "2 ± 1", "1", "1"),
        ("x * (1 - x)", "0 to 1", "0", "0.25"),
    ],
)  # fmt: skip
def test_q10_one_quantity_named_twice(expression: str, x: str, low: str, high: str) -> None:
    # interval arithmetic (Moore; IEEE 1788), with one quantity kept one
    result = work(expression, {"x": (x, "")})
    assert (result.low, result.high) == (D(low), D(high))


def test_temperatures_are_readings_or_differences() -> None:
    day: Inputs = {"noon": ("68", "°F"), "night": ("32 °F", "")}
    assert work("(noon + night) / 2", day, "°C").low == D(10)
    assert work("noon - night", day, "°C difference").low == D(20)
    assert work("max(noon, night)", day, "°C").low == D(20)
    assert work("noon", day, "K").low == D("293.15")
    for expression, unit in (
        ("noon - night", "°C"),
        ("noon + night", "°C"),
        ("noon", "°C difference"),
        ("2 * noon", "°C"),
    ):
        assert fail(expression, day, unit).fault == "ambiguous-unit"
    assert fail("noon * night", day, "K^2").fault == "ambiguous-unit"


@pytest.mark.parametrize(
    ("expression", "inputs", "unit", "fault", "told"),
    [
        ("a + b", {"a": ("1", "g"), "b": ("2", "mm")}, "g", "units-do-not-fit", "a mass met a length"),
        ("min(a, b)", {"a": ("1", "g"), "b": ("2", "kJ")}, "g", "units-do-not-fit", "a mass met an energy"),
        ("a * b", {"a": ("1", "g"), "b": ("2", "mm")}, "g", "units-do-not-fit", "mass"),
        ("a + 1", {"a": ("1", "g")}, "g", "units-do-not-fit", "a mass met a number"),
        ("a", {"a": ("2", "pint")}, "L", "ambiguous-unit", "`pint`"),
        ("a", {"a": ("2", "%")}, "count", "ambiguous-unit", "`%`"),
        ("2 ton", {}, "kg", "ambiguous-unit", "`ton`"),
        ("a", {"a": ("2", "bats")}, "count", "unknown-unit", "`bats`"),
        ("energ * 2", {"energy": ("2", "kJ")}, "kJ", "unknown-name", "`energ`"),
        ("a / b", {"a": ("1", ""), "b": ("-1 to 1", "")}, "count", "divides-by-zero", "0"),
        ("a / (b - b)", {"a": ("1", ""), "b": ("1 to 2", "")}, "count", "divides-by-zero", "0"),
        ("sqrt(b)", {"b": ("-1 to 1", "")}, "count", "no-real-value", "negative"),
        ("a ^ b", {"a": ("1", ""), "b": ("1 to 2", "")}, "count", "cannot-be-read", "power"),
        ("a ^ 2 g", {"a": ("1", "")}, "count", "cannot-be-read", "power"),
        ("9 ^ 64 ^ 64", {}, "count", "too-large", "large"),
        ("a", {"a": ("about 20", "g")}, "g", "cannot-be-read", "about 20"),
        ("a", {"a": ("a few", "g")}, "g", "cannot-be-read", "a few"),
        ("a", {"a": ("", "g")}, "g", "cannot-be-read", "``"),
        ("a", {"a": ("20 mm", "mm")}, "mm", "cannot-be-read", "beside"),
        ("a.b", {"a": ("20", "mm")}, "mm", "cannot-be-read", "`.`"),
        ("a ++", {"a": ("20", "mm")}, "mm", "cannot-be-read", "the end"),
    ],
)  # fmt: skip
def test_faults_say_what_is_wrong(expression: str, inputs: Inputs, unit: str, fault: str, told: str) -> None:
    found = fail(expression, inputs, unit)
    assert found.fault == fault
    assert told in found.message


def test_a_misspelt_name_is_guessed() -> None:
    assert "did you mean `energy`?" in fail("energ * 2", {"energy": ("2", "kJ")}, "kJ").mend


@pytest.mark.parametrize(
    ("expression", "inputs", "unit", "working"),
    [
        ("a - b", {"a": ("5", "g"), "b": ("2", "g")}, "g", "5 g − 2 g = 3 g"),
        ("-a * 2", {"a": ("5", "")}, "count", "−5 × 2 = −10"),
        ("(a + 1)^2", {"a": ("1 to 2", "")}, "count", "((1 to 2) + 1)^2 = 4 to 9"),
        ("a²", {"a": ("3", "mm")}, "mm²", "(3 mm)² = 9 mm²"),
        ("sqrt(a)", {"a": ("2", "")}, "count", "sqrt(2) ≈ 1.414"),
        ("min(a, 3)", {"a": ("2", "")}, "count", "min(2, 3) = 2"),
        ("a * 1000", {"a": ("40.596", "")}, "count", "40.596 × 1000 = 40,596"),
        ("a + b", {"a": ("730.92", "g"), "b": ("607.34", "g")}, "g", "730.92 g + 607.34 g = 1,338.26 g"),
        ("a * b", {"a": ("15.45", "mL/day"), "b": ("365", "day")}, "L", "(15.45 mL/day) × 365 days ≈ 5.639 L"),
        ("a / 7", {"a": ("12345", "")}, "count", "12,345 ÷ 7 ≈ 1,764"),
    ],
)
def test_the_working_is_written_out(expression: str, inputs: Inputs, unit: str, working: str) -> None:
    assert work(expression, inputs, unit).working == working


@pytest.mark.parametrize(
    ("value", "read"),
    [
        ("3", (3, 3, "")), ("1,312", (1312, 1312, "")), ("120 to 160", (120, 160, "")), ("15–20", (15, 20, "")),
        ("16.7 ± 0.5", (Fraction("16.2"), Fraction("17.2"), "")), ("-1 to 2", (-1, 2, "")), ("16.7 kg", (Fraction("16.7"),) * 2 + ("kg",)),
        ("half", (Fraction(1, 2), Fraction(1, 2), "")), ("about 3", None), ("three or four", None), ("", None), ("x", None),
        ("3 birds", None), ("the 1920s", None), ("11:00", None),
    ],
)  # fmt: skip
def test_values(value: str, read: object) -> None:
    assert read_value(value) == read


@pytest.mark.parametrize(
    ("low", "high", "unit", "says", "agreed"),
    [
        ("85.7", "266.7", "count", "about 85 to 270 moths a night", True),
        ("0.43", "0.43", "% of mass", "43 %", False),  # 0.43 % is no 43 %
        ("43.4", "43.4", "% of mass", "43 %", True),
        ("43.4", "43.4", "% of mass", "43", True),
        ("0.434", "0.434", "count", "43 %", True),
        ("5.64", "5.64", "L", "5.6 litres", True),
        ("5.64", "5.64", "L", "5640 mL", True),
        ("5.64", "5.64", "L", "5.6 kg", False),
        ("5.64", "5.64", "L", "", False),
        ("5.64", "5.64", "L", "a great deal", False),
        ("5.64", "5.64", "L", "more than five litres", True),
        ("5.64", "5.64", "L", "more than six litres", False),
        ("5.64", "5.64", "L", "5.64 L, or 1.49 US gallons", True),
        ("5.64", "5.64", "L", "5.64 L, or 1.49 imperial gallons", False),
        ("17", "18", "mm", "between 15 and 20 mm", True),
        ("17", "22", "mm", "between 15 and 20 mm", False),
        ("1500.2", "1500.2", "count", "1500", True),
    ],
)
def test_what_the_text_says(low: str, high: str, unit: str, says: str, agreed: bool) -> None:
    assert agrees(Result(D(low), D(high), unit, ""), says) is agreed


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=50), st.text(max_size=20), st.text(max_size=12), st.text(max_size=12), st.text(max_size=30))
def test_any_text_gives_a_result_or_a_fault(expression: str, value: str, unit: str, wanted: str, says: str) -> None:
    for told in (expression, "x * " + expression, "x"):
        found = evaluate(told, {"x": (value, unit)}, wanted)
        assert isinstance(found, Result | CalcFault)
        if isinstance(found, Result):
            assert found.low <= found.high
            agrees(found, says)


PIECES = st.sampled_from(
    [
        "x",
        "y",
        "1",
        "2.5",
        "+",
        "-",
        "*",
        "/",
        "^",
        "(",
        ")",
        ",",
        "2",
        "sqrt(",
        "min(",
        "kJ",
        "1 day",
        "x*x",
        "(x-y)",
        "3 to 5",
        "°C",
    ]
)


@settings(max_examples=100, deadline=None)
@given(st.lists(PIECES, min_size=1, max_size=24))
def test_any_pile_of_pieces_gives_a_result_or_a_fault(pieces: list[str]) -> None:
    inputs: Inputs = {"x": ("-1 to 2", "kJ"), "y": ("3 ± 0.5", "kJ")}
    for unit in ("kJ", "count", "kJ^2"):
        found = evaluate(" ".join(pieces), inputs, unit)
        assert isinstance(found, Result | CalcFault)


@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, 500),
    st.integers(0, 200),
    st.integers(0, 100),
    st.sampled_from(["energy / moth", "energy - moth", "energy * energy / moth"]),
)
def test_narrowing_an_input_never_widens(low: int, width: int, cut: int, expression: str) -> None:
    unit = {"energy / moth": "count", "energy - moth": "kJ", "energy * energy / moth": "kJ"}[expression]
    inputs: Inputs = {"energy": (f"{low} to {low + width}", "kJ"), "moth": ("0.6 to 1.4", "kJ")}
    wide = work(expression, inputs, unit)
    narrow = work(expression, inputs | {"energy": (f"{low} to {low + max(0, width - cut)}", "kJ")}, unit)
    assert wide.low <= narrow.low <= narrow.high <= wide.high


@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, 10**6),
    st.sampled_from([("kJ", "kcal"), ("mm", "inch"), ("g", "pound"), ("L", "imperial pint"), ("day", "h")]),
)
def test_units_survive_a_round_trip(value: int, pair: tuple[str, str]) -> None:
    there = work("x", {"x": (str(value), pair[0])}, pair[1])
    back = work("x", {"x": (f"{there.low:f}", pair[1])}, pair[0])
    assert abs(back.low - value) <= abs(D(value)) * D("1e-24")
