"""Intervals by resampling whole samples or clusters, and what stands in where resampling cannot serve.

In: columns of figures by sample. Out: their sums over each resample, and estimates with their limits.
Refuses nothing; needs numpy, imported when first used. The random numbers are a fixed stream that depends neither on
the order of rows nor on the version of numpy.
"""

import math
from collections.abc import Iterator
from functools import cache, lru_cache
from typing import TYPE_CHECKING, NamedTuple

from builder.weigh.proportion import wilson, wilson_at

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from threadpoolctl import ThreadpoolController

    Floats = NDArray[np.float64]

FEWEST = 5
STREAM = 1_934
_CHUNK = 1_000_000  # random numbers in memory at a time
_REMEMBERED = 500_000
_AT_HAND = 2_000_000
"""Floats asked for once and given back untouched: the C library of Linux then keeps as much (16 MB) at hand for the
next table. Else it returns it and fetches it anew page by page, which took a quarter of a table's time (mallopt(3))."""


class Estimate(NamedTuple):
    """A value with its interval, and how that was found: `wilson`, `bootstrap` or, knowing nothing, `range`."""

    value: float
    low: float
    high: float
    method: str


def resample_sums(columns: "Floats", clusters: "NDArray[np.int64] | None", resamples: int, stream: int) -> "Floats":
    """Sums of each column over the samples as they are (first) and over each resample: columns × (1 + resamples)."""
    import numpy as np

    units = columns
    if clusters is not None:
        units = np.zeros((int(clusters.max()) + 1, columns.shape[1]))
        np.add.at(units, clusters, columns)
    small = len(units) * resamples <= _REMEMBERED
    with _thread_pools().limit(limits=1, user_api="blas"):
        blocks = [units.T @ weights.T for weights in (_draw_all if small else _draw)(len(units), resamples, stream)]
    return blocks[0] if len(blocks) == 1 else np.hstack(blocks)


@cache
def _thread_pools() -> "ThreadpoolController":
    """What numpy multiplies matrices with. Threads that share so small a product wait longer than they work, and the
    other cores have tables of their own."""
    import numpy as np  # first, for only what is loaded is found
    from threadpoolctl import ThreadpoolController

    np.empty(_AT_HAND)  # once for each process, as all of this
    return ThreadpoolController()


@lru_cache(maxsize=16)
def _draw_all(units: int, resamples: int, stream: int) -> "tuple[Floats, ...]":
    """Remembered, as a museum's tables are small and many of one size; at most 16 × 4 MB."""
    return tuple(_draw(units, resamples, stream))


def _draw(units: int, resamples: int, stream: int) -> "Iterator[Floats]":
    """How often each unit was drawn: once each in the first row, then resample by resample, some rows at a time.

    Takes the raw numbers of the generator, whose stream numpy promises never to change, and scales their upper half.
    """
    import numpy as np

    source = np.random.PCG64(stream)
    step = max(1, _CHUNK // units)
    for start in range(0, resamples, step):
        rows = min(step, resamples - start)
        scaled = (source.random_raw(rows * units) >> np.uint64(32)) * np.uint64(units) >> np.uint64(32)
        drawn = scaled.astype(np.int64).reshape(rows, units) + np.arange(0, rows * units, units)[:, None]
        weights = np.bincount(drawn.ravel(), minlength=rows * units).reshape(rows, units).astype(np.float64)
        yield weights if start else np.vstack([np.ones(units), weights])


def find_intervals(values: "Floats", level: float) -> list[Estimate]:
    """Percentile limits of each row, its first entry being the estimate; resamples without a value are left out."""
    import numpy as np

    count, value = values.shape[1] - 1, values[:, 0]
    nth = max(int(_cut(count, level)), 1)
    low, high = _find_nth(values[:, 1:], nth), -_find_nth(-values[:, 1:], nth)
    for row in np.flatnonzero(np.isnan(values.sum(axis=1))).tolist():
        draws = np.sort(values[row, 1:])  # nan comes last
        kept = count - int(np.isnan(draws).sum())
        cut = max(int(_cut(kept, level)), 1)
        low[row], high[row] = draws[min(cut, max(kept, 1)) - 1], draws[max(kept - cut, 0)]
    limits = (value.tolist(), np.fmin(low, value).tolist(), np.fmax(high, value).tolist())
    return [Estimate(*three, "bootstrap") for three in zip(*limits, strict=True)]


def _find_nth(draws: "Floats", nth: int) -> "Floats":
    """The nth smallest of each row that holds no nan.

    Let the nth smallest among the minima of groups be the bound: n numbers at least are at or under it, so that only
    those below it, little more than n, have to be sorted. That takes half the time of a selection among all.
    """
    import numpy as np

    rows, count = draws.shape
    size = max(1, min(8, count // nth // 4))
    minima = draws[:, : count // size * size].reshape(rows, size, -1).min(axis=1)
    bound = np.sort(minima, axis=1)[:, nth - 1 : nth]
    below = draws < bound
    kept = below.sum(axis=1, keepdims=True)
    lowest = np.repeat(bound, max(int(kept.max()), nth), axis=1)
    lowest[np.arange(lowest.shape[1]) < kept] = draws[below]
    lowest.sort(axis=1)
    return lowest[:, nth - 1].copy()


def _cut(count: int, level: float) -> float:
    """Which of `count` ordered resamples is the limit, counted from either end."""
    return (count + 1) * (1 - level) / 2 + 1e-9


def estimate_occurrence(count: int, samples: int, level: float) -> Estimate:
    """Share of samples that hold a kind, with Wilson's interval (Wilson 1927, J. Am. Stat. Assoc. 22:209)."""
    return Estimate(count / samples, *wilson(count, samples, level=level), "wilson")


def widest(one: Estimate, other: Estimate) -> Estimate:
    """The interval that holds both, about the first value."""
    return one._replace(low=min(one.low, other.low), high=max(one.high, other.high))


def has_spread(found: Estimate, samples: int) -> bool:
    """Whether resampling shows any spread at all, as it cannot for 0 of n or n of n."""
    return samples >= FEWEST and found.high - found.low > 1e-9 * max(1.0, abs(found.value))


def replace_spreadless(found: Estimate, samples: int, level: float) -> Estimate:
    """The estimate, with Wilson's interval at n where resampling shows no spread."""
    if has_spread(found, samples) or not math.isfinite(found.value):
        return found
    value = min(1.0, found.value)
    at = wilson_at(0.0 if value < 1e-12 else 1.0 if value > 1 - 1e-12 else value, samples, level=level)
    return Estimate(found.value, min(at.low, found.value), max(at.high, found.value), "wilson")
