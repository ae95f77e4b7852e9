"""A diet result as plain data for a document.

In: a diet of a record and what its table came to. Out: shares and indices as text with a fixed number of decimals, so
that the canonical JSON holds no fraction whose last digit could differ from one machine to the next.
"""

from __future__ import annotations

from typing import NotRequired, TypedDict

from builder.model.record import Diet
from builder.weigh.diet import Composition, DietResult, Kind
from builder.weigh.resampling import Estimate

SHARES = ("FO", "N", "W", "V", "abundance", "IRI_share", "PSIRI")


class DietData(TypedDict):
    """What a diet table shows. A triple is value, low, high of the 95 % interval; shares are 0 to 1.

    `measure` is the one the bars show: mass, else volume, else count. `curve` is (samples, kinds expected).
    `digest` is that of the table's own cells: a figure too small to move a share changes it all the same.
    """

    id: str
    method: str
    source: str
    examined: int
    empty: int
    measure: str
    groups: list[KindData]
    prey: list[KindData]
    levins_B: list[str]
    levins_BA: list[str]
    vacuity: list[str]
    kinds_seen: int
    kinds_expected: str
    complete: bool
    curve: list[list[str]]
    digest: str
    locator: NotRequired[str]
    note: NotRequired[str]
    clusters: NotRequired[int]


class KindData(TypedDict):
    """One kind of prey, or a group; `measures` by name as triples."""

    name: str
    samples: int
    measures: dict[str, list[str]]


MEASURES = {"mass": "W", "volume": "V", "count": "N"}


def diet_data(key: str, diet: Diet, result: DietResult, digest: str) -> DietData:
    """The plain data of one diet result; `digest` is that of its table."""
    richness = result.prey.richness
    made: DietData = {
        "id": key,
        "method": diet.method,
        "source": diet.source,
        "examined": result.examined,
        "empty": result.empty,
        "measure": result.levins_measure,
        "groups": _kinds(result.groups),
        "prey": _kinds(result.prey),
        "levins_B": _triple(result.groups.levins_B, 2),
        "levins_BA": _triple(result.groups.levins_BA, 2),
        "vacuity": _triple(result.vacuity, 4),
        "kinds_seen": len(result.prey.kinds),
        "kinds_expected": f"{richness.estimate:.1f}" if richness else "",
        "complete": bool(richness and richness.complete),
        "curve": [[str(samples), f"{kinds:.2f}"] for samples, kinds in thin(result.prey.curve)],
        "digest": digest,
    }
    if diet.locator:
        made["locator"] = diet.locator
    if diet.note:
        made["note"] = diet.note
    if result.clusters is not None:
        made["clusters"] = result.clusters
    return made


def thin(curve: tuple[tuple[int, float], ...], *, most: int = 40) -> tuple[tuple[int, float], ...]:
    """At most `most` points of a curve, evenly spread, its ends kept."""
    if len(curve) <= most:
        return curve
    step = (len(curve) - 1) / (most - 1)
    return tuple(curve[round(index * step)] for index in range(most))


def _kinds(composition: Composition) -> list[KindData]:
    """Largest first by the main measure, then by name."""

    def size(kind: Kind) -> float:
        found = next((kind.measures[name] for name in ("W", "V", "N", "FO") if name in kind.measures), None)
        return found.value if found else 0.0

    ordered = sorted(composition.kinds, key=lambda kind: (-size(kind), kind.name))
    return [
        {
            "name": kind.name,
            "samples": kind.samples,
            "measures": {name: _triple(kind.measures[name], 4) for name in SHARES if name in kind.measures},
        }
        for kind in ordered
    ]


def _triple(found: Estimate | None, decimals: int) -> list[str]:
    if found is None:
        return []
    return [f"{number:.{decimals}f}" for number in (found.value, found.low, found.high)]
