"""Numbers in sentences: what is read, and what a known number bears out."""

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.number import Quantity, find_quantities, is_borne_out, make_known

D = Decimal


def read_one(text: str) -> Quantity:
    found = find_quantities(text)
    assert len(found) == 1, (text, found)
    return found[0]


@pytest.mark.parametrize(
    ("text", "low", "high", "unit", "kind", "shape"),
    [
        ("twenty-one bats", "21", "21", "", "plain", "one"),
        ("TWENTY-ONE BATS", "21", "21", "", "plain", "one"),
        ("half a dozen bats", "6", "6", "", "plain", "one"),
        ("a dozen bats", "12", "12", "", "plain", "one"),
        ("a hundred bats", "100", "100", "", "plain", "one"),
        ("two hundred and five thousand bats", "205000", "205000", "", "plain", "one"),
        ("a thousand and one bats", "1001", "1001", "", "plain", "one"),
        ("three hundred and twelve bats", "312", "312", "", "plain", "one"),
        ("1,200 bats", "1200", "1200", "", "plain", "one"),
        ("1 200 bats", "1200", "1200", "", "plain", "one"),
        ("1\u00a0200 bats", "1200", "1200", "", "plain", "one"),
        ("1.2 million bats", "1200000", "1200000", "", "plain", "one"),
        ("a million and a half bats", "1500000", "1500000", "", "plain", "one"),
        ("three-quarters of a million bats", "750000", "750000", "", "plain", "one"),
        ("two and a half metres", "2.5", "2.5", "m", "plain", "one"),
        ("1½ hours", "1.5", "1.5", "h", "plain", "one"),
        ("two½ hours", "2.5", "2.5", "h", "plain", "one"),
        ("about½ of them", "0.5", "0.5", "", "share", "one"),
        ("half an hour", "0.5", "0.5", "h", "plain", "one"),
        ("61.4 %", "61.4", "61.4", "%", "share", "one"),
        ("61.4%", "61.4", "61.4", "%", "share", "one"),
        ("five per cent", "5", "5", "%", "share", "one"),
        ("5 percent", "5", "5", "%", "share", "one"),
        ("three quarters of them", "0.75", "0.75", "", "share", "one"),
        ("nine out of ten nights", "0.9", "0.9", "", "share", "one"),
        ("1 in 5 bats", "0.2", "0.2", "", "share", "one"),
        ("half of them", "0.5", "0.5", "", "share", "one"),
        ("a quarter of them", "0.25", "0.25", "", "share", "one"),
        ("15–20 mm", "15", "20", "mm", "plain", "range"),
        ("15-20 mm", "15", "20", "mm", "plain", "range"),
        ("15 mm to 20 mm", "15", "20", "mm", "plain", "range"),
        ("10 mm to 2 cm", "10", "20", "mm", "plain", "range"),
        ("between 15 and 20", "15", "20", "", "plain", "between"),
        ("between a hundred and two hundred", "100", "200", "", "plain", "between"),
        ("120 to 160", "120", "160", "", "plain", "range"),
        ("fell from 10 to 5 %", "5", "10", "%", "share", "range"),
        ("1 to 2 million", "1000000", "2000000", "", "plain", "range"),
        ("16.7 ± 0.5 kg", "16.2", "17.2", "kg", "plain", "plus-minus"),
        ("1,312 g ± 56 (SE)", "1256", "1368", "g", "plain", "plus-minus"),
        ("fifteen pounds a piece", "15", "15", "pound", "plain", "one"),
        ("nearly two gallons a year", "2", "2", "gallon/year", "plain", "one"),
        ("two US gallons", "2", "2", "US gallon", "plain", "one"),
        ("two imperial gallons", "2", "2", "imperial gallon", "plain", "one"),
        ("120 kJ/day", "120", "120", "kJ/day", "plain", "one"),
        ("120 kilojoules a day", "120", "120", "kJ/day", "plain", "one"),
        ("65.6 per cm²", "65.6", "65.6", "1/cm²", "plain", "one"),
        ("a four-inch nail", "4", "4", "inch", "plain", "one"),
        ("£500", "500", "500", "£", "plain", "one"),
        ("−40 °F", "-40", "-40", "°F", "plain", "one"),
        ("5 × 10^6 cells", "5000000", "5000000", "", "plain", "one"),
        ("5 × 10⁶ cells", "5000000", "5000000", "", "plain", "one"),
        ("in 1758", "1758", "1758", "", "year", "one"),
        ("*Caprimulgus europaeus* (Linnaeus, 1758)", "1758", "1758", "", "year", "one"),
        ("Linnaeus, 1758", "1758", "1758", "", "year", "one"),
        ("data 1970–1997", "1970", "1997", "", "year", "range"),
        ("data 1970–97", "1970", "1997", "", "year", "range"),
        ("the 1920s", "1920", "1929", "", "year", "band"),
        ("the mid-1920s", "1920", "1929", "", "year", "band"),
        ("the 1800s", "1800", "1899", "", "year", "band"),
        ("the 18th century", "1701", "1800", "", "year", "band"),
        ("the eighteenth century", "1701", "1800", "", "year", "band"),
        ("eighteen seventy-four", "1874", "1874", "", "year", "one"),
        ("350 BC", "-350", "-350", "", "year", "one"),
        ("AD 79", "79", "79", "", "year", "one"),
        ("2184 government bounties", "2184", "2184", "", "plain", "one"),
        ("the first bird", "1", "1", "", "ordinal", "one"),
        ("the 21st bird", "21", "21", "", "ordinal", "one"),
        ("the twenty-first bird", "21", "21", "", "ordinal", "one"),
        ("a third bird", "3", "3", "", "ordinal", "one"),
        ("one can see", "1", "1", "", "weak", "one"),
        ("one of them", "1", "1", "", "weak", "one"),
        ("one day", "1", "1", "day", "weak", "one"),
        ("at least one", "1", "1", "", "plain", "one"),
        ("only one", "1", "1", "", "plain", "one"),
        ("one gram", "1", "1", "g", "plain", "one"),
        ("the other half", "0.5", "0.5", "", "weak", "one"),
        ("hundreds of bats", "100", "10000", "", "plain", "band"),
        ("several hundred bats", "200", "1000", "", "plain", "band"),
        ("11:30", "11.5", "11.5", "o'clock", "plain", "one"),
        ("7 September", "7", "7", "september", "plain", "one"),
        ("they march 20 km", "20", "20", "km", "plain", "one"),
    ],
)
def test_a_number_is_read(text: str, low: str, high: str, unit: str, kind: str, shape: str) -> None:
    found = read_one(text)
    assert (found.low, found.high, found.unit, found.kind, found.shape) == (D(low), D(high), unit, kind, shape)


