"""Every place where a record cites a source, as data for the checks of sources.

In: a record. Out: citations with their path, in the order of the record's sections. What a lead cites is left out on
request: a lead is what nobody has vouched for yet, and it cannot be published.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.model.record import Record, SourceEvidence
from builder.model.value import Id
from builder.problem import Path


@dataclass(frozen=True, slots=True)
class Cited:
    """A source cited at `path`, the entry that holds `source:`.

    `what` names that entry in the words of the record. `vouches` is False where the citation only tells who held or
    told a belief, so that no statement rests on it.
    """

    path: Path
    what: str
    source: Id
    locator: str | None
    quote: str | None = None
    vouches: bool = True


def find_citations(record: Record, *, leads: bool = False) -> Iterator[Cited]:
    """All citations of a record, those of leads and of calculations that only leads name if asked for."""
    for key, note in record.anatomy.items():
        for index, cited in enumerate(note.sources):
            path = ("anatomy", key, "sources", index)
            yield Cited(path, f"anatomy note `{key}`", cited.source, cited.locator, cited.quote)
    for key, diet in record.diet.items():
        yield Cited(("diet", key), f"diet table `{key}`", diet.source, diet.locator)
    for key, claim in record.claims.items():
        if claim.lead and not leads:
            continue
        for index, cited in enumerate(claim.held_by):
            path = ("claims", key, "held_by", index)
            yield Cited(path, f"`held_by` of claim `{key}`", cited.source, cited.locator, cited.quote, vouches=False)
        for index, evidence in enumerate(claim.evidence):
            if isinstance(evidence, SourceEvidence):
                path = ("claims", key, "evidence", index)
                yield Cited(path, f"evidence of claim `{key}`", evidence.source, evidence.locator, evidence.quote)
        for index, telling in enumerate(claim.history):
            path = ("claims", key, "history", index)
            yield Cited(path, f"history of claim `{key}`", telling.source, telling.locator, vouches=False)
    held_back = frozenset() if leads else record.held_back
    for key, calculation in record.calculations.items():
        if key in held_back:
            continue
        for name, given in calculation.inputs.items():
            if given.source:
                inner: Path = ("calculations", key, "inputs", name)
                yield Cited(inner, f"input `{name}` of calculation `{key}`", given.source, given.locator)
