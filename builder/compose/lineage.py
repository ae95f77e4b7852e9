"""The lineage of a belief: who told it when, and who drew on whom.

In: a claim that answers a belief, and the sources. Out: the works that hold or tell the belief, and those that finally
stand behind them, oldest first, each with the works among these that it draws on, directly or through works that are
not shown. The year is the work's own: a page of today that tells of the year 1557 is not of 1557.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from builder.compose.bibliography import short_year
from builder.compose.document import TellerData
from builder.model.record import Claim
from builder.model.source import Source


def make_lineage(sources: Mapping[str, Source], claim: Claim, roots: Sequence[str]) -> list[TellerData]:
    """The works of the lineage, oldest first; those without a year keep the place the author gave them.

    `roots` are the works that finally stand behind the tellers. Ids that are no source are left out.
    """
    history = [telling.source for telling in claim.history if telling.source in sources]
    holders = [citation.source for citation in claim.held_by if citation.source in sources]
    told = list(dict.fromkeys((*history, *holders)))
    behind = [source for source in dict.fromkeys(roots) if source in sources and source not in told]
    made: list[TellerData] = [
        {
            "source": source,
            "year": _own_year(sources[source], [t.year for t in claim.history if t.source == source]),
            "draws_on": _nearest(sources, source, {*behind, *told}),
            "told": source in told,
        }
        for source in (*behind, *told)
    ]
    return _in_order(made, list(dict.fromkeys(history)))


def _own_year(source: Source, told: Sequence[int | None]) -> str:
    """When a work was first out. A historical work without a date, such as an ancient text, is of the year it tells."""
    for date in (source.original_date, source.issued):
        if date is not None and (year := short_year({"issued": date})) != "n.d.":
            return year
    years = [year for year in told if year is not None] if source.standing == "historical" else []
    return "" if not years else f"{-min(years)} BC" if min(years) < 0 else str(min(years))


def _nearest(sources: Mapping[str, Source], source: str, shown: set[str]) -> list[str]:
    """The shown works that a work draws on, passing through those that are not shown."""
    found: dict[str, None] = {}
    seen = {source}
    waiting = list(sources[source].draws_on or ())
    while waiting:
        here = waiting.pop(0)
        if here in seen or here not in sources:
            continue
        seen.add(here)
        if here in shown:
            found[here] = None
        else:
            waiting += sources[here].draws_on or ()
    return list(found)


def _in_order(made: Sequence[TellerData], history: Sequence[str]) -> list[TellerData]:
    """By year; then no work before one it draws on, where they do not draw on each other in a circle."""
    when = _find_places(made, history)
    placed: list[TellerData] = []
    waiting = sorted(made, key=lambda teller: when[teller["source"]])
    while waiting:
        behind = {teller["source"] for teller in waiting}
        ready = next((t for t in waiting if not behind & set(t["draws_on"]) - {t["source"]}), waiting[0])
        placed.append(ready)
        waiting = [teller for teller in waiting if teller is not ready]
    return placed


def _find_places(made: Sequence[TellerData], history: Sequence[str]) -> dict[str, float]:
    """A year to sort each work by: its own, or one that its neighbours allow.

    A work without a year comes before the first dated one that draws on it; else, if it is told of in the history,
    between the tellings around it; else, if it only stands behind others, before the first of them; else last.
    """
    when = {t["source"]: year for t in made if (year := _as_number(t["year"])) is not None}
    dated = dict(when)
    heirs = {t["source"]: [o["source"] for o in made if t["source"] in o["draws_on"] and o is not t] for t in made}
    for teller in sorted(made, key=lambda teller: not teller["told"]):  # works that only stand behind others at the end
        source = teller["source"]
        if source in dated:
            continue
        if years := [dated[heir] for heir in heirs[source] if heir in dated]:
            when[source] = min(years) - 0.5
        elif source in history:
            at = history.index(source)
            before = next((when[other] for other in reversed(history[:at]) if other in when), None)
            after = next((dated[other] - 0.5 for other in history[at:] if other in dated), None)
            between = min((year for year in (before, after) if year is not None), default=0.0)
            when[source] = max([between, *(dated[drawn] for drawn in teller["draws_on"] if drawn in dated)])
        elif teller["told"]:
            when[source] = float("inf")
        else:
            when[source] = min((when[heir] for heir in heirs[source] if heir in when), default=0.0) - 0.5
    return when


def _as_number(year: str) -> float | None:
    found = re.fullmatch(r"(\d+)( BC)?", year)
    if not found:
        return None
    return float(-int(found[1]) if found[2] else int(found[1]))
