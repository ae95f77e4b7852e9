"""Every place where a record cites a source, as data for the checks of sources.

In: a case. Out: citations with their path, in the order of the record's sections, collected once for all checks. What
only a lead cites is marked as held back: a lead is what nobody has vouched for yet, and it cannot be published.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple, cast

from builder.check.case import Case
from builder.model.record import Record, SourceEvidence
from builder.model.value import Id
from builder.problem import Path


class Cited(NamedTuple):
    """A source cited at `path`, the entry that holds `source:`.

    `vouches` is False where the citation only tells who held or told a belief, so that no statement rests on it;
    `held_back` is True where it belongs to a lead, or to a calculation that only leads name.
    """

    path: Path
    source: Id
    locator: str | None
    quote: str | None = None
    vouches: bool = True
    held_back: bool = False

    @property
    def what(self) -> str:
        """The entry in the words of the record."""
        section, key, part, *rest = (*self.path, "")
        if section == "claims":
            return f"{part if part != 'held_by' else '`held_by`'} of claim `{key}`"
        if section == "calculations":
            return f"input `{rest[0]}` of calculation `{key}`"
        return f"{'anatomy note' if section == 'anatomy' else 'diet table'} `{key}`"


def find_citations(case: Case, *, leads: bool = False) -> Iterator[Cited]:
    """All citations of a record, those that are held back only if asked for."""
    remembered = case.subject.remembered
    if "citations" not in remembered:
        remembered["citations"] = tuple(_collect(case.record))
    for cited in cast("tuple[Cited, ...]", remembered["citations"]):
        if leads or not cited.held_back:
            yield cited


def _collect(record: Record) -> Iterator[Cited]:
    for key, note in record.anatomy.items():
        for index, cited in enumerate(note.sources):
            yield Cited(("anatomy", key, "sources", index), cited.source, cited.locator, cited.quote)
    for key, diet in record.diet.items():
        yield Cited(("diet", key), diet.source, diet.locator)
    for key, claim in record.claims.items():
        for index, cited in enumerate(claim.held_by):
            path: Path = ("claims", key, "held_by", index)
            yield Cited(path, cited.source, cited.locator, cited.quote, False, claim.lead)
        for index, evidence in enumerate(claim.evidence):
            if isinstance(evidence, SourceEvidence):
                path = ("claims", key, "evidence", index)
                yield Cited(path, evidence.source, evidence.locator, evidence.quote, True, claim.lead)
        for index, telling in enumerate(claim.history):
            path = ("claims", key, "history", index)
            yield Cited(path, telling.source, telling.locator, None, False, claim.lead)
    held_back = record.held_back
    for key, calculation in record.calculations.items():
        for name, given in calculation.inputs.items():
            if given.source:
                path = ("calculations", key, "inputs", name)
                yield Cited(path, given.source, given.locator, None, True, key in held_back)
