"""Diet tables against published tables, one made by hand, and properties of shares and intervals."""

import random
import tracemalloc
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from builder.weigh.diet import Composition, DietResult, Kind, weigh_diet, weigh_overlap
from builder.weigh.diet_table import DietTable
from builder.weigh.proportion import wilson

Row = tuple[str, str, float | None, float | None]


def table_of(rows: list[Row], **more: object) -> DietTable:
    """Rows of sample, prey, count, mass; groups are the prey."""
    sample, prey, count, mass = (tuple(column) for column in zip(*rows, strict=True))
    columns = {"count": count if any(count) else None, "mass": mass if any(mass) else None, "group": prey}
    return DietTable(sample, prey, **{**columns, **more})  # type: ignore[arg-type]


def kind_of(result: DietResult, name: str) -> Kind:
    return next(kind for kind in result.prey.kinds if kind.name == name)


def percents(composition: Composition, measure: str) -> list[float]:
    return [100 * kind.measures[measure].value for kind in composition.kinds]


# Made by hand: five stomachs, the last one empty.
BY_HAND: list[Row] = [
    ("S1", "A", 4, 2), ("S1", "B", 1, 6), ("S2", "A", 6, 3), ("S3", "B", 2, 9), ("S3", "C", 1, 1),
    ("S4", "A", 2, 1), ("S4", "C", 3, 3), ("S5", "", None, None),
]  # fmt: skip


def test_d3_vacuity_of_eleven_rockfish() -> None:
    # NOAA 2011, 11 Sebastes flavidus, mass of contents in grams; data `SebastesStomachs` of the dietr package.
    masses = [0, 4.01, 28.33, 2.72, 67.64, 0.55, 0.27, 2.13, 1.95, 6.68, 0]
    result = weigh_diet(table_of([(f"{n}", "contents" if m else "", None, m or None) for n, m in enumerate(masses)]))
    assert (result.examined, result.empty) == (11, 2)
    assert [100 * figure for figure in result.vacuity[:3]] == pytest.approx([18.18182, 5.137, 47.698], abs=6e-4)


def test_d4_five_stomachs_by_hand() -> None:
    result = weigh_diet(table_of(BY_HAND))
    prey = result.prey
    assert [kind.name for kind in prey.kinds] == ["A", "B", "C"]
    assert 100 * result.vacuity.value == pytest.approx(20)
    assert percents(prey, "FO") == pytest.approx([75, 50, 50])
    assert percents(prey, "FO_all") == pytest.approx([60, 40, 40])
    assert percents(prey, "N") == pytest.approx([63.1579, 15.7895, 21.0526], abs=5e-5)
    assert percents(prey, "W") == pytest.approx([24, 60, 16])
    assert [kind.measures["IRI"].value for kind in prey.kinds] == pytest.approx([6536.8421, 3789.4737, 1852.6316])
    assert percents(prey, "IRI_share") == pytest.approx([53.6733, 31.1150, 15.2118], abs=5e-5)
    assert percents(prey, "preponderance") == pytest.approx([32.1429, 53.5714, 14.2857], abs=5e-5)
    assert percents(prey, "abundance") == pytest.approx([40, 83.3333, 28.5714], abs=5e-5)
    assert percents(prey, "PSIRI") == pytest.approx([46.25, 31.4583, 22.2917], abs=5e-5)
    assert sum(percents(prey, "PSIRI")) == pytest.approx(100)
    assert (result.iri_measure, result.levins_measure, result.log_base) == ("mass", "mass", "e")


def test_d4_lumping_adds_up_in_psiri_and_not_in_iri() -> None:
    lumped = tuple("A" if prey == "A" else "BC" if prey else "" for _, prey, _, _ in BY_HAND)
    result = weigh_diet(table_of(BY_HAND, group=lumped))
    assert percents(result.groups, "PSIRI") == pytest.approx([46.25, 53.75])
    assert [kind.measures["IRI"].value for kind in result.groups.kinds] == pytest.approx([6536.8421, 8463.158])
    assert percents(result.groups, "IRI_share")[0] == pytest.approx(43.58, abs=5e-3)
    assert percents(result.prey, "IRI_share")[0] == pytest.approx(53.6733, abs=5e-5)


