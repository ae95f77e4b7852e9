"""Intervals of shares against published tables and against scipy; absence; percentages that cannot exist."""

import math
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from builder.weigh.proportion import (
    _beta_share,
    clopper_pearson,
    counts_from_percent,
    difference,
    impossible_share,
    rule_of_three,
    sample_for_absence,
    sample_to_decide,
    totals_from_percent,
    upper_bound,
    wilson,
    wilson_at,
)


# P1-P4: tests of scipy, quoting R 3.6.2 `prop.test` and `binom.test`.
def test_p1_three_of_ten() -> None:
    assert wilson(3, 10) == pytest.approx((0.1077913, 0.6032219), abs=5e-8)
    assert wilson(3, 10, level=0.99) == pytest.approx((0.07956632, 0.6799753), abs=5e-8)
    assert wilson(3, 10, corrected=True) == pytest.approx((0.08094782, 0.64632928), abs=5e-9)


def test_p2_none_of_ten() -> None:
    assert wilson(0, 10) == pytest.approx((0, 0.2775328), abs=5e-8)
    assert clopper_pearson(0, 10) == pytest.approx((0, 0.3084971), abs=5e-8)
    assert upper_bound(0, 10) == pytest.approx(0.2588656, abs=5e-8)


def test_p3_all_of_ten() -> None:
    assert wilson(10, 10) == pytest.approx((0.7224672, 1), abs=5e-8)
    assert clopper_pearson(10, 10) == pytest.approx((0.6915029, 1), abs=5e-8)


def test_p4_three_of_fifty_at_99() -> None:
    assert clopper_pearson(3, 50, level=0.99) == pytest.approx((0.006872485, 0.202706269), abs=5e-10)


# P5-P7: Newcombe 1998, Stat. Med. 17:857-872, Table I: value from memory. Wilson, Wilson corrected, exact, mid-p.
NEWCOMBE_TABLE_1 = [
    ("P5", 81, 263, (0.2553, 0.3662), (0.2535, 0.3682), (0.2527, 0.3676), (0.2544, 0.3658)),
    ("P6", 15, 148, (0.0624, 0.1605), (0.0598, 0.16445), (0.0578, 0.16165), (0.0601, 0.1581)),
    ("P7", 0, 20, (0, 0.1611), (0, 0.2005), (0, 0.1684), (0, 0.1391)),
]


@pytest.mark.parametrize(("row", "k", "n", "score", "corrected", "exact", "mid_p"), NEWCOMBE_TABLE_1)
def test_p5_to_p7_newcombe_table_1(
    row: str,
    k: int,
    n: int,
    score: tuple[float, float],
    corrected: tuple[float, float],
    exact: tuple[float, float],
    mid_p: tuple[float, float],
) -> None:
    assert wilson(k, n) == pytest.approx(score, abs=6e-5), row
    assert wilson(k, n, corrected=True) == pytest.approx(corrected, abs=6e-5), row
    assert clopper_pearson(k, n) == pytest.approx(exact, abs=6e-5), row
    # The mid-p limits hold our incomplete beta function to the table: P(X < k) + P(X = k)/2 is 2.5 % at each of them.
    for share, tail in zip(mid_p, (0.975, 0.025), strict=True):
        if share:
            below = 1 - _beta_share(share, k, n - k + 1) if k else 0.0
            up_to = 1 - _beta_share(share, k + 1, n - k)
            assert (below + up_to) / 2 == pytest.approx(tail, abs=1e-3), row


def test_p5_to_p7_none_is_the_naive_interval() -> None:
    # Newcombe 1998, Table I, value from memory: the naive interval of 0 of 20 is 0 to 0.
    assert wilson(0, 20).high > 0.1 and clopper_pearson(0, 20).high > 0.1


# P8: Newcombe 1998, Stat. Med. 17:873-890, method 10: value from memory.
@pytest.mark.parametrize(
    ("counts", "low", "high"),
    [
        ((56, 70, 48, 80), 0.0524, 0.3339),
        ((9, 10, 3, 10), 0.1705, 0.8090),
        ((6, 7, 2, 7), 0.0582, 0.8062),
        ((5, 56, 0, 29), -0.0381, 0.1926),
        ((0, 10, 0, 20), -0.1611, 0.2775),
        ((10, 10, 0, 20), 0.6791, 1.0),
    ],
)
def test_p8_difference_of_two_shares(counts: tuple[int, int, int, int], low: float, high: float) -> None:
    assert difference(*counts) == pytest.approx((low, high), abs=6e-5)


def test_p9_difference_of_seven_and_one_of_34() -> None:
    # Fagerland et al., in the tests of statsmodels, Newcombe hybrid.
    assert difference(7, 34, 1, 34) == pytest.approx((0.018921, 0.340369), abs=6e-7)


def test_p10_vassarstats_example() -> None:
    # VassarStats, the confidence interval of a proportion: 23 of 60 (input seen, result recomputed).
    assert wilson(23, 60) == pytest.approx((0.270883, 0.509824), abs=6e-7)


