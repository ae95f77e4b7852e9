"""Limits of intervals against the definition of a percentile interval, worked in plain Python from sorted lists.

Efron & Tibshirani 1993, An Introduction to the Bootstrap, section 12.5 (from memory): with k the whole part of (B + 1)·α,
the limits are the k-th and the (B + 1 − k)-th of B sorted resamples.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from threadpoolctl import threadpool_info

from builder.weigh.resampling import find_intervals, resample_sums

figures = st.sampled_from([0.0, -0.0, 0.25, 0.5, 1.0, -1e-17, 1e-300, math.nan]) | st.floats(-9, 9, allow_nan=False)


@settings(max_examples=200, deadline=None)
@given(st.data(), st.sampled_from([1, 2, 7, 39, 40, 41, 79, 80, 199, 400]), st.sampled_from([0.95, 0.5, 0.05]))
def test_limits_are_the_kth_of_those_that_have_a_value(data: st.DataObject, count: int, level: float) -> None:
    few = data.draw(st.lists(figures, min_size=1, max_size=6))
    seed = data.draw(st.integers(0, 2**32 - 1))
    dice = np.random.default_rng(seed)
    rows = [dice.choice(few, count + 1), dice.random(count + 1), np.full(count + 1, few[0])]
    for row, found in zip(rows, find_intervals(np.array(rows), level), strict=True):
        value, draws = float(row[0]), sorted(float(draw) for draw in row[1:] if not math.isnan(draw))
        if not draws or math.isnan(value):
            continue
        k = max(int((len(draws) + 1) * (1 - level) / 2 + 1e-9), 1)
        assert found.low == min(draws[k - 1], value)
        assert found.high == max(draws[len(draws) - k], value)
        assert found.value == value and found.method == "bootstrap"


@pytest.mark.parametrize("resamples", [2_000, 1_999])
def test_limits_of_two_thousand(resamples: int) -> None:
    dice = np.random.default_rng(1934)
    values = np.vstack(
        [dice.random(resamples + 1), dice.integers(0, 9, resamples + 1), dice.exponential(size=resamples + 1) ** 5]
    )
    for row, found in zip(values, find_intervals(values, 0.95), strict=True):
        draws = sorted(row[1:].tolist())
        assert found.low == min(draws[49], row[0]) and found.high == max(draws[-50], row[0])


def test_other_work_keeps_its_threads() -> None:
    before = [pool["num_threads"] for pool in threadpool_info()]
    resample_sums(np.ones((6, 2)), None, 200, 1)
    assert before and [pool["num_threads"] for pool in threadpool_info()] == before
