"""Claims about shares of a diet: borne out, refuted or undecided, and the sample that would decide."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.diet import DietResult, weigh_diet
from builder.weigh.diet_claim import judge_share
from builder.weigh.diet_table import DietTable
from builder.weigh.proportion import wilson


def diet_of(holding: int, samples: int, *, empty: int = 0) -> DietResult:
    """`holding` of `samples` hold nine grams of moths beside one of flies, the rest ten grams of flies."""
    rows: list[tuple[str, str, str, float | None]] = []
    for number in range(samples):
        name = f"s{number:03}"
        rows += [(name, "moth", "moths", 9.0)] * (number < holding)
        rows.append((name, "fly", "flies", 1.0 if number < holding else 10.0))
    rows += [(f"e{number}", "", "", None) for number in range(empty)]
    sample, prey, group, mass = zip(*rows, strict=True)
    return weigh_diet(DietTable(sample, prey, group, mass=mass), resamples=500)


def test_borne_out_when_the_whole_interval_is() -> None:
    found = judge_share(diet_of(80, 100), "moths", "occurrence", at_least=0.7)
    assert found.verdict == "borne out" and found.samples_needed is None
    assert found.reason == (
        "`moths` occurs in 80.0 % of 100 samples (two-sided 95 % interval 71.1 to 86.7 %), "
        "where at least 70 % is claimed; the claim is borne out"
    )
    assert judge_share(diet_of(80, 100), "moths", "mass", at_least=0.6, at_most=0.9).verdict == "borne out"


def test_refuted_when_none_of_it_is() -> None:
    assert judge_share(diet_of(80, 100), "moths", "occurrence", at_least=0.9).verdict == "refuted"
    assert judge_share(diet_of(80, 100), "moths", "mass", at_most=0.5).verdict == "refuted"


def test_a_claim_strengthened_by_hand_is_caught() -> None:
    result = diet_of(95, 100)
    assert judge_share(result, "moths", "mass", at_least=0.75).verdict == "borne out"
    assert judge_share(result, "moths", "mass", at_least=0.99).verdict == "refuted"
    assert judge_share(result, "moths", "occurrence", at_least=0.99).verdict != "borne out"


def test_undecided_names_the_sample_that_would_decide() -> None:
    found = judge_share(diet_of(16, 20), "moths", "occurrence", at_least=0.7)
    assert found.verdict == "undecided" and found.samples_needed is not None
    low = wilson(round(0.8 * found.samples_needed), found.samples_needed).low
    assert low == pytest.approx(0.7, abs=0.01)
    assert f"about {found.samples_needed} samples" in found.reason
    by_mass = judge_share(diet_of(16, 20), "moths", "mass", at_least=0.65)
    assert by_mass.verdict == "undecided" and (by_mass.samples_needed or 0) > 20


def test_a_share_that_is_the_limit_is_never_decided() -> None:
    found = judge_share(diet_of(10, 20), "moths", "occurrence", at_least=0.5)
    assert found.verdict == "undecided" and found.samples_needed is None
    assert found.reason.endswith("no larger sample with the same share would decide it")


def test_absence_gives_the_one_sided_limit_and_says_so() -> None:
    # None of 20 samples: exact one-sided 95 % limit 13.911 %, not the two-sided 16.8 %.
    result = diet_of(12, 20, empty=5)
    found = judge_share(result, "goat milk", "occurrence", at_most=0.15)
    assert found.verdict == "borne out" and found.absence and found.samples == 20
    assert found.share is not None and found.share.high == pytest.approx(0.13911, abs=5e-6)
    assert found.reason == (
        "`goat milk` was found in none of 20 samples, so under 14.0 % (one-sided 95 % limit), "
        "where at most 15 % is claimed; the claim is borne out"
    )


def test_absence_from_too_few_names_the_sample_that_would_do() -> None:
    found = judge_share(diet_of(12, 20), "goat milk", "occurrence", at_most=0.05)
    assert found.verdict == "undecided" and found.samples_needed == 59
    never = judge_share(diet_of(12, 20), "goat milk", "mass", at_most=0)
    assert never.verdict == "undecided" and never.samples_needed is None
    assert judge_share(diet_of(12, 20), "goat milk", "occurrence", at_least=0.2).verdict == "refuted"


def test_prey_and_groups_are_asked_for_by_name() -> None:
    result = diet_of(80, 100)
    assert judge_share(result, "moth", "occurrence", at_least=0.7, of="prey").verdict == "borne out"
    assert judge_share(result, "moth", "occurrence", at_least=0.7).absence


@pytest.mark.parametrize(
    ("measure", "limits", "reason"),
    [
        ("weight", {"at_least": 0.5}, "the measure is `weight`, not one of `occurrence`, `count`, `mass`, `volume`"),
        ("mass", {}, "the test says neither `at_least` nor `at_most`"),
        ("mass", {"at_least": 90}, "`at_least` is 90, but a share lies between 0 and 1: write 0.9 for 90 %"),
        ("mass", {"at_most": -0.1}, "`at_most` is -0.1, but a share lies between 0 and 1: write 0.9 for 90 %"),
        ("mass", {"at_most": float("nan")}, "`at_most` is nan, but a share lies between 0 and 1: write 0.9 for 90 %"),
        ("mass", {"at_least": 0.6, "at_most": 0.4}, "`at_least` is 0.6, which is more than `at_most`, 0.4"),
        ("volume", {"at_least": 0.5}, "the table gives no volume"),
    ],
)
def test_what_cannot_be_tested_is_undecided_and_says_why(measure: str, limits: dict[str, float], reason: str) -> None:
    found = judge_share(diet_of(8, 10), "moths", measure, **limits)
    assert (found.verdict, found.share, found.reason) == ("undecided", None, reason)


def test_empty_samples_bear_nothing_out() -> None:
    found = judge_share(diet_of(0, 0, empty=3), "moths", "occurrence", at_most=0.5)
    assert (found.verdict, found.reason) == ("undecided", "all 3 samples are empty: nothing of nothing is no share")


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 30), st.sampled_from(["occurrence", "mass"]), st.floats(0, 1), st.floats(0, 1))
def test_a_stronger_claim_is_never_borne_out_sooner(holding: int, measure: str, one: float, other: float) -> None:
    weak, strong = sorted((one, other))
    result = diet_of(holding, 30)
    order = ["refuted", "undecided", "borne out"]
    at_least = [judge_share(result, "moths", measure, at_least=limit).verdict for limit in (weak, strong)]
    assert order.index(at_least[0]) >= order.index(at_least[1])
    at_most = [judge_share(result, "moths", measure, at_most=limit).verdict for limit in (strong, weak)]
    assert order.index(at_most[0]) >= order.index(at_most[1])
    found = judge_share(result, "moths", measure, at_least=strong)
    assert found.samples_needed is None or found.samples_needed > 30
