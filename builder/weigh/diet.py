"""Works out what a diet table shows: shares of each kind of prey, importance, breadth, all with intervals.

In: a DietTable of rows that have been checked. Out: a DietResult for kinds of prey and for their groups.
Refuses (ValueError): a table without samples, as 0 of 0 says nothing. Needs numpy, imported when first used.

Shares are pooled over samples (N, W, V) or are means of the shares in each sample (`_mean`). Frequencies of occurrence
carry Wilson intervals. All else is resampled, whole samples at a time, never rows, or whole clusters where the table
has them (percentile bootstrap, Efron & Tibshirani 1993, chapter 13), on a fixed stream of random numbers that does not
depend on the order of rows or the version of numpy. An interval is widened to hold its estimate where resampling is
biased. Resampling cannot serve where it shows no spread, or with fewer than `FEWEST` samples: Wilson's formula at the
number of samples stands in, which for a mean of shares errs on the wide side. With fewer than `FEWEST` clusters the
interval is the wider of that over clusters and that over samples.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from builder.weigh.diet_index import (
    LOG_BASE,
    Richness,
    accumulate_kinds,
    estimate_richness,
    levins_breadth,
    pianka_overlap,
    relative_importance,
    schoener_overlap,
    shannon_diversity,
    shares_of,
    standard_breadth,
)
from builder.weigh.diet_table import DietTable
from builder.weigh.proportion import wilson
from builder.weigh.resampling import (
    FEWEST,
    STREAM,
    Estimate,
    estimate_occurrence,
    find_intervals,
    has_spread,
    replace_spreadless,
    resample_sums,
    widest,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Measure = Literal["count", "mass", "volume"]
RESAMPLES = 2_000
_BULKS: tuple[Measure, ...] = ("mass", "volume")
_SYMBOLS: Mapping[Measure, str] = {"count": "N", "mass": "W", "volume": "V"}


@dataclass(frozen=True)
class Kind:
    """A kind of prey, or a group. `measures` has those of these names that the columns of the table allow:

    FO (of non-empty samples), FO_all (of all), N W V, N_mean W_mean V_mean, IRI (0 to 20,000) and IRI_share, PSIRI,
    preponderance, abundance (prey-specific, in the samples that hold it: Amundsen et al. 1996, J. Fish Biol. 48:607).
    All but IRI are shares of 0 to 1.
    """

    name: str
    samples: int
    measures: Mapping[str, Estimate]


@dataclass(frozen=True)
class Composition:
    """The diet by kinds, in alphabetical order; breadth and diversity are None where nothing was found at all."""

    kinds: tuple[Kind, ...]
    levins_B: Estimate | None
    levins_BA: Estimate | None
    shannon: Estimate | None
    richness: Richness | None
    curve: tuple[tuple[int, float], ...]


@dataclass(frozen=True)
class DietResult:
    """`iri_measure` went into IRI, PSIRI and preponderance; `levins_measure` into breadth, diversity and abundance.

    `gaps` counts, for each measure, the rows of prey that lack its figure: its shares are of what was measured.
    """

    examined: int
    empty: int
    clusters: int | None
    vacuity: Estimate
    iri_measure: Measure | None
    levins_measure: Measure
    log_base: str
    gaps: Mapping[str, int]
    prey: Composition
    groups: Composition
    resamples: int
    level: float


@dataclass(frozen=True)
class Overlap:
    """How alike two diets are, 0 to 1, on the shares of `measure`."""

    measure: Measure
    schoener: Estimate
    pianka: Estimate


@dataclass(frozen=True)
class _Tally:
    """Amounts by sample and kind, samples and kinds in alphabetical order, of non-empty samples only."""

    kinds: tuple[str, ...]
    present: "Floats"
    amounts: Mapping[Measure, "Floats"]
    clusters: "NDArray[np.int64] | None"

    @property
    def samples(self) -> int:
        return len(self.present)

    @property
    def units(self) -> int:
        """What is resampled: samples, or clusters of them."""
        return self.samples if self.clusters is None else len(set(self.clusters.tolist()))

    @property
    def bulk(self) -> Measure | None:
        return next((name for name in _BULKS if name in self.amounts), None)

    @property
    def main(self) -> Measure:
        return self.bulk or "count"


def weigh_diet(table: DietTable, *, resamples: int = RESAMPLES, level: float = 0.95) -> DietResult:
    """Everything above for one table."""
    import numpy as np

    examined = len(set(table.sample))
    if not examined:
        raise ValueError("a table without samples says nothing")
    rows = _in_order(table)
    prey = _tally(table, rows, table.prey)
    tallies = [prey] if table.group == table.prey else [prey, _tally(table, rows, table.group)]
    composed = [Composition((), None, None, None, None, ())]
    if prey.kinds:
        columns = [_stack(tally) for tally in tallies]
        ways = [prey.clusters] if prey.clusters is None or prey.units >= FEWEST else [prey.clusters, None]
        sums = [resample_sums(np.hstack(columns), clusters, resamples, STREAM) for clusters in ways]
        cut = columns[0].shape[1]
        parts = [[way[:cut] for way in sums], [way[cut:] for way in sums]]
        composed = [_compose(tally, part, examined, level) for tally, part in zip(tallies, parts, strict=False)]
    empty = examined - prey.samples
    found = [number for number, kind in enumerate(table.prey) if kind]
    figures = {name: getattr(table, name) for name in _SYMBOLS}
    gaps = {name: sum(column[number] is None for number in found) for name, column in figures.items() if column}
    return DietResult(
        examined,
        empty,
        None if prey.clusters is None else prey.units,
        Estimate(empty / examined, *wilson(empty, examined, level=level), "wilson"),
        prey.bulk if "count" in prey.amounts else None,
        prey.main,
        LOG_BASE,
        MappingProxyType({name: number for name, number in gaps.items() if number}),
        composed[0],
        composed[-1],
        resamples,
        level,
    )


def weigh_overlap(
    table: DietTable, other: DietTable, *, by: Literal["prey", "group"] = "group", resamples: int = RESAMPLES
) -> Overlap | None:
    """Schoener's and Pianka's overlap of two tables, on mass, else volume, else counts, whichever both give.

    Each table is resampled on its own. None where they share no measure or one of them holds no prey.
    """
    import numpy as np

    tallies = [_tally(one, _in_order(one), getattr(one, by)) for one in (table, other)]
    measures: tuple[Measure, ...] = (*_BULKS, "count")
    measure = next((name for name in measures if all(name in tally.amounts for tally in tallies)), None)
    if measure is None:
        return None
    kinds = sorted({kind for tally in tallies for kind in tally.kinds})
    enough = min(tally.units for tally in tallies) >= FEWEST
    sides = []
    for number, tally in enumerate(tallies):
        sums = resample_sums(tally.amounts[measure], tally.clusters, resamples, STREAM + number)
        side = np.zeros((len(kinds), resamples + 1))
        side[[kinds.index(kind) for kind in tally.kinds]] = sums
        sides.append(side.T)
    found = []
    for overlap in (schoener_overlap, pianka_overlap):
        (estimate,) = find_intervals(overlap(*sides)[None, :], 0.95)
        estimate = replace_spreadless(estimate, min(tally.samples for tally in tallies), 0.95)
        found.append(estimate if enough else Estimate(estimate.value, 0.0, 1.0, "range"))
    return Overlap(measure, *found)


def _in_order(table: DietTable) -> list[int]:
    """The rows with prey, sorted, so that their order in the table cannot change the last digit of a sum."""
    return [n for _, kind, n in sorted(zip(table.sample, table.prey, range(len(table.prey)), strict=True)) if kind]


def _tally(table: DietTable, rows: Sequence[int], names: Sequence[str]) -> _Tally:
    import numpy as np

    places = {name: place for place, name in enumerate(sorted({table.sample[n] for n in rows}))}
    kinds = {name: place for place, name in enumerate(sorted({names[n] for n in rows}))}
    shape = len(places), len(kinds)
    cell = np.fromiter((places[table.sample[n]] * len(kinds) + kinds[names[n]] for n in rows), np.int64, len(rows))
    amounts: dict[Measure, Floats] = {}
    for measure in _SYMBOLS:
        column = getattr(table, measure)
        if column is not None:
            figures = np.fromiter((column[n] or 0.0 for n in rows), np.float64, len(rows))
            if figures.any():
                amounts[measure] = (
                    np.bincount(cell, figures, math.prod(shape)).reshape(shape).astype(np.float64, copy=False)
                )
    rows_here = np.bincount(cell, minlength=math.prod(shape)).reshape(shape)
    present = np.minimum(rows_here, 1).astype(np.float64)
    clusters = None
    if table.cluster is not None:
        of_sample = {table.sample[n]: table.cluster[n] for n in rows}
        numbers = {name: number for number, name in enumerate(sorted(set(of_sample.values())))}
        clusters = np.array([numbers[of_sample[name]] for name in places], dtype=np.int64)
    return _Tally(tuple(kinds), present, MappingProxyType(amounts), clusters)


def _stack(tally: _Tally) -> "Floats":
    """The columns whose sums `_measure` takes apart again: samples × columns."""
    import numpy as np

    columns = [tally.present, np.ones((tally.samples, 1))]
    for amounts in tally.amounts.values():
        totals = amounts.sum(axis=1, keepdims=True)
        columns += [amounts, np.divide(amounts, totals, out=np.zeros_like(amounts), where=totals > 0), totals > 0]
    return np.hstack([*columns, tally.present * tally.amounts[tally.main].sum(axis=1, keepdims=True)])


def _compose(tally: _Tally, sums: Sequence["Floats"], examined: int, level: float) -> Composition:
    """`sums` of the stacked columns, for each way of resampling; the wider interval counts."""
    import numpy as np

    holding = [int(count) for count in tally.present.sum(axis=0)]
    with np.errstate(invalid="ignore", divide="ignore"):
        ways = [{name: find_intervals(values, level) for name, values in _measure(of_way, tally)} for of_way in sums]
    estimates = ways[0]
    for way in ways[1:]:
        estimates = {name: list(map(widest, found, way[name])) for name, found in estimates.items()}
    for name, found in estimates.items():
        if name not in ("IRI", "levins_B", "levins_BA", "shannon"):
            estimates[name] = [replace_spreadless(of_kind, tally.samples, level) for of_kind in found]
    estimates["FO"] = [estimate_occurrence(count, tally.samples, level) for count in holding]
    estimates["FO_all"] = [estimate_occurrence(count, examined, level) for count in holding]
    if "IRI" in estimates:
        parts = zip(estimates["FO"], estimates["N"], estimates["V" if tally.bulk == "volume" else "W"], strict=True)
        estimates["IRI"] = [
            found if has_spread(found, tally.samples) else _multiply_out(found, *three)
            for found, three in zip(estimates["IRI"], parts, strict=True)
        ]
    count, whole = len(tally.kinds), dict[str, Estimate]()
    for name, least, most in (("levins_B", 1, count), ("levins_BA", 0, 1), ("shannon", 0, math.log(count))):
        (of_all,) = estimates.pop(name)
        spread = has_spread(of_all, tally.samples) or count == 1
        whole[name] = of_all if spread else Estimate(of_all.value, least, max(most, of_all.value), "range")
    kinds = tuple(
        Kind(
            name,
            holding[place],
            MappingProxyType({key: of[place] for key, of in estimates.items() if math.isfinite(of[place].value)}),
        )
        for place, name in enumerate(tally.kinds)
    )
    curve = accumulate_kinds(holding, tally.samples)
    richness = estimate_richness(holding, tally.samples)
    return Composition(kinds, whole["levins_B"], whole["levins_BA"], whole["shannon"], richness, curve)


def _measure(sums: "Floats", tally: _Tally) -> "Iterator[tuple[str, Floats]]":
    """Every index from the sums of the stacked columns; rows are kinds, columns the estimate and the resamples.

    One after the other, so that each is at hand for the processor when its intervals are found.
    """
    import numpy as np

    taken, count = 0, len(tally.kinds)

    def take(rows: int) -> "Floats":
        nonlocal taken
        taken += rows
        return sums[taken - rows : taken]

    occurrence = take(count) / take(1)
    shares: dict[Measure, Floats] = {}
    means: dict[Measure, Floats] = {}
    for measure in tally.amounts:
        amounts = take(count)
        shares[measure] = amounts / amounts.sum(axis=0)
        means[measure] = take(count) / take(1)
        if measure == tally.main:
            main_amounts = amounts
        yield _SYMBOLS[measure], shares[measure]
        yield _SYMBOLS[measure] + "_mean", means[measure]
    yield "abundance", np.minimum(main_amounts / take(count), 1)
    if tally.bulk:
        bulk = shares[tally.bulk]
        yield "preponderance", shares_of((occurrence * bulk).T).T
        if "count" in tally.amounts:
            importance = relative_importance(occurrence, shares["count"], bulk)
            yield "IRI", importance
            yield "IRI_share", shares_of(importance.T).T
            # F × PN is the mean of N over all samples, so that this is the published formula; it stays additive
            # where some samples lack one of the figures.
            yield "PSIRI", (means["count"] + means[tally.bulk]) / 2
    breadth = levins_breadth(main_amounts.T)[None, :]
    yield "levins_B", breadth
    yield "levins_BA", standard_breadth(breadth, count)
    yield "shannon", shannon_diversity(main_amounts.T)[None, :]


def _multiply_out(found: Estimate, occurrence: Estimate, number: Estimate, bulk: Estimate) -> Estimate:
    low = relative_importance(occurrence.low, number.low, bulk.low)
    high = relative_importance(occurrence.high, number.high, bulk.high)
    return Estimate(found.value, min(low, found.value), max(high, found.value), "wilson")