# The percentile bootstrap of k/n has the exact law Binomial(n, k/n)/n; one item in each of n samples makes N a k/n.
@pytest.mark.parametrize(("k", "n", "low", "high"), [(12, 20, 0.40, 0.80), (3, 50, 0.0, 0.14), (30, 60, None, None)])
def test_d10_resampling_follows_its_exact_law(k: int, n: int, low: float | None, high: float | None) -> None:
    rows: list[Row] = [(f"s{number:02}", "prey" if number < k else "other", 1, None) for number in range(n)]
    found = kind_of(weigh_diet(table_of(rows)), "prey").measures["N"]
    exact = stats.binom.ppf([0.025, 0.975], n, k / n) / n
    assert found.method == "bootstrap" and found.value == pytest.approx(k / n)
    assert [found.low, found.high] == pytest.approx(exact, abs=1 / n + 1e-9)
    if low is not None and high is not None:
        assert exact == pytest.approx([low, high])


def test_d10_without_spread_the_score_interval_stands_in() -> None:
    result = weigh_diet(table_of([(f"s{number}", "prey", 1, 2.5) for number in range(20)]))
    (only,) = result.prey.kinds
    for name in ("N", "W", "N_mean", "W_mean", "IRI_share", "PSIRI", "preponderance", "abundance"):
        assert only.measures[name][:3] == pytest.approx((1, wilson(20, 20).low, 1)), name
        assert only.measures[name].method == "wilson"
    least = wilson(20, 20).low
    assert only.measures["IRI"][:3] == pytest.approx((20_000, 1e4 * least * 2 * least, 20_000))
    assert result.prey.levins_B is not None and result.prey.levins_B[:3] == pytest.approx((1, 1, 1))
    alike = weigh_diet(table_of([(f"s{n}", prey, 1, m) for n in range(9) for prey, m in (("a", 2.0), ("b", 3.0))]))
    share = kind_of(alike, "a").measures["W"]
    assert share.value == pytest.approx(0.4) and share.low < 0.2 and share.high > 0.6 and share.method == "wilson"


def test_few_samples_give_wide_intervals() -> None:
    # Two adults and one nestling of a nightjar, 81 and 93 % moths: three samples allow of hardly any statement.
    rows: list[Row] = []
    for sample, moths in (("a", 81), ("b", 93), ("c", 90)):
        rows += [(sample, "moths", None, moths), (sample, "other", None, 100 - moths)]
    share = kind_of(weigh_diet(table_of(rows)), "moths").measures["W"]
    assert share.method == "wilson" and share.low < 0.4 and share.high > 0.95
    breadth = weigh_diet(table_of(rows)).prey.levins_B
    assert breadth is not None and (breadth.low, breadth.high, breadth.method) == (1, 2, "range")


def test_whole_samples_are_resampled_never_rows() -> None:
    # Forty samples of one kind each, twenty rows deep: by rows the share would look ten times as sure as it is.
    rows: list[Row] = [
        (f"s{sample:02}", f"{'ab'[sample % 2]}{row}", 1, None) for sample in range(40) for row in range(20)
    ]
    table = table_of(rows, group=tuple(prey[0] for _, prey, _, _ in rows))
    share = weigh_diet(table).groups.kinds[0].measures["N"]
    assert share.value == pytest.approx(0.5)
    assert share.high - share.low == pytest.approx(2 * 1.96 * (0.25 / 40) ** 0.5, rel=0.15)


