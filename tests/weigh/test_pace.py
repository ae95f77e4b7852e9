"""Audiences and the words a minute they follow."""

from __future__ import annotations

import pytest

from builder.weigh.pace import ADULT, BROADCAST, SCHOOL, judge_pace, pace_of


def test_published_rates() -> None:
    # Described and Captioned Media Program, n.d. (C7: 120-130 school, 150-160 adult); Ofcom by BBC R&D 2015, second hand (C8)
    assert [(pace.low, pace.high) for pace in (SCHOOL, ADULT, BROADCAST)] == [(120, 130), (150, 160), (160, 180)]


@pytest.mark.parametrize(
    ("audience", "pace"),
    [("schools", SCHOOL), ("Key Stage 2", SCHOOL), ("families with children", SCHOOL), ("Year 7", SCHOOL), ("adults", ADULT),
     ("", ADULT), ("students of zoology", ADULT), ("local radio", BROADCAST), ("television", BROADCAST)],
)  # fmt: skip
def test_audiences_in_an_authors_words(audience: str, pace: object) -> None:
    assert pace_of(audience) is pace


def test_rates_are_ceilings() -> None:
    assert [judge_pace(rate, SCHOOL) for rate in (119, 120, 130, 131)] == [
        "slower than need be",
        "right",
        "right",
        "too fast",
    ]
    with pytest.raises(ValueError):
        judge_pace(0, ADULT)