def test_nist_number_with_spaced_decimals() -> None:
    # NIST SP 811, appendix B, prints conversion factors so
    assert read_one("3.523 907 E-02").low == D("0.03523907")


@pytest.mark.parametrize(
    "text",
    [
        "King Henry VIII",
        "see doi 10.1098/rspb.2010.0155 for it",
        "https://doi.org/10.1098/rspb.2010.0155",
        "skin SMNH.B.1887.14 on the shelf",
        "in PMC3574350, and in e36514",
        "ISBN 978-0-307-38112-5",
        "ORCID 0000-0002-1825-0097",
        "*J. Mammal.* 96(1):54–63,",
        "19:283–290",
        "see p. 293 and fig. 3",
        "H2O and CO2",
        "anyone, someone, tenacious, oneself, attend",
        "the quarter deck",
        "it may march on",
    ],
)
def test_codes_and_locators_are_no_numbers(text: str) -> None:
    assert find_quantities(text) == ()


def test_units_reach_back_over_a_list() -> None:
    assert [(q.low, q.unit) for q in find_quantities("8, 10 and 12 mm")] == [(D(8), "mm"), (D(10), "mm"), (D(12), "mm")]
    assert [(q.low, q.unit) for q in find_quantities("81 and 93 % of it")] == [(D(81), "%"), (D(93), "%")]
    assert [(q.low, q.unit) for q in find_quantities("27 of 44, or 61.4 %")] == [
        (D(27), ""),
        (D(44), ""),
        (D("61.4"), "%"),
    ]


def test_a_month_is_no_range_of_years() -> None:
    assert [(q.low, q.high, q.kind) for q in find_quantities("2028-05")] == [
        (D(2028), D(2028), "year"),
        (D(5), D(5), "plain"),
    ]
    assert [(q.low, q.high) for q in find_quantities("1908–09")] == [(D(1908), D(1909))]


def test_span_is_the_number_with_its_unit() -> None:
    text = "It takes nearly two gallons a year, say some."
    found = read_one(text)
    assert text[found.start : found.end] == "two gallons a year"


