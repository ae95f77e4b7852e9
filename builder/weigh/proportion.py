"""Shares and their uncertainty: how far k of n goes, what 0 of n rules out, which percentages can exist.

In: counts k of n, printed percentages as Decimal. Out: intervals as shares from 0 to 1, sample sizes, ranges of counts.
Refuses (ValueError): n below 1, as 0 of 0 says nothing; k outside 0..n; a level or a limit outside its range.
Plain Python throughout; limits are good to about 1e-12, and are clipped so that they always hold k/n.
"""

import math
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

LEAST_LIMIT = 1e-12
"""No sample that anybody could take rules out a smaller share."""


class Interval(NamedTuple):
    """Lower and upper limit of a share, 0 to 1 (of a difference of two shares, −1 to 1)."""

    low: float
    high: float


def wilson(k: int, n: int, *, level: float = 0.95, corrected: bool = False) -> Interval:
    """Score interval of k/n (Wilson 1927, J. Am. Stat. Assoc. 22:209; as methods 3 and, `corrected` for continuity,
    4 of Newcombe 1998, Stat. Med. 17:857)."""
    _check(k, n, level)
    if not corrected:
        return wilson_at(k / n, n, level=level)
    z, p = _normal_quantile(level), k / n
    span = 2 * (n + z * z)
    low = (2 * k + z * z - 1 - z * math.sqrt(z * z - 2 - 1 / n + 4 * p * (n * (1 - p) + 1))) / span if k else 0.0
    high = (2 * k + z * z + 1 + z * math.sqrt(z * z + 2 - 1 / n + 4 * p * (n * (1 - p) - 1))) / span if k < n else 1.0
    return Interval(max(0.0, min(low, p)), min(1.0, max(high, p)))


def wilson_at(share: float, n: float, *, level: float = 0.95) -> Interval:
    """Score interval of a `share` of 0 to 1 that need not be a count: a mean of n values between 0 and 1 varies at
    most as k of n does, so for such a mean the interval errs on the wide side."""
    if not (0 <= share <= 1 and n > 0):
        raise ValueError(f"a share of 0 to 1 among more than 0 is needed, not {share} among {n}")
    z = _normal_quantile(level)
    spread = z * math.sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    low, high = (((share + z * z / (2 * n)) + way * spread) / (1 + z * z / n) for way in (-1, 1))
    return Interval(max(0.0, min(low, share)) if share else 0.0, min(1.0, max(high, share)) if share < 1 else 1.0)


def clopper_pearson(k: int, n: int, *, level: float = 0.95) -> Interval:
    """Exact two-sided interval of k/n (Clopper & Pearson 1934, Biometrika 26:404), never under its level."""
    _check(k, n, level)
    tail = (1 - level) / 2
    low = _beta_quantile(tail, k, n - k + 1) if k else 0.0
    return Interval(low, _beta_quantile(1 - tail, k + 1, n - k) if k < n else 1.0)


def upper_bound(k: int, n: int, *, level: float = 0.95) -> float:
    """Exact one-sided upper limit of k/n; of 0 of n it is 1 − (1 − level)^(1/n). Print that it is one-sided."""
    _check(k, n, level)
    if k == n:
        return 1.0
    return -math.expm1(math.log1p(-level) / n) if k == 0 else _beta_quantile(level, k + 1, n - k)


def sample_for_absence(limit: float, *, level: float = 0.95) -> int | None:
    """The fewest samples that, with none of them holding it, put the one-sided upper limit at or under `limit`.

    None for a limit under `LEAST_LIMIT`: no sample shows that something never occurs, or as good as never.
    """
    _check(0, 1, level)
    if not 0 <= limit <= 1:
        raise ValueError(f"a limit of 0 to 1 is needed, not {limit}")
    if limit < LEAST_LIMIT:
        return None
    if limit == 1:
        return 1
    n = max(1, math.ceil(math.log1p(-level) / math.log1p(-limit) - 1e-9))
    while upper_bound(0, n, level=level) > limit * (1 + 1e-12):
        n += 1
    return n


def rule_of_three(n: int, *, level: float = 0.95) -> float:
    """Quick upper limit of 0 of n, −ln(1 − level)/n or 3/n at 95 % (Hanley & Lippman-Hand 1983, JAMA 249:1743).

    Always on the safe side of the exact one-sided limit, and within a percentage point of it from n = 30.
    """
    _check(0, n, level)
    return min(1.0, (3.0 if level == 0.95 else -math.log1p(-level)) / n)