def test_p11_rule_of_three() -> None:
    # Hanley & Lippman-Hand 1983, JAMA 249:1743-5: 1500 subjects and no event, so fewer than 1 in 500.
    assert rule_of_three(1500) == pytest.approx(1 / 500)
    assert 100 * upper_bound(0, 1500) == pytest.approx(0.1995, abs=5e-5)


@pytest.mark.parametrize(
    ("n", "exact", "rule"),
    [(10, 25.887, 30), (20, 13.911, 15), (30, 9.503, 10), (50, 5.815, 6), (100, 2.951, 3), (1000, 0.2991, 0.3)],
)
def test_p12_none_of_n(n: int, exact: float, rule: float) -> None:
    # Recomputed from 1 - 0.05^(1/n); the rule of three is always on the safe side.
    assert 100 * upper_bound(0, n) == pytest.approx(exact, abs=6e-4)
    assert 100 * rule_of_three(n) == pytest.approx(rule)
    assert upper_bound(0, n) < rule_of_three(n) and (n < 30 or rule_of_three(n) - upper_bound(0, n) < 0.01)


@pytest.mark.parametrize(
    ("level", "multiplier"), [(0.95, 2.995732), (0.97, 3.506558), (0.975, 3.688879), (0.99, 4.605170)]
)
def test_p13_minus_log_of_the_error(level: float, multiplier: float) -> None:
    # Multipliers 3.51 and 4.61 for 97 and 99 % are in print; the other digits are recomputed.
    assert upper_bound(0, 10**9, level=level) * 10**9 == pytest.approx(multiplier, abs=6e-7)
    assert rule_of_three(1000, level=level) * 1000 == pytest.approx(3 if level == 0.95 else multiplier, abs=6e-7)


def test_p14_closed_form_of_none() -> None:
    z = stats.norm.ppf(0.975)
    assert wilson(0, 20).high == pytest.approx(z * z / (20 + z * z))
    assert wilson(0, 20).high == pytest.approx(0.161125, abs=6e-7)


def test_d3_vacuity_of_eleven_stomachs() -> None:
    # NOAA 2011, 11 Sebastes flavidus, two of them empty (intervals recomputed).
    assert [100 * limit for limit in wilson(2, 11)] == pytest.approx([5.137, 47.698], abs=6e-4)
    assert [100 * limit for limit in clopper_pearson(2, 11)] == pytest.approx([2.283, 51.776], abs=6e-4)


def test_d12_a_difference_that_is_just_significant_just_excludes_none() -> None:
    # Chipps & Garvey 2007, AIFFD ch. 11, Box 11.1: table 18, 9 / 18, 25 gives chi-square 4.0857, p 0.0432.
    table = stats.chi2_contingency([[18, 9], [18, 25]], correction=False)
    assert (table.statistic, table.pvalue) == pytest.approx((4.085727, 0.0432468), abs=6e-7)
    assert 0 < difference(18, 27, 18, 43).low < 0.02


def test_nothing_of_nothing_is_refused() -> None:
    for refused in (
        lambda: wilson(0, 0), lambda: clopper_pearson(0, 0), lambda: upper_bound(0, 0), lambda: rule_of_three(0),
        lambda: counts_from_percent(Decimal(0), 0), lambda: difference(1, 2, 0, 0), lambda: wilson_at(0.5, 0),
    ):  # fmt: skip
        with pytest.raises(ValueError):
            refused()
    with pytest.raises(ValueError, match="0 of 0 says nothing"):
        wilson(0, 0)
    for count in (-1, 11):
        with pytest.raises(ValueError, match="a count of 0 to 10"):
            wilson(count, 10)
    with pytest.raises(ValueError, match="a level between 0 and 1"):
        wilson(1, 10, level=95)


def test_sample_for_absence() -> None:
    assert sample_for_absence(0.05) == 59 and upper_bound(0, 58) > 0.05 >= upper_bound(0, 59)
    assert sample_for_absence(0.01) == 299
    assert sample_for_absence(0) is None and sample_for_absence(1) == 1
    assert sample_for_absence(5e-324) is None and sample_for_absence(1e-13) is None
    assert sample_for_absence(1e-12) == pytest.approx(3e12, rel=0.002)  # the rule of three
    with pytest.raises(ValueError):
        sample_for_absence(5)


# Published percentages: 61.4 % is 27 vampire bats of an unstated number; empty stomachs 18 of 167 and 121 of 257.
def test_a_total_is_recovered_from_count_and_percentage() -> None:
    assert list(totals_from_percent(Decimal("61.4"), 27)) == [44]
    assert list(counts_from_percent(Decimal("61.4"), 44)) == [27]
    assert [round(100 * limit, 1) for limit in wilson(27, 44)] == [46.6, 74.3]


