"""What fits into a slot: rounding, clocks, and the best choice among parts, held against a search of all choices."""

from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.weigh.slot import Part, choose_parts, clock_seconds, minutes, room_seconds, text_seconds

PART = st.builds(Part, st.integers(0, 30), st.one_of(st.sampled_from([1, 10]), st.integers(0, 12)), st.booleans())
LOOSE = st.builds(Part, st.integers(0, 200), st.integers(0, 50))


def best_of_all(parts: list[Part], room: int) -> tuple[int, ...]:
    """Search every choice: value, then more parts, then less time, then earlier parts."""
    firm = {index for index, part in enumerate(parts) if part.firm}
    found: list[tuple[tuple[int, int, int, tuple[int, ...]], tuple[int, ...]]] = []
    for bits in product((0, 1), repeat=len(parts)):
        chosen = tuple(index for index, bit in enumerate(bits) if bit)
        seconds = sum(parts[index].seconds for index in chosen)
        if firm <= set(chosen) and seconds <= room:
            found.append(((sum(parts[i].value for i in chosen), len(chosen), -seconds, bits), chosen))
    return max(found)[1] if found else tuple(sorted(firm))


@given(st.lists(PART, max_size=9), st.integers(0, 150))
def test_the_choice_is_the_best_of_all(parts: list[Part], room: int) -> None:
    assert choose_parts(parts, room) == best_of_all(parts, room)


@given(st.lists(PART, max_size=12), st.integers(0, 200), st.integers(0, 60))
def test_more_time_is_never_worth_less(parts: list[Part], room: int, more: int) -> None:
    values = [sum(parts[index].value for index in choose_parts(parts, each)) for each in (room, room + more)]
    assert values[0] <= values[1]


@given(st.lists(PART, max_size=20), st.integers(0, 300))
def test_firm_parts_stay_and_the_rest_fits(parts: list[Part], room: int) -> None:
    chosen = choose_parts(parts, room)
    firm = tuple(index for index, part in enumerate(parts) if part.firm)
    assert set(firm) <= set(chosen)
    assert list(chosen) == sorted(chosen)
    if sum(parts[index].seconds for index in firm) > room:
        assert chosen == firm
    else:
        assert sum(parts[index].seconds for index in chosen) <= room


@given(st.lists(LOOSE, min_size=60, max_size=60), st.integers(0, 3600))
def test_sixty_parts_are_worth_what_a_table_over_seconds_finds(parts: list[Part], room: int) -> None:
    table = [0] * (room + 1)  # the textbook table: best value for each whole second
    for part in parts:
        for second in range(room, part.seconds - 1, -1):
            table[second] = max(table[second], table[second - part.seconds] + part.value)
    assert sum(parts[index].value for index in choose_parts(parts, room)) == table[room]


def test_a_published_example() -> None:
    """Instance P01 of Burkardt's collection of knapsack data (Florida State University), from memory: 309 of 165."""
    weights, profits = (23, 31, 29, 44, 53, 38, 63, 85, 89, 82), (92, 57, 49, 68, 60, 43, 67, 84, 87, 72)
    parts = [Part(weight, profit) for weight, profit in zip(weights, profits, strict=True)]
    assert choose_parts(parts, 165) == (0, 1, 2, 3, 5)


def test_ties_are_decided_in_one_way() -> None:
    assert choose_parts([Part(10, 10), Part(5, 5), Part(5, 5)], 10) == (1, 2)  # more parts
    assert choose_parts([Part(10, 5), Part(8, 5)], 10) == (1,)  # less time
    assert choose_parts([Part(10, 5), Part(10, 5), Part(10, 5)], 20) == (0, 1)  # earlier


def test_seconds_are_rounded_against_us() -> None:
    assert [text_seconds(words, rate_wpm=130) for words in (0, 1, 65, 130, 131)] == [0, 1, 30, 60, 61]
    assert text_seconds(65, rate_wpm=130, stated=31) == 31
    assert text_seconds(65, rate_wpm=130, stated=29) == 30
    assert room_seconds(Decimal(10), share=Decimal("0.75")) == 450
    assert room_seconds(Decimal("0.33"), share=Decimal("0.5")) == 9
    assert clock_seconds(450, share=Decimal("0.75")) == 600
    assert clock_seconds(10, share=Decimal("0.75")) == 14


@given(st.integers(0, 10_000), st.integers(0, 500), st.integers(60, 240), st.integers(0, 300))
def test_more_words_never_take_less_time(words: int, more: int, rate: int, stated: int) -> None:
    assert text_seconds(words, rate_wpm=rate, stated=stated) <= text_seconds(words + more, rate_wpm=rate, stated=stated)
    assert text_seconds(words, rate_wpm=rate) * rate >= 60 * words


@pytest.mark.parametrize(
    "call",
    [
        lambda: text_seconds(1, rate_wpm=0),
        lambda: room_seconds(Decimal(-1)),
        lambda: room_seconds(Decimal(1), share=Decimal(0)),
        lambda: clock_seconds(-1),
        lambda: clock_seconds(1, share=Decimal("1.1")),
        lambda: choose_parts([Part(-1, 1)], 5),
    ],
)
def test_what_means_nothing_is_refused(call: object) -> None:
    with pytest.raises(ValueError):
        call()  # type: ignore[operator]


def test_minutes_in_words() -> None:
    assert [minutes(seconds) for seconds in (0, 0.4, 59.6, 90, 600)] == ["0 s", "0 s", "1 min", "1 min 30 s", "10 min"]