def difference(k: int, n: int, other_k: int, other_n: int, *, level: float = 0.95) -> Interval:
    """Interval of k/n − other_k/other_n from the two Wilson intervals (Newcombe 1998, Stat. Med. 17:873, method 10)."""
    low, high = wilson(k, n, level=level)
    other_low, other_high = wilson(other_k, other_n, level=level)
    p, q = k / n, other_k / other_n
    return Interval(
        max(-1.0, p - q - math.hypot(p - low, other_high - q)), min(1.0, p - q + math.hypot(high - p, q - other_low))
    )


def sample_to_decide(share: float, limit: float, *, level: float = 0.95) -> int | None:
    """The fewest samples at which the Wilson interval about the same `share` no longer holds `limit`.

    From the score test behind the interval: |share − limit| > z √(limit (1 − limit)/n). None where share = limit.
    """
    if not (0 <= share <= 1 and 0 <= limit <= 1):
        raise ValueError(f"shares of 0 to 1 are needed, not {share} and {limit}")
    if math.isclose(share, limit, rel_tol=0, abs_tol=1e-12):
        return None
    z = _normal_quantile(level)
    return max(1, math.floor(z * z * limit * (1 - limit) / (share - limit) ** 2) + 1)


def counts_from_percent(percent: Decimal, n: int) -> range:
    """The counts k of n that round to `percent` at the decimals it is printed with; empty where there is none.

    Both ways of rounding a half are allowed for. `Decimal("61.4")` among 44 gives 27 alone; among 45 nothing.
    """
    _check(0, n, 0.95)
    low, high = _printed_bounds(percent)
    return range(max(0, math.ceil(low * n)), max(-1, min(n, math.floor(high * n))) + 1)


def impossible_share(percent: Decimal, n: int) -> bool:
    """Whether no count of n can be printed as `percent`."""
    return not counts_from_percent(percent, n)


def totals_from_percent(percent: Decimal, k: int, *, most: int = 100_000) -> range:
    """The totals n, up to `most`, of which k is `percent` as printed: 27 at 61.4 % gives 44 alone."""
    if k < 0 or most < 1:
        raise ValueError(f"a count of 0 or more and a total of 1 or more are needed, not {k} and {most}")
    low, high = _printed_bounds(percent)
    if high < 0 or low > 1 or (k > 0 and high == 0) or (k == 0 and low > 0):
        return range(0)
    least = max(1, k, math.ceil(k / high)) if high > 0 else 1
    return range(least, min(most, math.floor(k / low) if low > 0 else most) + 1)


def _printed_bounds(percent: Decimal) -> tuple[Fraction, Fraction]:
    exponent = percent.as_tuple().exponent
    if not isinstance(exponent, int):
        raise ValueError(f"a percentage is needed, not {percent}")
    if not -1000 < percent.adjusted() < 1000 or exponent < -1000:
        raise ValueError(f"a percentage of so many digits is none: {percent}")
    half = Fraction(10) ** exponent / 2
    return (Fraction(percent) - half) / 100, (Fraction(percent) + half) / 100


def _check(k: int, n: int, level: float) -> None:
    if n < 1:
        raise ValueError(f"{k} of {n} says nothing: a share needs at least one sample")
    if not 0 <= k <= n:
        raise ValueError(f"a count of 0 to {n} is needed, not {k}")
    if not 0 < level < 1:
        raise ValueError(f"a level between 0 and 1 is needed, not {level}")


def _normal_quantile(level: float) -> float:
    """Two-sided: 1.959964 at 0.95."""
    if not 0 < level < 1:
        raise ValueError(f"a level between 0 and 1 is needed, not {level}")
    if level == 0.95:
        return 1.959963984540054  # spares the import, which takes longer than every interval of a table
    from statistics import NormalDist

    return NormalDist().inv_cdf((1 + level) / 2)


def _beta_quantile(probability: float, a: float, b: float) -> float:
    return _find_root(lambda x: _beta_share(x, a, b) - probability)


def _find_root(rising: Callable[[float], float]) -> float:
    """Where a function rising over 0..1 crosses 0, by halving: 60 steps reach the last digit of a share."""
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < 0 else (low, middle)
    return (low + high) / 2


def _beta_share(x: float, a: float, b: float) -> float:
    """Regularised incomplete beta function I_x(a, b) (NIST Digital Library of Mathematical Functions 8.17.22),
    its continued fraction summed by the modified Lentz method."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_share(1 - x, b, a)
    log_front = a * math.log(x) + b * math.log1p(-x) + math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    tiny = 1e-300
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1) or tiny)
    total = d
    for m in range(1, 20_000):
        for step in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / (1 + step * d or tiny)
            c = 1 + step / c or tiny
            total *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return math.exp(log_front) * total / a