def test_printed_percentages_can_exist_or_cannot() -> None:
    assert list(counts_from_percent(Decimal("10.8"), 167)) == [18]
    assert list(counts_from_percent(Decimal("47.1"), 257)) == [121]
    assert impossible_share(Decimal("61.4"), 45)
    assert impossible_share(Decimal("33"), 4) and not impossible_share(Decimal("33"), 3)
    assert impossible_share(Decimal("100.1"), 1000) and impossible_share(Decimal("-3"), 1000)
    assert not impossible_share(Decimal("0"), 7) and not impossible_share(Decimal("100.0"), 7)
    assert not impossible_share(Decimal("12.5"), 8) and not impossible_share(Decimal("13"), 8)
    assert not impossible_share(Decimal("12"), 8)  # a half may have been rounded either way


def test_percentages_with_the_most_and_the_fewest_totals() -> None:
    assert totals_from_percent(Decimal("0"), 0) == range(1, 100_001)
    assert totals_from_percent(Decimal("10"), 0) == range(0)
    assert totals_from_percent(Decimal("100"), 3) == range(3, 4)
    assert totals_from_percent(Decimal("0"), 3) == range(600, 100_001)
    assert totals_from_percent(Decimal("-10"), 3) == range(0)
    for percent in ("NaN", "Infinity", "1E+9999", "1E-9999"):
        with pytest.raises(ValueError):
            totals_from_percent(Decimal(percent), 3)


counts = st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
levels = st.sampled_from([0.8, 0.9, 0.95, 0.99])


@settings(max_examples=100, deadline=None)
@given(counts, levels)
def test_intervals_agree_with_scipy_and_hold_their_estimate(count: tuple[int, int], level: float) -> None:
    k, n = count
    test = stats.binomtest(k, n)
    for ours, method in (
        (wilson(k, n, level=level), "wilson"),
        (wilson(k, n, level=level, corrected=True), "wilsoncc"),
        (clopper_pearson(k, n, level=level), "exact"),
    ):
        theirs = test.proportion_ci(level, method)
        assert ours == pytest.approx((theirs.low, theirs.high), abs=1e-11)
        assert 0 <= ours.low <= k / n <= ours.high <= 1
    upper = stats.binomtest(k, n, alternative="less").proportion_ci(level, "exact").high
    assert upper_bound(k, n, level=level) == pytest.approx(upper, abs=1e-11)


@pytest.mark.parametrize(("k", "n"), [(1, 10**6), (500_000, 10**6), (999_999, 10**6), (3, 10**7)])
def test_exact_intervals_of_very_large_samples(k: int, n: int) -> None:
    theirs = stats.binomtest(k, n).proportion_ci(0.95, "exact")
    assert clopper_pearson(k, n) == pytest.approx((theirs.low, theirs.high), rel=1e-8)


@settings(max_examples=100, deadline=None)
@given(counts, st.integers(2, 5))
def test_a_larger_sample_never_widens(count: tuple[int, int], times: int) -> None:
    k, n = count
    for method in (wilson, clopper_pearson):
        small, large = method(k, n), method(times * k, times * n)
        assert large.high - large.low <= small.high - small.low + 1e-12


@settings(max_examples=100, deadline=None)
@given(counts, counts)
def test_a_difference_is_the_reverse_of_its_reverse(one: tuple[int, int], other: tuple[int, int]) -> None:
    low, high = difference(*one, *other)
    assert difference(*other, *one) == pytest.approx((-high, -low), abs=1e-12)
    assert -1 <= low <= one[0] / one[1] - other[0] / other[1] <= high <= 1


@settings(max_examples=100, deadline=None)
@given(counts, st.integers(0, 3), st.sampled_from([ROUND_HALF_UP, ROUND_HALF_EVEN]))
def test_what_was_printed_is_found_again(count: tuple[int, int], decimals: int, rounding: str) -> None:
    k, n = count
    printed = (Decimal(100 * k) / n).quantize(Decimal(1).scaleb(-decimals), rounding=rounding)
    assert k in counts_from_percent(printed, n)
    assert n in totals_from_percent(printed, k)


@settings(max_examples=100, deadline=None)
@given(st.decimals(0, 100, places=2), st.integers(1, 300))
def test_every_count_named_is_printed_so(percent: Decimal, n: int) -> None:
    for k in counts_from_percent(percent, n):
        assert abs(Decimal(100 * k) / n - percent) <= Decimal("0.005000000001")


@settings(max_examples=100, deadline=None)
@given(st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_the_sample_that_decides_is_the_fewest(share: float, limit: float) -> None:
    n = sample_to_decide(share, limit)
    if n is None or n > 10**7:
        return
    at = wilson_at(share, n)
    assert not at.low + 1e-9 < limit < at.high - 1e-9
    if n > 1:
        before = wilson_at(share, n - 1)
        assert before.low - 1e-9 <= limit <= before.high + 1e-9
    assert math.isclose(share, limit) is False