@pytest.mark.parametrize(
    ("text", "hedge"),
    [
        ("about 61 %", "about"),
        ("some 500 skins", "about"),
        ("500 skins or so", "about"),
        ("c. 1600", "about"),
        ("almost 20 %", "nearly"),
        ("a little under 50 %", "nearly"),
        ("just over half", "barely over"),
        ("more than 50 names", "over"),
        ("20+ names", "at least"),
        ("fifty or more", "at least"),
        ("at most 5", "at most"),
        ("three lines or more", "at least"),
        ("below two incisors", ""),
        ("below 25 mm", "under"),
        ("fewer than 5", "under"),
        ("exactly 5", ""),
        ("up to 52 mL", ""),
        ("5", ""),
        ("between about 15 and 20", "about"),
    ],
)
def test_hedges(text: str, hedge: str) -> None:
    assert read_one(text).hedge == hedge


@pytest.mark.parametrize(
    ("said", "known", "borne_out"),
    [
        ("about 61 %", "61.4 %", True),
        ("61 %", "61.4 %", True),
        ("62 %", "61.4 %", False),
        ("61.4 %", "0.614", True),
        ("0.614 of them", "61.4 %", True),
        ("60 %", "61.4 %", False),
        ("about 60 %", "61.4 %", True),
        ("some 60 %", "61.4 %", True),
        ("roughly 60 %", "61.4 %", True),
        ("nearly 60 %", "58.7 %", True),
        ("nearly 60 %", "61.4 %", False),
        ("about 70 %", "61.4 %", False),
        ("61.4 %", "61.4", False),
        ("100 %", "1 bat", False),
        ("two thirds", "66 %", True),
        ("two thirds", "67 %", True),
        ("two thirds", "61.4 %", False),
        ("half", "50 %", True),
        ("half", "56.6 %", False),
        ("just over half", "0.566", True),
        ("more than half", "61.4 %", True),
        ("more than half", "50 %", False),
        ("more than half", "49 %", False),
        ("nine out of ten", "90 %", True),
        ("nine out of ten", "9 of 10 nights", True),
        ("nine out of ten", "8 of 10 nights", False),
        ("16 mm", "1.6 cm", True),
        ("16 mm", "1.6 mm", False),
        ("1.3 kg", "1,312 g ± 56", True),
        ("20 mm", "20 g", False),
        ("20 mm", "20 bats", False),
        ("90 minutes", "1.5 h", True),
        ("2 hours", "120 min", True),
        ("20 g", "20 g/day", True),
        ("20 g/cm³", "20 g", False),
        ("98.6 °F", "37 °C", True),
        ("two gallons", "two US gallons", False),
        ("fifteen pounds", "6.80 kg", True),
        ("15–20 mm", "15 mm and 20 mm", True),
        ("15–20 mm", "15 mm to 2 cm", True),
        ("15–20 mm", "15 mm", False),
        ("15–20 mm", "16.7 ± 0.5 mm", False),
        ("between 15 and 20 mm", "16.7 ± 0.5 mm", True),
        ("between 10 and 1000 mm", "16.7 ± 0.5 mm", False),
        ("16.7 kg", "16.7 ± 0.5 kg", True),
        ("15 mL", "11.6 to 21.0 mL", False),
        ("up to 21 mL", "11.6 to 21.0 mL", True),
        ("about 85 to 270", "85.71 to 266.67", True),
        ("85 to 270", "85.71 to 266.67", False),
        ("86 to 267", "85.71 to 266.67", True),
        ("more than 2,000 bounties", "2,184 bounties", True),
        ("more than 2,000 bounties", "200,184 bounties", False),
        ("more than 2,184 bounties", "2,184 bounties", False),
        ("more than 50 names", "over 50 names", True),
        ("more than 50 names", "nearly 50 names", False),
        ("at least 3 lines", "3 lines", True),
        ("at least 3 lines", "2 lines", False),
        ("at most 3 lines", "3 lines", True),
        ("fewer than 60 bats", "55 bats", True),
        ("fewer than 60 bats", "61 bats", False),
        ("1.2 million", "1,234,000", True),
        ("1.2 million", "1,260,000", False),
        ("in 1874", "1874", True),
        ("in 1875", "1874", False),
        ("about 1870", "1874", True),
        ("2,184 bounties", "2184 bounties", True),
        ("in the 1870s", "1874", True),
        ("in the 1880s", "1874", False),
        ("in the 18th century", "Linnaeus, 1758", True),
        ("thousands of lemmings", "2,184 lemmings", True),
        ("the third day", "the second day", False),
        ("the third day", "the 3rd day", True),
        ("twenty bats", "20 bats", True),
        ("7 September", "7 moths", False),
        ("57 per cent", "57%", True),
        ("23 teeth", "", False),
        ("over two years", "2 years", True),
        ("over two years", "nearly 2 years", False),
        ("above two incisors", "two incisors", True),
        ("above 60 mm", "60 mm", False),
        ("above 60 mm", "more than 60 mm", True),
        ("a fifth more", "20 %", True),
        ("at least 95 %", "60 to 95 %", False),
        ("95 % or more", "60 to 95 %", False),
        ("at least 60 %", "60 to 95 %", True),
        ("at most 60 %", "60 to 95 %", False),
        ("at most 95 %", "60 to 95 %", True),
        ("up to 95 %", "60 to 95 %", True),
    ],
)
def test_borne_out(said: str, known: str, borne_out: bool) -> None:
    assert is_borne_out(read_one(said), find_quantities(known)) is borne_out


