"""Formulas of diet study against published tables and against scipy."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats
from scipy.spatial import distance

from builder.weigh.diet_index import (
    accumulate_kinds,
    estimate_richness,
    levins_breadth,
    pianka_overlap,
    preponderance,
    prey_specific_importance,
    relative_importance,
    schoener_overlap,
    shannon_diversity,
    shares_of,
    standard_breadth,
)

# Casaux 1998, Polar Biol. 19:283-285, Harpagifer antarcticus, Potter Cove; as printed in the documentation of the
# dietr package. F, N, W in per cent: gammarids, isopods, gastropods, bivalves, chitons, polychaetes, algae.
POTTER_COVE = np.array(
    [(98.4, 86.5, 95.9), (8.9, 2.0, 0.3), (23.6, 5.8, 0.5), (1.6, 0.3, 0), (0.8, 0.1, 0), (4.9, 0.7, 1.7),
     (30.9, 4.6, 1.6)]
).T  # fmt: skip
# The same, Harmony Point: Euphausia superba, gammarids.
HARMONY_POINT = np.array([(95.5, 88.7, 95.9), (18.2, 11.3, 4.1)]).T

# Magurran 1988, as used in the tests of the tabula package: oakwood birds p. 145, spruce birds, 35 species p. 63.
OAK = [35, 26, 25, 21, 16, 11, 6, 5, 3, 3, 3, 3, 3, 2, 2, 2, 1, 1, 1, 1]
SPRUCE = [30, 30, 3, 65, 20, 11, 4, 2, 14, 3, 9, 5, 1, 1]
P63 = [
    1,
    3,
    2,
    1,
    4,
    5,
    1,
    1,
    18,
    1,
    2,
    63,
    2,
    1,
    1,
    1,
    16,
    15,
    60,
    1,
    1,
    8,
    16,
    127,
    9,
    18,
    3,
    4,
    3,
    11,
    6,
    7,
    8,
    63,
    17,
]


def test_d1_potter_cove() -> None:
    index = relative_importance(*(POTTER_COVE / 100))
    assert [round(value, 2) for value in index] == [17948.16, 20.47, 148.68, 0.48, 0.08, 11.76, 191.58]
    assert index.sum() == pytest.approx(18321.21)
    shares = [97.96384, 0.1117284, 0.8115185, 0.002619914, 0.0004366524, 0.06418790, 1.045673]
    assert 100 * shares_of(index) == pytest.approx(shares, rel=1e-6)
    occurrence, _, mass = POTTER_COVE
    assert occurrence * mass == pytest.approx([9436.56, 2.67, 11.80, 0, 0, 8.33, 49.44], abs=1e-9)
    dominance = [99.24028269, 0.02807925, 0.12409557, 0, 0, 0.08760306, 0.51993942]
    assert 100 * preponderance(occurrence, mass) == pytest.approx(dominance, abs=5e-9)


def test_d2_harmony_point() -> None:
    index = relative_importance(*(HARMONY_POINT / 100))
    assert index == pytest.approx([17629.30, 280.28])
    assert 100 * shares_of(index) == pytest.approx([98.435028, 1.564972], abs=5e-7)
    dominance = preponderance(HARMONY_POINT[0], HARMONY_POINT[2])
    assert 100 * dominance == pytest.approx([99.1918181, 0.8081819], abs=5e-8)


def test_psiri_of_the_table_made_by_hand() -> None:
    # Brown, Bizzarro, Cailliet & Ebert 2012, formula; means over the holding samples of a table made by hand.
    occurrence, number, mass = (
        np.array(row) / 100 for row in ((75, 50, 50), (220 / 3, 130 / 3, 140 / 3), (50, 82.5, 42.5))
    )
    index = 100 * prey_specific_importance(occurrence, number, mass)
    assert index == pytest.approx([46.25, 31.458333, 22.291667], abs=1e-6)
    assert index.sum() == pytest.approx(100)


# Example in the help of `dietOverlap`, FSA package: invented bass and walleye diets (results recomputed).
BASS, WALLEYE = [55, 35, 23, 7, 3, 1], [23, 45, 2, 17, 7, 2]


def test_d5_overlap_of_two_diets() -> None:
    assert pianka_overlap(BASS, WALLEYE) == pytest.approx(0.808396, abs=5e-7)
    assert schoener_overlap(BASS, WALLEYE) == pytest.approx(0.631384, abs=5e-7)


def test_d13_overlap_is_on_shares_and_the_same_both_ways() -> None:
    # Behaviour of the spaa, pgirmess and RInSp packages: 1 - Bray-Curtis is Schoener on shares only, 1 - cosine Pianka.
    assert 1 - distance.braycurtis(BASS, WALLEYE) == pytest.approx(0.645455, abs=5e-7)
    p, q = shares_of(BASS), shares_of(WALLEYE)
    assert schoener_overlap(BASS, WALLEYE) == pytest.approx(1 - distance.braycurtis(p, q))
    assert schoener_overlap(p, q) == pytest.approx(schoener_overlap(BASS, WALLEYE))
    assert pianka_overlap(BASS, WALLEYE) == pytest.approx(1 - distance.cosine(BASS, WALLEYE))
    assert pianka_overlap(WALLEYE, BASS) == pytest.approx(pianka_overlap(BASS, WALLEYE))


def test_d6_oakwood_birds() -> None:
    # Magurran 1988 p. 145; the book's 2.404 and 0.8025 are old hand arithmetic.
    assert shannon_diversity(OAK) == pytest.approx(2.407983, abs=5e-7)
    assert shannon_diversity(OAK) / math.log(2) == pytest.approx(3.473985, abs=5e-7)
    assert shannon_diversity(OAK) / math.log(len(OAK)) == pytest.approx(0.803804, abs=5e-7)
    assert levins_breadth(OAK) == pytest.approx(8.338142, abs=5e-7)
    assert 1 / levins_breadth(OAK) == pytest.approx(0.119931, abs=5e-7)
    assert max(shares_of(OAK)) == pytest.approx(0.205882, abs=5e-7)


def test_d7_spruce_birds() -> None:
    assert shannon_diversity(SPRUCE) == pytest.approx(2.055991, abs=5e-7)


@pytest.mark.parametrize(("birds", "unbiased"), [(OAK, 0.114723), (P63, 0.117683)])
def test_d8_breadth_leads_to_the_published_unbiased_simpson_index(birds: list[int], unbiased: float) -> None:
    total = sum(birds)
    assert (total / levins_breadth(birds) - 1) / (total - 1) == pytest.approx(unbiased, abs=5e-7)
    assert max(shares_of(P63)) == 0.254


def test_d9_chao2() -> None:
    # Incidence 0111 / 1001 / 0011, in the tests of the tabula package: Q1 2, Q2 1.
    found = estimate_richness([1, 1, 2, 3], 3)
    assert (found.observed, found.seen_once, found.seen_twice) == (4, 2, 1)
    assert found.estimate == pytest.approx(4.3333, abs=5e-5)
    classic = estimate_richness([1, 1, 2, 3], 3, bias_corrected=False)
    assert classic.estimate == pytest.approx(5.3333, abs=5e-5)
    assert found.complete and not classic.complete
    assert 4 <= found.interval.low <= found.estimate <= found.interval.high


def test_the_variance_of_the_classic_form_is_the_textbook_one() -> None:
    # Chao 1987, Biometrics 43:783: Q2 ((A/2) r^2 + A^2 r^3 + (A^2/4) r^4), r = Q1/Q2, A = (m-1)/m: value from memory.
    found = estimate_richness([1] * 6 + [2] * 3 + [7], 10, bias_corrected=False)
    a, r = 0.9, 2
    spread = math.exp(1.959964 * math.sqrt(math.log(1 + 3 * (a / 2 * r**2 + a**2 * r**3 + a**2 / 4 * r**4) / 5.4**2)))
    assert found.estimate == pytest.approx(15.4)
    assert found.interval == pytest.approx((10 + 5.4 / spread, 10 + 5.4 * spread), rel=1e-6)


def test_richness_at_its_limits() -> None:
    assert not estimate_richness([1, 1], 1).complete  # one sample shows nothing of what is missing
    whole = estimate_richness([5, 5, 0], 5)
    assert whole.complete and whole.observed == 2 and whole.interval == (2, 2)
    assert not estimate_richness([1] * 9, 30).complete
    for holding, samples in (([4], 3), ([-1], 3), ([], 0)):
        with pytest.raises(ValueError):
            estimate_richness(holding, samples)


def test_d11_levins() -> None:
    # Levins 1968; Hurlbert 1978. Zeros must not change B, but do change B_A through the number of kinds.
    assert levins_breadth([2, 2, 2, 2, 2]) == pytest.approx(5) and standard_breadth(5, 5) == 1
    assert levins_breadth([0, 7, 0]) == 1 and standard_breadth(1.0, 3) == 0 and standard_breadth(1.0, 1) == 0
    breadth = levins_breadth([0, 1, 2, 3, 2, 0])
    assert breadth == pytest.approx(64 / 18) and levins_breadth([1, 2, 3, 2]) == pytest.approx(breadth)
    assert standard_breadth(breadth, 6) == pytest.approx(0.511111, abs=5e-7)
    assert standard_breadth(breadth, 4) == pytest.approx(0.851852, abs=5e-7)


def test_figures_below_nothing_are_refused_and_nothing_has_no_shares() -> None:
    with pytest.raises(ValueError):
        shares_of([1, -1])
    assert np.isnan(shares_of([0, 0])).all()


def test_the_curve_is_the_mean_over_every_order_of_samples() -> None:
    incidence = np.array([[0, 1, 1, 1], [1, 0, 0, 1], [0, 0, 1, 1], [1, 0, 0, 0]])
    orders = list(itertools.permutations(range(4)))
    for m, kinds in accumulate_kinds([int(k) for k in incidence.sum(axis=0)], 4):
        seen = [(incidence[list(order[:m])].sum(axis=0) > 0).sum() for order in orders]
        assert kinds == pytest.approx(np.mean(seen))


figures = st.lists(st.integers(0, 1000), min_size=2, max_size=12).filter(any)


@settings(max_examples=100, deadline=None)
@given(figures)
def test_breadth_and_diversity_agree_with_scipy(values: list[int]) -> None:
    assert shannon_diversity(values) == pytest.approx(stats.entropy(values), abs=1e-12)
    breadth = levins_breadth(values)
    assert 1 - 1e-12 <= breadth <= len(values) + 1e-9
    assert breadth == pytest.approx(sum(values) ** 2 / np.dot(values, values))
    assert -1e-12 <= standard_breadth(breadth, len(values)) <= 1 + 1e-9
    assert shannon_diversity(values[::-1]) == pytest.approx(shannon_diversity(values))


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 50), st.integers(0, 50)), min_size=2, max_size=9), st.integers(1, 9))
def test_overlap_lies_between_none_and_whole(pairs: list[tuple[int, int]], times: int) -> None:
    p, q = [a for a, _ in pairs], [b for _, b in pairs]
    if not any(p) or not any(q):
        return
    for overlap in (schoener_overlap, pianka_overlap):
        assert -1e-12 <= overlap(p, q) <= 1 + 1e-12
        assert overlap(p, q) == pytest.approx(overlap(q, p))
        assert overlap(p, [times * value for value in p]) == pytest.approx(1)
        assert overlap([*p, 0, 0], [0 * value for value in p] + [3, 4]) == pytest.approx(0)


@settings(max_examples=100, deadline=None)
@given(
    st.integers(1, 300).flatmap(lambda n: st.tuples(st.lists(st.integers(1, n), min_size=1, max_size=9), st.just(n)))
)
def test_the_curve_rises_to_what_was_seen(case: tuple[list[int], int]) -> None:
    holding, samples = case
    curve = accumulate_kinds(holding, samples)
    assert len(curve) <= 100 and curve[-1] == (samples, pytest.approx(len(holding)))
    assert curve[0] == (1, pytest.approx(sum(holding) / samples))
    for (m, kinds), (later, more) in itertools.pairwise(curve):
        assert m < later and kinds <= more + 1e-9
    m, kinds = curve[len(curve) // 2]
    exact = sum(1 - special.comb(samples - q, m, exact=True) / special.comb(samples, m, exact=True) for q in holding)
    assert kinds == pytest.approx(exact, abs=1e-9)