def test_clusters_are_resampled_whole() -> None:
    # Ten colonies of ten samples that each eat one thing: ten units, not a hundred.
    rows: list[Row] = [(f"s{sample:02}", "ab"[sample // 10 % 2], 1, 1.0) for sample in range(100)]
    alone = kind_of(weigh_diet(table_of(rows)), "a").measures["W"]
    result = weigh_diet(table_of(rows, cluster=tuple(str(sample // 10) for sample in range(100))))
    together = kind_of(result, "a").measures["W"]
    assert result.clusters == 10 and together.value == pytest.approx(alone.value)
    assert together.high - together.low > 2.5 * (alone.high - alone.low)


def test_few_clusters_never_narrow_an_interval() -> None:
    rows: list[Row] = [(f"s{sample:02}", "aab"[sample % 3], 1, 1.0 + sample % 5) for sample in range(30)]
    alone = kind_of(weigh_diet(table_of(rows)), "a").measures["W"]
    few = kind_of(weigh_diet(table_of(rows, cluster=tuple(str(sample // 15) for sample in range(30)))), "a").measures[
        "W"
    ]
    assert few.low <= alone.low and few.high >= alone.high


def test_volume_stands_in_for_mass_and_counts_for_both() -> None:
    rows: list[Row] = [(f"s{n}", "ab"[n % 2], 1 + n % 3, None) for n in range(12)]
    volume = tuple(1.0 + n for n in range(12))
    with_volume = weigh_diet(table_of(rows, volume=volume))
    assert (with_volume.iri_measure, with_volume.levins_measure) == ("volume", "volume")
    assert "V_mean" in with_volume.prey.kinds[0].measures and "W" not in with_volume.prey.kinds[0].measures
    counts_only = weigh_diet(table_of(rows))
    assert (counts_only.iri_measure, counts_only.levins_measure) == (None, "count")
    assert "IRI" not in counts_only.prey.kinds[0].measures and "PSIRI" not in counts_only.prey.kinds[0].measures


def test_gaps_are_counted_and_shares_are_of_what_was_measured() -> None:
    rows: list[Row] = [
        ("s1", "a", 1, 2),
        ("s1", "b", None, 2),
        ("s2", "a", 3, None),
        ("s3", "b", 1, 4),
        ("s4", "", None, None),
    ]
    result = weigh_diet(table_of(rows))
    assert result.gaps == {"count": 1, "mass": 1}
    assert percents(result.prey, "W") == pytest.approx([25, 75])
    assert percents(result.prey, "W_mean") == pytest.approx([25, 75])  # over the two samples weighed
    assert percents(result.prey, "FO") == pytest.approx([200 / 3, 200 / 3])
    assert sum(percents(result.prey, "PSIRI")) == pytest.approx(100)


def test_a_kind_that_was_never_weighed_has_no_abundance() -> None:
    rows: list[Row] = [(f"s{n}", "a", 1, 2.0) for n in range(6)] + [("t", "b", 1, None)]
    assert "abundance" not in kind_of(weigh_diet(table_of(rows)), "b").measures


def test_nothing_but_empty_samples() -> None:
    result = weigh_diet(table_of([("s1", "", None, None), ("s2", "", None, None)]))
    assert result.vacuity.value == 1 and result.prey.kinds == () and result.prey.levins_B is None
    with pytest.raises(ValueError, match="without samples"):
        weigh_diet(DietTable((), (), ()))


def test_overlap_of_two_tables() -> None:
    ours: list[Row] = [(f"s{n}", prey, None, 1.0 + n % 4) for n in range(20) for prey in "ab"]
    theirs: list[Row] = [(f"t{n}", prey, None, 1.0 + n % 3) for n in range(20) for prey in "bc"]
    found = weigh_overlap(table_of(ours), table_of(theirs))
    assert found is not None and found.measure == "mass"
    assert found.schoener.value == pytest.approx(0.5) and found.pianka.value == pytest.approx(0.5)
    same = weigh_overlap(table_of(ours), table_of(ours))
    assert same is not None and same.schoener.value == pytest.approx(1) and same.schoener.low < 1
    few = weigh_overlap(table_of(ours[:4]), table_of(theirs))
    assert few is not None and (few.pianka.low, few.pianka.high, few.pianka.method) == (0, 1, "range")
    assert weigh_overlap(table_of(ours), table_of([("t", "b", 3, None)])) is None


def test_completeness_of_the_list() -> None:
    rare: list[Row] = [(f"s{n}", f"kind {n}", 1, None) for n in range(12)]
    assert (found := weigh_diet(table_of(rare)).prey.richness) is not None and not found.complete
    common: list[Row] = [(f"s{n}", prey, 1, None) for n in range(12) for prey in "ab"]
    assert (found := weigh_diet(table_of(common)).prey.richness) is not None and found.complete


def make_table(samples: int, kinds: int, each: int, *, start: int = 1) -> DietTable:
    chance = random.Random(start)
    rows: list[Row] = []
    for sample in range(samples):
        for kind in chance.sample(range(kinds), each):
            rows.append((f"s{sample:05}", f"k{kind:02}", chance.randint(1, 9), round(chance.random() * 5, 2) + 0.01))
    return table_of(rows, group=tuple(f"g{prey[2]}" for _, prey, _, _ in rows))


def test_the_order_of_rows_changes_no_digit() -> None:
    table = make_table(40, 15, 5)
    order = list(range(len(table.sample)))
    random.Random(5).shuffle(order)
    columns = ("sample", "prey", "group", "count", "mass")
    shuffled = replace(table, **{name: tuple(getattr(table, name)[place] for place in order) for name in columns})
    assert repr(weigh_diet(shuffled)) == repr(weigh_diet(table))


def test_the_same_table_gives_the_same_digits_on_any_day() -> None:
    # Fixed by hand: the stream of random numbers may never change unnoticed, or every approved page would change.
    share = kind_of(weigh_diet(make_table(40, 15, 5)), "k00").measures["W"]
    assert [round(figure, 9) for figure in share[:3]] == [0.0674636, 0.031689772, 0.107793213]


def test_a_large_table_takes_little_memory() -> None:
    table = make_table(10_000, 60, 10)
    result = weigh_diet(table)
    assert len(result.prey.kinds) == 60 and result.resamples == 2_000
    tracemalloc.start()
    weigh_diet(table, resamples=200)
    assert tracemalloc.get_traced_memory()[1] < 2**29
    tracemalloc.stop()


rows_of_tables = st.lists(
    st.tuples(st.integers(0, 8), st.sampled_from("abcd"), st.integers(0, 9), st.floats(0.01, 100)),
    min_size=1,
    max_size=25,
    unique_by=lambda row: row[:2],
).map(lambda rows: [(str(sample), prey, count or None, mass) for sample, prey, count, mass in rows])


@settings(max_examples=60, deadline=None)
@given(rows_of_tables, st.booleans())
def test_every_interval_holds_its_estimate_and_every_share_is_one(rows: list[Row], clustered: bool) -> None:
    cluster = tuple(str(int(sample) // 3) for sample, _, _, _ in rows) if clustered else None
    result = weigh_diet(table_of(rows, cluster=cluster), resamples=200)
    for kind in result.prey.kinds:
        for name, (value, low, high, _) in kind.measures.items():
            most = 20_000 if name == "IRI" else 1
            assert -1e-9 <= low <= value <= high <= most * (1 + 1e-9), name
    for name in ("N", "W", "N_mean", "W_mean", "IRI_share", "PSIRI", "preponderance"):
        found = [kind.measures[name].value for kind in result.prey.kinds if name in kind.measures]
        assert not found or sum(found) == pytest.approx(1)
    for whole in (result.prey.levins_B, result.prey.levins_BA, result.prey.shannon):
        assert whole is not None and whole.low <= whole.value <= whole.high


@settings(max_examples=30, deadline=None)
@given(rows_of_tables)
def test_masses_in_another_unit_change_no_share(rows: list[Row]) -> None:
    grams = weigh_diet(table_of(rows), resamples=200)
    eighths = weigh_diet(table_of([(s, p, c, (m or 0) / 8) for s, p, c, m in rows]), resamples=200)
    for one, other in zip(grams.prey.kinds, eighths.prey.kinds, strict=True):
        for name, estimate in one.measures.items():
            assert other.measures[name][:3] == pytest.approx(estimate[:3])


@settings(max_examples=30, deadline=None)
@given(rows_of_tables)
def test_an_empty_sample_changes_only_what_is_over_all(rows: list[Row]) -> None:
    without = weigh_diet(table_of(rows), resamples=200)
    with_one = weigh_diet(table_of([*rows, ("empty", "", None, None)]), resamples=200)
    for one, other in zip(without.prey.kinds, with_one.prey.kinds, strict=True):
        assert {k: v for k, v in one.measures.items() if k != "FO_all"} == {
            k: v for k, v in other.measures.items() if k != "FO_all"
        }
        assert other.measures["FO_all"].value < one.measures["FO_all"].value
    assert np.isclose(with_one.vacuity.value, 1 / with_one.examined)
