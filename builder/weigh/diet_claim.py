"""Holds a claim about a share of the diet to a diet table: borne out, refuted, or undecided at this sample size.

In: a DietResult, the kind of prey or group, the measure, the least or the most the claim says. Out: a ShareTest.
Refuses nothing: what cannot be tested is undecided, and the reason says why.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from builder.weigh.diet import DietResult
from builder.weigh.proportion import sample_for_absence, sample_to_decide, upper_bound
from builder.weigh.resampling import Estimate

Verdict = Literal["borne out", "refuted", "undecided"]

_NAMES: Mapping[str, tuple[str, str]] = {
    "occurrence": ("FO", "occurs in {} of {} samples"),
    "count": ("N", "is {} of the items in {} samples"),
    "mass": ("W", "is {} of the mass in {} samples"),
    "volume": ("V", "is {} of the volume in {} samples"),
}


@dataclass(frozen=True)
class ShareTest:
    """`share` is None where there is nothing to test; its method is `exact one-sided` where the kind was never found.

    `samples_needed` non-empty samples would decide, were the share to stay what it is; None where it is decided, and
    where no sample could decide. `absence` is true where the kind was not found at all.
    """

    verdict: Verdict
    share: Estimate | None
    samples: int
    samples_needed: int | None
    absence: bool
    reason: str


def judge_share(
    result: DietResult,
    name: str,
    measure: str,
    *,
    at_least: float | None = None,
    at_most: float | None = None,
    of: Literal["group", "prey"] = "group",
) -> ShareTest:
    """Borne out when the whole interval lies within `at_least` to `at_most`, refuted when none of it does.

    `measure` is occurrence (share of the non-empty samples), count, mass or volume. Of a kind that was never found the
    limit is the exact one-sided one, at the level of the result.
    """
    samples = result.examined - result.empty
    wrong = _find_wrong(result, samples, measure, at_least, at_most)
    if wrong:
        return ShareTest("undecided", None, samples, None, False, wrong)
    kinds = (result.groups if of == "group" else result.prey).kinds
    kind = next((found for found in kinds if found.name == name), None)
    key = _NAMES[measure][0]
    if kind is None:
        share = Estimate(0.0, 0.0, upper_bound(0, samples, level=result.level), "exact one-sided")
    elif key in kind.measures:
        share = kind.measures[key]
    else:
        return ShareTest("undecided", None, samples, None, False, f"the table gives no {measure} of `{name}`")
    low, high = at_least or 0.0, 1.0 if at_most is None else at_most
    verdict: Verdict = "undecided"
    if share.low >= low and share.high <= high:
        verdict = "borne out"
    elif share.high < low or share.low > high:
        verdict = "refuted"
    needed = _find_needed(share, low, high, samples, result.level, measure) if verdict == "undecided" else None
    reason = _state(name, measure, share, samples, result.level, at_least, at_most)
    if verdict != "undecided":
        reason += f"; the claim is {verdict}"
    elif needed is None:
        reason += "; the claim is undecided, and no larger sample with the same share would decide it"
    else:
        reason += f"; the claim is undecided, and about {needed} samples with the same share would decide it"
    return ShareTest(verdict, share, samples, needed, kind is None, reason)


def _find_wrong(result: DietResult, samples: int, measure: str, at_least: float | None, at_most: float | None) -> str:
    if measure not in _NAMES:
        return f"the measure is `{measure}`, not one of " + ", ".join(f"`{name}`" for name in _NAMES)
    if at_least is None and at_most is None:
        return "the test says neither `at_least` nor `at_most`"
    for name, limit in (("at_least", at_least), ("at_most", at_most)):
        if limit is not None and not 0 <= limit <= 1:
            return f"`{name}` is {limit:g}, but a share lies between 0 and 1: write 0.9 for 90 %"
    if at_least is not None and at_most is not None and at_least > at_most:
        return f"`at_least` is {at_least:g}, which is more than `at_most`, {at_most:g}"
    if not samples:
        return f"all {result.examined} samples are empty: nothing of nothing is no share"
    if measure != "occurrence" and not any(_NAMES[measure][0] in kind.measures for kind in result.prey.kinds):
        return f"the table gives no {measure}"
    return ""


def _find_needed(share: Estimate, low: float, high: float, samples: int, level: float, measure: str) -> int | None:
    """Samples at which the interval, shrinking as 1/√n, would leave every limit it now straddles."""
    needed = [samples + 1]
    for limit, counts in ((low, low > 0), (high, high < 1)):
        if not counts or not share.low <= limit <= share.high:
            continue
        if share.method == "exact one-sided":
            fewest = sample_for_absence(limit, level=level) if limit else None
        elif measure == "occurrence":
            fewest = sample_to_decide(share.value, limit, level=level)
        else:
            gap = abs(share.value - limit)
            reach = share.value - share.low if limit < share.value else share.high - share.value
            fewest = math.ceil(samples * (reach / gap) ** 2) if gap > 1e-9 else None
        if fewest is None:
            return None
        needed.append(fewest)
    return max(needed)


def _state(
    name: str,
    measure: str,
    share: Estimate,
    samples: int,
    level: float,
    at_least: float | None,
    at_most: float | None,
) -> str:
    sure = f"{100 * level:g} %"
    if share.method == "exact one-sided":
        under = f"under {math.ceil(1000 * share.high) / 10:.1f} %"
        said = f"`{name}` was found in none of {samples} samples, so {under} (one-sided {sure} limit)"
    else:  # rounded outwards, so that a limit just missed never looks met
        low, high = math.floor(1000 * share.low + 1e-9) / 10, math.ceil(1000 * share.high - 1e-9) / 10
        said = f"`{name}` " + _NAMES[measure][1].format(f"{100 * share.value:.1f} %", samples)
        said += f" (two-sided {sure} interval {low:.1f} to {high:.1f} %)"
    bounds = (("at least", at_least), ("at most", at_most))
    claimed = " and ".join(f"{word} {100 * limit:.6g} %" for word, limit in bounds if limit is not None)
    return f"{said}, where {claimed} is claimed"
