"""What a piece rests on: its claims with their evidence and weight, and the sources behind them.

In: a case and what its evidence is worth. Out: plain data for a document; claims and sources are gathered as they are
met, so that marks count from 1 in the order of reading.
"""

from __future__ import annotations

from typing import Any

from builder.check.case import Case
from builder.compose.behind import digest_behind
from builder.compose.bibliography import csl_fields, short_citation
from builder.compose.document import CitationData, ClaimData, EvidenceData, SourceData
from builder.compose.lineage import make_lineage
from builder.model.record import (
    AnatomyEvidence,
    CalculationEvidence,
    Citation,
    Claim,
    DietEvidence,
    Evidence,
    SourceEvidence,
    Telling,
)
from builder.weigh.confidence import Weight, explain, name_improvements
from builder.weigh.weighing import Weighed


class Rests:
    """What is gathered while a piece is read: `numbers` of its claims, `sources` it names."""

    def __init__(self, case: Case, weighed: Weighed) -> None:
        self.case, self.record, self.weighed = case, case.record, weighed
        self.numbers: dict[tuple[str, str], int] = {}
        self.sources: dict[str, None] = {}

    def number(self, record: str, claim: str) -> int:
        """The number of a claim: its mark in the piece, given at its first mention."""
        return self.numbers.setdefault((record, claim), len(self.numbers) + 1)

    def claim(self, number: int, record: str, key: str) -> ClaimData | None:
        """A claim with its evidence and what that is worth; None for one that nobody knows."""
        here = record == self.case.subject.id
        claim = self.case.subject.claim(key if here else f"{record}.{key}")
        if claim is None:
            return None
        weight = self.weighed.claims.get(key) if here else self.weighed.others.get((record, key))
        made: ClaimData = {
            "number": number,
            "id": key,
            "record": record,
            "statement": claim.statement or "",
            "stands": claim.stands or "open",
            "evidence": [self._evidence(evidence, record) for evidence in claim.evidence],
            "weight": self._weight(weight, claim) if weight else {},
        }
        if claim.belief:
            made["belief"] = claim.belief
            made["held_by"] = [self.citation(citation) for citation in claim.held_by]
        if claim.why:
            made["why"] = claim.why
        if claim.history:
            made["history"] = [self._telling(telling) for telling in claim.history]
        if here and key in self.weighed.beliefs:
            lines = self.weighed.beliefs[key]
            made["lines_behind"] = [[line.root, *(item.key for item in line.items)] for line in lines]
            made["tellers"] = make_lineage(self.case.library.sources, claim, [line.root for line in lines])
        return made

    def _weight(self, weight: Weight, claim: Claim) -> dict[str, Any]:
        names = {root: self._root_name(root) for line in weight.lines for root in (line.root,)}
        return {
            "stands": weight.stands,
            "agreement": weight.agreement,
            "evidence": weight.evidence,
            "confidence": weight.confidence,
            "lines": [
                {"root": names[line.root], "lean": line.lean, "items": [item.key for item in line.items]}
                for line in weight.lines
            ],
            "words": list(explain(weight, about="belief" if claim.belief else "statement", names=names)),
            "wanted": list(name_improvements(weight)),
        }

    def _root_name(self, root: str) -> str:
        if root.startswith("object "):
            record, _, key = root.removeprefix("object ").partition("/")
            thing = self.record.objects.get(key) if record == self.case.subject.id else None
            return f"our {thing.preparation} {thing.catalogue_number}" if thing else "an object"
        source = self.case.library.sources.get(root)
        return short_citation(csl_fields(source)).removesuffix(" n.d.") if source else root

    def _evidence(self, evidence: Evidence, home: str) -> EvidenceData:
        """One piece of evidence of a claim of the record `home`."""
        made: EvidenceData
        subject = self.case.subject
        loaded = subject.loaded if home == subject.id else self.case.library.fetch(home)
        owner = loaded.record if loaded and loaded.record else self.record
        if isinstance(evidence, SourceEvidence):
            self.sources[evidence.source] = None
            made = {"kind": "source", "key": evidence.source, "bears": evidence.bears, "basis": evidence.basis}
            if evidence.locator:
                made["locator"] = evidence.locator
            if evidence.quote:
                made["quote"] = evidence.quote
            if evidence.n:
                made["n"] = evidence.n
            if evidence.reports:
                made["reports"] = f"{evidence.reports.share} of {evidence.reports.of}"
        elif isinstance(evidence, DietEvidence):
            diet = owner.diet.get(evidence.diet)
            if diet:
                self.sources[diet.source] = None
            made = {"kind": "diet", "key": evidence.diet, "bears": evidence.bears, "test": diet_test(evidence)}
        elif isinstance(evidence, AnatomyEvidence):
            made = {"kind": "anatomy", "key": evidence.anatomy, "bears": evidence.bears}
        else:
            assert isinstance(evidence, CalculationEvidence)
            made = {"kind": "calculation", "key": evidence.calculation, "bears": evidence.bears}
            calculation = owner.calculations.get(evidence.calculation)
            for given in calculation.inputs.values() if calculation else ():
                if given.source:
                    self.sources[given.source] = None
        if made["kind"] != "source":
            made["behind"] = digest_behind(loaded, made["kind"], made["key"])
        if evidence.finds:
            made["finds"] = evidence.finds
        return made

    def citation(self, citation: Citation) -> CitationData:
        """A source and where in it."""
        self.sources[citation.source] = None
        made: CitationData = {"source": citation.source}
        for name in ("locator", "finds", "quote"):
            value = getattr(citation, name)
            if value:
                made[name] = value
        return made

    def _telling(self, telling: Telling) -> CitationData:
        self.sources[telling.source] = None
        made: CitationData = {"source": telling.source, "told": telling.told}
        if telling.locator:
            made["locator"] = telling.locator
        if telling.year is not None:
            made["year"] = telling.year
        return made

    def all_sources(self) -> list[SourceData]:
        """Every source that the piece rests on, and all that these draw on."""
        made: list[SourceData] = []
        library = self.case.library
        wanted: dict[str, None] = {}
        for key in self.sources:
            wanted |= dict.fromkeys(library.drawn_on(key))
        for key in wanted:
            source = library.sources[key]
            data: SourceData = {
                "id": key,
                "fields": csl_fields(source),
                "standing": source.standing,
                "read": source.read if source.seen else "not seen",
            }
            if source.draws_on is not None:
                data["draws_on"] = [other for other in source.draws_on if other in library.sources]
            if source.withdrawn:
                data["withdrawn"] = source.withdrawn
            made.append(data)
        return made


def diet_test(evidence: DietEvidence) -> str:
    """What a diet result is asked, in words: `insects at least 90 % by mass`."""
    what = evidence.group or evidence.prey or "prey"
    parts = []
    for word, bound in (("at least", evidence.at_least), ("at most", evidence.at_most)):
        if bound is not None:
            parts.append(f"{word} {(bound * 100).normalize():f} %")
    return f"{what} {' and '.join(parts)} by {evidence.measure}".replace("by occurrence", "of the samples")
