"""Compose a specimen page: the page piece of a record with everything it rests on.

In: a record, its page piece, what its evidence is worth. Out: a `Document`. Only what is listed here becomes public:
no store, no exact place, no name that is kept back.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from builder.check.case import Case
from builder.check.wording.sentence_without_claim import leans_on_next
from builder.compose.diet import DietData, diet_data
from builder.compose.document import (
    BlockData,
    CitationData,
    ClaimData,
    CueData,
    Document,
    EvidenceData,
    InputData,
    SentenceData,
    SourceData,
    SpanData,
    SumData,
)
from builder.compose.lineage import make_lineage
from builder.compose.specimen import figure_data, object_data, object_name
from builder.compose.term import find_terms
from builder.model.piece import Block, Piece, Sentence
from builder.model.record import (
    Anatomy,
    AnatomyEvidence,
    CalculationEvidence,
    Citation,
    Claim,
    DietEvidence,
    Evidence,
    Record,
    SourceEvidence,
    Telling,
)
from builder.resolve import claim_node
from builder.weigh.calculation import Result
from builder.weigh.confidence import Weight, explain, name_improvements
from builder.weigh.weighing import Weighed


def compose_page(case: Case, weighed: Weighed, piece: Piece) -> Document:
    """The document of a page piece."""
    return _Composer(case, weighed, piece).document()


class _Composer:
    """Numbers are given as things are met: claims by their first mark, cues by their first mention."""

    def __init__(self, case: Case, weighed: Weighed, piece: Piece) -> None:
        self.case, self.record, self.piece = case, case.record, piece
        self.weighed = weighed
        self.numbers: dict[tuple[str, str], int] = {}
        self.cues: dict[str, int] = {}
        self.sources: dict[str, None] = {}

    def document(self) -> Document:
        record, museum = self.record, self.case.museum
        blocks = [self._block(block) for block in self.piece.blocks]
        questions = [
            {"ask": question.ask, "answer": [self._block(block) for block in answer]}
            for question, answer in zip(record.questions, self.case.subject.loaded.answers, strict=True)
        ]
        for key, claim in record.claims.items():
            if not claim.lead:
                self._number(self.case.subject.id, key)
        for key in record.anatomy:
            self.cues.setdefault(key, len(self.cues) + 1)
        claims = [self._claim(number, *where) for where, number in list(self.numbers.items())]
        cues = [self._cue(number, key, record.anatomy[key]) for key, number in self.cues.items()]
        document: dict[str, Any] = {
            "kind": "page",
            "record": self.case.subject.id,
            "piece": self.piece.id,
            "title": self.piece.front.title,
            "language": museum.language,
            "summary": record.summary or self._first_words(),
            "taxon": record.name.model_dump(exclude_none=True, exclude={"described_as"}),
            "blocks": blocks,
            "cues": cues,
            "claims": [claim for claim in claims if claim],
            "diets": [self._diet(key) for key in record.diet if key in self.weighed.diets],
            "sums": list(self._sums()),
            "objects": [object_data(self.case, key, thing) for key, thing in record.objects.items()],
            "figures": list(figure_data(self.case)),
            "questions": questions,
            "terms": self._terms(),
            "front": {
                "audience": self.piece.front.audience or "",
                "hangs_at": list(self.piece.front.hangs_at),
                "author": [self._person(author) for author in self.piece.front.author],
            },
        }
        document["sources"] = self._sources()
        if museum.notice:
            document["notice"] = museum.notice
        if record.notice:
            document["care"] = record.notice
        return document  # type: ignore[return-value]

    def _first_words(self) -> str:
        """The first sentences of the page, up to 160 characters: what a search shows."""
        text = ""
        for sentence in self.piece.sentences:
            if text and len(text) + len(sentence.text) > 160:
                break
            text = f"{text} {sentence.text}".strip()
        return text

    def _person(self, key: str) -> str:
        person = self.case.museum.people.get(key)
        return person.name if person else key

    def _number(self, record: str, claim: str) -> int:
        return self.numbers.setdefault((record, claim), len(self.numbers) + 1)

    def _block(self, block: Block) -> BlockData:
        made: BlockData = {
            "kind": block.kind,
            "sentences": [self._sentence(s, block.sentences[i + 1 :]) for i, s in enumerate(block.sentences)],
        }
        if block.level:
            made["level"] = block.level
        if block.number:
            made["number"] = block.number
        return made

    def _sentence(self, sentence: Sentence, following: tuple[Sentence, ...]) -> SentenceData:
        spans: list[SpanData] = []
        for span in sentence.spans:
            made: SpanData = {"text": span.text}
            if span.style:
                made["style"] = span.style
            if span.target.startswith("look:"):
                key = span.target[5:]
                if key in self.record.anatomy:
                    made["cue"] = self.cues.setdefault(key, len(self.cues) + 1)
            elif span.target:
                made["target"] = span.target
            spans.append(made)
        data: SentenceData = {"spans": spans}
        numbers = []
        # a bare “No.” is vouched for by the sentence that says why
        vouching = following[0] if leans_on_next(sentence, following) else sentence
        for target, claim in self.case.claims_of(vouching):
            if not claim.lead:
                node = claim_node(self.case.subject.id, target)
                numbers.append(self._number(node.record, node.id))
        if numbers:
            data["claims"] = numbers
        if sentence.aside:
            data["aside"] = True
        return data

    def _claim(self, number: int, record: str, key: str) -> ClaimData | None:
        here = record == self.case.subject.id
        claim = self.case.subject.claim(key if here else f"{record}.{key}")
        if claim is None:
            return None
        weight = self.weighed.claims.get(key) if here else self.weighed.others.get((record, key))
        owner = self.record if here else self.case.subject.owner(f"{record}.{key}")
        made: ClaimData = {
            "number": number,
            "id": key,
            "record": record,
            "statement": claim.statement or "",
            "stands": claim.stands or "open",
            "evidence": [self._evidence(evidence, owner or self.record) for evidence in claim.evidence],
            "weight": self._weight(weight, claim) if weight else {},
        }
        if claim.belief:
            made["belief"] = claim.belief
            made["held_by"] = [self._citation(citation) for citation in claim.held_by]
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
        from builder.compose.bibliography import csl_fields, short_citation

        if root.startswith("object "):
            record, _, key = root.removeprefix("object ").partition("/")
            thing = self.record.objects.get(key) if record == self.case.subject.id else None
            return f"our {thing.preparation} {thing.catalogue_number}" if thing else "an object"
        source = self.case.library.sources.get(root)
        return short_citation(csl_fields(source)).removesuffix(" n.d.") if source else root

    def _evidence(self, evidence: Evidence, owner: Record) -> EvidenceData:
        made: EvidenceData
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
        if evidence.finds:
            made["finds"] = evidence.finds
        return made

    def _diet(self, key: str) -> DietData:
        diet = self.record.diet[key]
        self.sources[diet.source] = None
        return diet_data(key, diet, self.weighed.diets[key])

    def _sums(self) -> Iterator[SumData]:
        """The calculations that a published claim rests on, with their working."""
        record = self.record
        for key, calculation in record.calculations.items():
            result = self.weighed.calculations.get(key)
            if key in record.held_back or not isinstance(result, Result):
                continue
            inputs: list[InputData] = []
            for name, given in calculation.inputs.items():
                unit = "" if given.unit == "count" else f" {given.unit}"
                made: InputData = {"name": name.replace("-", " ").replace("_", " "), "value": f"{given.value}{unit}"}
                if given.source and given.source in self.case.library.sources:
                    self.sources[given.source] = None
                    made["source"] = given.source
                if given.locator:
                    made["locator"] = given.locator
                if given.because:
                    made["because"] = given.because
                inputs.append(made)
            data: SumData = {
                "id": key,
                "question": calculation.question,
                "inputs": inputs,
                "working": result.working,
            }
            if calculation.result.says:
                data["says"] = calculation.result.says
            if calculation.means:
                data["means"] = calculation.means
            yield data

    def _citation(self, citation: Citation) -> CitationData:
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

    def _cue(self, number: int, key: str, note: Anatomy) -> CueData:
        made: CueData = {
            "number": number,
            "id": key,
            "term": note.term,
            "look_for": note.look_for,
            "visible_on": [
                object_name(self.record.objects[target]) for target in note.visible_on if target in self.record.objects
            ],
            "seen_by": note.seen_by,
            "sources": [self._citation(citation) for citation in note.sources],
        }
        if note.say:
            made["say"] = note.say
        if note.at and note.at.figure in self.record.figures:
            made["figure"], made["x"], made["y"] = note.at.figure, f"{note.at.x:f}", f"{note.at.y:f}"
        return made

    def _sources(self) -> list[SourceData]:
        from builder.compose.bibliography import csl_fields

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

    def _terms(self) -> list[list[str]]:
        """The glossary's terms that the page uses, with their meanings."""
        texts = [sentence.text for _, piece in self.case.texts for sentence in piece.sentences]
        texts += [note.look_for for note in self.record.anatomy.values()]
        text = " ".join(texts)
        return [list(pair) for pair in find_terms(text, self.case.library.glossary.items())]


def diet_test(evidence: DietEvidence) -> str:
    """What a diet result is asked, in words: `insects at least 90 % by mass`."""
    what = evidence.group or evidence.prey or "prey"
    parts = []
    for word, bound in (("at least", evidence.at_least), ("at most", evidence.at_most)):
        if bound is not None:
            parts.append(f"{word} {(bound * 100).normalize():f} %")
    return f"{what} {' and '.join(parts)} by {evidence.measure}".replace("by occurrence", "of the samples")