def test_nearly_two_gallons_depends_on_the_gallon() -> None:
    # Wimsatt & Guerriere's own words; 15.45 mL a day for a year, a fifth more in the wild: 6.77 L
    litres = make_known(D("6.767"), unit="L")
    assert is_borne_out(read_one("nearly two US gallons a year"), [litres])
    assert not is_borne_out(read_one("nearly two imperial gallons a year"), [litres])
    assert not is_borne_out(read_one("nearly two gallons a year"), [litres])  # which gallon is not said
    assert not is_borne_out(read_one("nearly two US gallons a year"), [make_known(D("5.639"), unit="L")])


def test_a_share_computed_is_a_share_known() -> None:
    assert is_borne_out(read_one("61.4 %"), [make_known(D(27) / D(44))])
    assert is_borne_out(read_one("61.4 %"), [make_known(D(100) * 27 / 44, unit="percent")])


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_read(text: str) -> None:
    found = find_quantities(text)
    for quantity in found:
        assert 0 <= quantity.start < quantity.end <= len(text)
        assert quantity.low <= quantity.high
        is_borne_out(quantity, found)
    assert all(a.end <= b.start for a, b in pairwise(found))


PARTS = st.sampled_from(
    [
        "one",
        "two",
        "twenty",
        "half",
        "third",
        "thirds",
        "a",
        "and",
        "hundred",
        "million",
        "of",
        "in",
        "5",
        "12.5",
        "1,200",
        "%",
        "mm",
        "–",
        "-",
        "to",
        "between",
        "about",
        "±",
        "1758",
        "½",
        "per",
        "day",
        "e9",
        "×",
        "10^9",
        "nearly",
        "or",
        "so",
        "gallons",
        "£",
        "(",
        ")",
        ",",
        ".",
        "dozen",
        "1920s",
        "3rd",
        "century",
        "BC",
        "3/4",
        "11:00",
        "0",
        "/0",
        "1/0",
        "several",
        "thousand",
        "out",
    ]
)


@settings(max_examples=100, deadline=None)
@given(st.lists(PARTS, max_size=14), st.sampled_from(["", " ", "-"]))
def test_any_pile_of_number_words_is_read(parts: list[str], gap: str) -> None:
    found = find_quantities((gap or " ").join(parts))
    for quantity in found:
        is_borne_out(quantity, found)


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 10**7), st.integers(0, 3))
def test_a_number_bears_itself_out_at_every_rounding(count: int, places: int) -> None:
    value = D(count) / 1000
    said = f"{value:.{places}f} mm"
    if D(said.split()[0]) != value.quantize(D(1).scaleb(-places)):
        return
    nearest = value.quantize(D(1).scaleb(-places), rounding="ROUND_HALF_UP")
    assert is_borne_out(read_one(f"{nearest} mm"), [make_known(value, unit="mm")])


def test_long_decimals_are_numbers() -> None:
    assert read_one("0.2390057361376673040152963671 kcal").low == D("0.2390057361376673040152963671")


def test_hostile_length_is_read_through() -> None:
    for piece in ("AA.", "1.", "9", "one ", "1,2", "p. 1 ", "between 1 and ", "a hundred ", "½", "10^", "x-1"):
        find_quantities(piece * (6_000 // len(piece)))


@pytest.mark.parametrize(
    "said, known",
    [
        ("on 5 Sept. 1887", "5 September 1887"),
        ("on 5 Sep 1887", "5th of September 1887"),
        ("in 70 % ethanol", "Kept in ethanol of 70 per cent."),
        ("at 16 °C", "The store has 16 degrees Celsius."),
    ],
)
def test_short_months_and_units_before_a_full_stop(said: str, known: str) -> None:
    assert all(is_borne_out(quantity, find_quantities(known)) for quantity in find_quantities(said))
