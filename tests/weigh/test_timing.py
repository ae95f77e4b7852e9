"""Speaking: published rates and our own forms of numbers, then properties."""

from decimal import Decimal

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from builder.weigh.timing import (
    cardinal,
    ordinal,
    speaking_seconds,
    spoken_form,
    spoken_words,
    words_for_slot,
    year_in_words,
)


@pytest.mark.parametrize(
    ("words", "rate", "seconds"), [(2250, 150, 900), (1500, 140, 642.857), (1000, 125, 480), (137, 150, 54.8)]
)
def test_r11_speaking_time(words: int, rate: int, seconds: float) -> None:
    """Recomputed: 60 × words / rate."""
    assert speaking_seconds(words, rate_wpm=rate) == pytest.approx(seconds, abs=0.0005)


def test_r12_rates_are_a_range() -> None:
    """Lucas, *The Art of Public Speaking*, 8th ed. 2004, p. 300 (as quoted): 125–150; Rodero 2012: 160–180 on radio."""
    fastest, slowest = (speaking_seconds(150, rate_wpm=rate) for rate in (180, 125))
    assert (fastest, slowest) == (50, 72)


@pytest.mark.parametrize(("words", "seconds"), [(20, 10), (65, 30), (130, 60)])
def test_narration_rate(words: int, seconds: float) -> None:
    """Videomaker production notes, n.d.: 20 words = 10 s, 65 = 30 s, 130 = 60 s (the first rounded there)."""
    assert speaking_seconds(words, rate_wpm=130) == pytest.approx(seconds, abs=1)


def test_words_for_a_slot() -> None:
    """Ours: 20 min × 130 = 2,600; with a quarter for questions, walking and props 1,950."""
    assert words_for_slot(20, 130, share=Decimal(1)) == 2600
    assert words_for_slot(20, 130) == 1950
    assert words_for_slot(Decimal("7.5"), 141) == 793  # 793.125: cut, never up
    for minutes, rate, share in ((-1, 130, "0.75"), (10, 0, "0.75"), (10, 130, "0"), (10, 130, "1.1")):
        with pytest.raises(ValueError, match="above zero"):
            words_for_slot(minutes, rate, share=Decimal(share))
    with pytest.raises(ValueError, match="above zero"):
        speaking_seconds(10, rate_wpm=0)


@pytest.mark.parametrize(
    ("written", "spoken"),
    [
        ("It is 12.5 mm long.", "It is twelve point five millimetres long."),
        ("1 mm and 5mm", "one millimetre and five millimetres"),
        ("0.05 g", "nought point nought five grams"),
        ("(61.4 %)", "(sixty-one point four per cent)"),
        ("20–30 cm", "twenty to thirty centimetres"),
        ("1.5-2 m", "one point five to two metres"),
        ("20%–30%", "twenty per cent to thirty per cent"),
        ("120 to 160 kJ/day", "one hundred and twenty to one hundred and sixty kilojoules per day"),
        ("12 × 14 mm", "twelve by fourteen millimetres"),
        ("10× as many", "ten times as many"),
        ("3 m² at 90 km/h", "three square metres at ninety kilometres per hour"),
        ("−5 °C", "minus five degrees Celsius"),
        ("51.5° N", "fifty-one point five degrees north"),
        ("in 1758", "in seventeen fifty-eight"),
        ("1,758 birds", "one thousand seven hundred and fifty-eight birds"),
        ("1 758 birds", "one thousand seven hundred and fifty-eight birds"),
        ("1914–18", "nineteen fourteen to eighteen"),
        ("1,000,001", "one million and one"),
        ("the 1890s, 1900s", "the eighteen nineties, nineteen hundreds"),
        ("the 19th, 21st, 2nd", "the nineteenth, twenty-first, second"),
        ("12 May 1998", "the twelfth of May nineteen ninety-eight"),
        ("3 Feb 2005", "the third of February two thousand and five"),
        ("1998-05-12", "the twelfth of May nineteen ninety-eight"),
        ("at 11:00 or 11:05", "at eleven o'clock or eleven oh five"),
        ("2½ hours", "two and a half hours"),
        ("12½%", "twelve and a half per cent"),
        ("1 in 500", "one in five hundred"),
        ("5 in winter", "five in winter"),
        ("5 in long", "five inches long"),
        ("30 nights", "thirty nights"),
        ("£500 at £1", "five hundred pounds at one pound"),
        ("£1.50", "one pound fifty"),
        ("$3 million", "three million dollars"),
        ("SMNH.B.1887.14.", "S M N H B eighteen eighty-seven fourteen."),
        ("e.g. a DNA test, Fig. 3", "for example a D N A test, Figure three"),
        ("c. 1850", "about eighteen fifty"),
        ("C. europaeus", "C. europaeus"),
        ("No numbers here.", "No numbers here."),
        ("007", "nought nought seven"),
    ],
)
def test_spoken_forms(written: str, spoken: str) -> None:
    assert spoken_form(written) == spoken


@pytest.mark.parametrize(
    ("written", "words"),
    [("12.5 mm", 4), ("a well-known bird", 4), ("", 0), ("—", 0), ("61.4 %", 6), ("it's 3/4 full", 4), ("and/or", 2)],
)
def test_words_are_counted_as_heard(written: str, words: int) -> None:
    assert spoken_words(written) == words


def test_numbers_in_words() -> None:
    assert cardinal(105) == "one hundred and five"
    assert cardinal(2_184_000_017) == "two billion one hundred and eighty-four million and seventeen"
    assert cardinal(-40) == "minus forty"
    assert [ordinal(n) for n in (1, 3, 12, 20, 45, 100)] == [
        "first", "third", "twelfth", "twentieth", "forty-fifth", "one hundredth"]  # fmt: skip
    assert [year_in_words(y) for y in (1066, 1900, 1905, 2000, 2009, 2026)] == [
        "one thousand and sixty-six", "nineteen hundred", "nineteen oh five", "two thousand", "two thousand and nine",
        "twenty twenty-six"]  # fmt: skip


@settings(max_examples=100)
@given(st.integers(0, 10**15 - 1))
def test_every_number_has_words_of_its_own(number: int) -> None:
    words = cardinal(number)
    assert not any(c.isdigit() for c in words)
    assert words != cardinal(number + 1)
    assert ordinal(number) != words


@settings(max_examples=100)
@example("<", ["moth"])
@given(st.text(max_size=60), st.lists(st.sampled_from(["moth", "bird", "eats"]), min_size=1, max_size=5))
def test_more_words_never_take_less_time(text: str, more: list[str]) -> None:
    longer = f"{text}. {' '.join(more)}"
    assert spoken_words(longer) >= spoken_words(text)
    assert speaking_seconds(spoken_words(longer), rate_wpm=140) >= speaking_seconds(spoken_words(text), rate_wpm=140)


@settings(max_examples=100)
@given(st.text("0123456789.,-–:/%£ mkg°C×stJan½¼²", max_size=40))
def test_no_number_raises(text: str) -> None:
    assert isinstance(spoken_form(text), str)
    assert spoken_words(text) >= 0


def test_signs_around_a_word_are_left_where_they_are() -> None:
    for word in ("(DNA),", "“etc.”", "((a))", ",,,", "‘UK’s’", "[&]", '"e.g."', "!?"):
        assert len(spoken_form(word)) >= len(word.strip("([\"'“‘)]”’,;:!?"))
    assert spoken_form("(DNA),") == "(D N A)," and spoken_form("[&]") == "[and]" and spoken_form(",,,") == ",,,"
