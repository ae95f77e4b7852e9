"""Finding a withheld point in finished text: forms people write, texts that must not be taken for it, properties."""

import time
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.coordinate import coordinate_keys, coordinate_pattern, keys_in, written_forms
from builder.weigh.locality import STEPS, round_to_step

D = Decimal
POINT = (D("51.2345"), D("-1.23456"))
FOUND = coordinate_pattern(*POINT, D("0.1"))
KEYS = coordinate_keys(*POINT, D("0.1"))


@pytest.mark.parametrize(
    "text",
    [
        "51.2345, -1.23456", "at 51.2345,−1.23456.", "[-1.23456,51.2345]", "[1.23456,51.2345]", "51,2345; -1,23456",
        "51.2345° N", "N51.2345", "latitude 51.2345", "51.23450", "051.2345", "51.234500000000004",  # whole
        "51.235", "51.234", "-1.235", "-1.234", "−1,2346",  # rounded or cut, telling alone
        "51.23, -1.23", "51.23,1.23", "51.2, -1.23", "51.23/-1.2", "?q=51.23%2C-1.23",  # telling in a pair
        '{"latitude": 51.23, "longitude": -1.23}', '<i data-lat="51.23" data-lon="-1.23">',
        "<lat>51.23</lat><lon>-1.23</lon>",
        "51°14′04″N", "51° 14' 4.2\" N", "51º14’04’’", "51&deg;14&prime;4&Prime;N", "51\\u00b014\\u203204", "51d14m04s",
        "51 14 04 N", "51:14:04.2 N", "1 14 04 W", "51 degrees 14 minutes 4 seconds north", "51%C2%B014'04",
        "51°14.07′", "51 14.07 N", "51° 14,07' N", "51°14′", "51° 14' N", "51°14′N 1°14′W", "N51 14.07 W1 14.07",
    ],
)  # fmt: skip
def test_the_exact_point_is_found(text: str) -> None:
    assert FOUND.search(text)
    assert KEYS & keys_in(text)


@pytest.mark.parametrize(
    "text",
    [
        "51.2, -1.2", "51.2° N, 1.2° W", "51.20, -1.20", "51°12′N, 1°12′W", "51°12′00″N 1°12′00″W", "51.2",  # as shown
        "51.3, -1.3", "51.2346", "51.2344", "51°15′N", "51°14′30″N 1°14′50″W", "51°14′05″N",  # other points
        "51.23 mm", "1.23 m", "1,234 birds", "151.2345", "3.51.2345", "51.2345.6", "151°14′", "51°140′",  # others
        "01:14:04", "00:51:14.070", "1:14", "51 14", "pages 51, 14 and 1", "51–14", "5114", "51.1407",  # times, lists
    ],
)  # fmt: skip
def test_other_numbers_are_left_alone(text: str) -> None:
    assert not FOUND.search(text)


def test_a_point_not_shown_at_all() -> None:
    found = coordinate_pattern(*POINT, None)
    for text in ("51.2, -1.2", "51.2345", "51°14′N", "51.23 -1.23"):
        assert found.search(text)
    for text in ("51, -1", "51.2", "51.3, -1.3", "51 birds, 1.2 kg"):
        assert not found.search(text)


def test_a_finer_step_hides_less() -> None:
    found = coordinate_pattern(*POINT, D("0.001"))
    assert found.search("51.2345") and found.search("-1.2346") and found.search("51°14′04″")
    for text in ("51.235", "51.23, -1.23", "51.235, -1.235", "51°14′N", "51°14.1′N"):
        assert not found.search(text)


def test_a_point_no_finer_than_the_step_hides_nothing() -> None:
    for point in ((D("51.2"), D("-1.2")), (D(51), D(-1)), (D("51.20"), D("-1.20"))):
        found = coordinate_pattern(*point, D("0.1"))
        assert not any(found.search(form) for form in written_forms(*point))
        assert not coordinate_keys(*point, D("0.1"))


def test_below_one_degree() -> None:
    found = coordinate_pattern(D("0.12345"), D("-0.00123"), D("0.1"))
    for text in ("0.12345", ".12345", "-.12345,1", "0°07′24″", "0°0′4.43″W", "0.12, 0.001"):
        assert found.search(text), text
    for text in ("p < 0.001", "0.1", "7.12345", "70.12345", "0.0"):
        assert not found.search(text), text


def test_the_step_must_be_known() -> None:
    with pytest.raises(ValueError, match="step"):
        coordinate_pattern(*POINT, D("0.5"))


def test_long_values_and_texts_are_no_trouble() -> None:
    long = D("51." + "123456789" * 30)
    assert coordinate_pattern(long, D("-1.5"), D("0.1")).search(str(long))
    assert coordinate_keys(long, D("-1.5"), D("0.1")) & keys_in(str(long))
    started = time.perf_counter()
    for text in ("51.23 " + "%CC" * 20_000, "51 14 " * 20_000, "0" * 100_000, "51.2" * 30_000, "&#1;" * 30_000):
        FOUND.search(text)
        keys_in(text)
    assert time.perf_counter() - started < 20


LATITUDE = st.integers(-8_999_999, 8_999_999).map(lambda n: D(n).scaleb(-5))
LONGITUDE = st.integers(-17_999_999, 17_999_999).map(lambda n: D(n).scaleb(-5))
STEP = st.sampled_from(STEPS)


@settings(max_examples=100, deadline=None)
@given(LATITUDE, LONGITUDE, STEP)
def test_every_written_form_is_found_and_the_shown_one_never(
    latitude: Decimal, longitude: Decimal, step: Decimal
) -> None:
    found, keys = coordinate_pattern(latitude, longitude, step), coordinate_keys(latitude, longitude, step)
    shown = round_to_step(latitude, step), round_to_step(longitude, step)
    hidden = (latitude, longitude) != shown
    for form in written_forms(latitude, longitude):
        if hidden:
            assert found.search(f"<td>{form}</td>"), form
            assert keys & keys_in(form), form
    for form in written_forms(*shown):
        assert not found.search(f"<td>{form}</td>"), form


@settings(max_examples=100, deadline=None)
@given(st.text("0123456789.,-°′″'\" NSEW:d", max_size=60))
def test_where_the_pattern_matches_a_key_is_met(text: str) -> None:
    if FOUND.search(text):
        assert KEYS & keys_in(text)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=40))
def test_any_text_is_searched(text: str) -> None:
    assert isinstance(keys_in(text), frozenset)
