"""The lineage of a belief: who told it when, and who drew on whom.

In: a claim that answers a belief, and the library. Out: the works that hold or tell the belief, and those that finally
stand behind them, in the order of their years, each with the works among these that it draws on, directly or through
works that are not shown.
"""

from __future__ import annotations

import re

from builder.compose.bibliography import csl_fields, short_year
from builder.compose.document import TellerData
from builder.model.record import Claim
from builder.resolve import Library


def make_lineage(library: Library, claim: Claim, roots: list[str]) -> list[TellerData]:
    """The works of the lineage, oldest first; those without a year keep the place the author gave them."""
    years = {telling.source: telling.year for telling in claim.history if telling.year is not None}
    told = dict.fromkeys(telling.source for telling in claim.history)
    told |= dict.fromkeys(citation.source for citation in claim.held_by)
    shown = [source for source in (*roots, *told) if source in library.sources]
    shown = list(dict.fromkeys((*(s for s in shown if s not in told), *(s for s in told if s in library.sources))))
    made: list[TellerData] = []
    for source in shown:
        year = years.get(source)
        text = _year(year) if year is not None else short_year(csl_fields(library.sources[source]))
        made.append(
            {
                "source": source,
                "year": "" if text == "n.d." else text,
                "draws_on": _nearest(library, source, set(shown)),
                "told": source in told,
            }
        )
    return _in_order(made)


def _year(year: int) -> str:
    return f"{-year} BC" if year < 0 else str(year)


def _nearest(library: Library, source: str, shown: set[str]) -> list[str]:
    """The shown works that a work draws on, passing through those that are not shown."""
    found: dict[str, None] = {}
    seen = {source}
    waiting = list(library.sources[source].draws_on or ())
    while waiting:
        here = waiting.pop(0)
        if here in seen or here not in library.sources:
            continue
        seen.add(here)
        if here in shown:
            found[here] = None
        else:
            waiting += library.sources[here].draws_on or ()
    return list(found)


def _in_order(made: list[TellerData]) -> list[TellerData]:
    """By year; a work without one stands just before the first that drew on it, else behind the work before it."""
    known = {teller["source"]: _as_number(teller["year"]) for teller in made}
    keyed: list[tuple[float, int, TellerData]] = []
    last = -1e6
    for index, teller in enumerate(made):
        year = known[teller["source"]]
        if year is None:
            heirs = [known[other["source"]] for other in made if teller["source"] in other["draws_on"]]
            dated = [heir for heir in heirs if heir is not None]
            year = min(dated) - 0.5 if dated else last
        last = max(last, year) if year is not None else last
        keyed.append((year, index, teller))
    waiting = [teller for _, _, teller in sorted(keyed, key=lambda row: row[:2])]
    placed: list[TellerData] = []
    while waiting:
        ready = next(
            (t for t in waiting if not set(t["draws_on"]) & {w["source"] for w in waiting if w is not t}), waiting[0]
        )
        placed.append(ready)
        waiting = [teller for teller in waiting if teller is not ready]
    return placed


def _as_number(year: str) -> float | None:
    found = re.fullmatch(r"(\d+)( BC)?", year)
    if not found:
        return None
    return float(-int(found[1]) if found[2] else int(found[1]))
