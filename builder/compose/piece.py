"""Compose a piece: its words with everything they rest on.

In: a record, one of its pieces, what its evidence is worth. Out: a `Document`. A page rests on the whole record; a
label, talk or script on the claims it marks, the anatomy it points at and the objects it names. Only what is listed
here becomes public: no store, no exact place, no name that is kept back.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from builder.check.case import Case
from builder.check.fit.length import spoken_sentences
from builder.check.wording.retelling import beliefs_of, tells
from builder.check.wording.sentence_without_claim import leans_on_next
from builder.compose.behind import table_digest
from builder.compose.diet import DietData, diet_data
from builder.compose.document import (
    BeatData,
    BlockData,
    CueData,
    Document,
    InputData,
    QuestionData,
    SentenceData,
    SpanData,
    SumData,
)
from builder.compose.rests import Rests
from builder.compose.specimen import figure_data, handling_data, object_data, object_name
from builder.compose.term import find_terms
from builder.model.piece import Beat, Block, Piece, Sentence
from builder.model.record import (
    Anatomy,
)
from builder.resolve import claim_node
from builder.weigh.calculation import Result
from builder.weigh.unit import say_quantity
from builder.weigh.weighing import Weighed


def compose(case: Case, weighed: Weighed, piece: Piece) -> Document:
    """The document of a piece."""
    return _Composer(case, weighed, piece).document()


class _Composer:
    """Numbers are given as things are met: claims by their first mark, cues by their first mention."""

    def __init__(self, case: Case, weighed: Weighed, piece: Piece) -> None:
        self.case, self.record, self.piece = case, case.record, piece
        self.weighed = weighed
        self.rests = Rests(case, weighed)
        self.cues: dict[str, int] = {}

    def document(self) -> Document:
        record, museum, front = self.record, self.case.museum, self.piece.front
        whole = front.piece == "page"
        document: dict[str, Any] = {
            "kind": front.piece,
            "record": self.case.subject.id,
            "piece": self.piece.id,
            "title": front.title,
            "language": museum.language,
            "taxon": record.name.model_dump(exclude_none=True, exclude={"described_as"}),
        }
        if front.piece in ("talk", "script"):
            document["blocks"] = []
            document["beats"] = [self._beat(beat) for beat in self.piece.beats]
        else:
            document["blocks"] = [self._block(block) for block in self.piece.blocks]
        document["questions"] = self._questions() if whole or front.piece == "talk" else []
        given = record.summary if whole else front.description
        document["summary"] = given or self._first_fact() or self._first_words()
        if whole:
            for key, claim in record.claims.items():
                if not claim.lead:
                    self.rests.number(self.case.subject.id, key)
            for key in record.anatomy:
                self.cues.setdefault(key, len(self.cues) + 1)
        claims = [self.rests.claim(number, *where) for where, number in list(self.rests.numbers.items())]
        document["claims"] = [claim for claim in claims if claim]
        document["cues"] = [self._cue(number, key, record.anatomy[key]) for key, number in self.cues.items()]
        named = {(row["kind"], row["key"]) for claim in document["claims"] for row in claim["evidence"]}
        diets = [key for key in record.diet if key in self.weighed.diets and (whole or ("diet", key) in named)]
        document["diets"] = [self._diet(key) for key in diets]
        document["sums"] = list(self._sums(None if whole else named))
        objects = {
            key: thing for key, thing in record.objects.items() if whole or not front.objects or key in front.objects
        }
        document["objects"] = [object_data(self.case, key, thing) for key, thing in objects.items()]
        document["handling"] = [row for key, thing in objects.items() for row in handling_data(key, thing)]
        pointed = {cue["figure"] for cue in document["cues"] if "figure" in cue}
        document["figures"] = [figure for figure in figure_data(self.case) if whole or figure["id"] in pointed]
        document["terms"] = self._terms()
        document["front"] = self._front()
        document["sources"] = self.rests.all_sources()
        if museum.notice:
            document["notice"] = museum.notice
        if record.notice:
            document["care"] = record.notice
        return document  # type: ignore[return-value]

    def _front(self) -> dict[str, Any]:
        """The front matter, as far as it is for readers."""
        front = self.piece.front
        made: dict[str, Any] = {
            "audience": front.audience or "",
            "hangs_at": list(front.hangs_at),
            "author": [self._person(author) for author in front.author],
        }
        for name in ("kind", "theme", "date"):
            if getattr(front, name):
                made[name] = getattr(front, name)
        if front.slot is not None:
            made["slot"] = f"{front.slot.normalize():f}"
        return made

    def _beat(self, beat: Beat) -> BeatData:
        made: BeatData = {
            "title": beat.title,
            "keep": beat.keep,
            "blocks": [self._block(block) for block in beat.blocks],
        }
        if beat.seconds is not None:
            made["seconds"] = beat.seconds
        if beat.value is not None:
            made["value"] = beat.value
        return made

    def _questions(self) -> list[QuestionData]:
        answers = self.case.subject.loaded.answers
        return [
            {"ask": question.ask, "answer": [self._block(block) for block in answer]}
            for question, answer in zip(self.record.questions, answers, strict=True)
        ]

    def _first_fact(self) -> str:
        """Of a script, which may open with a covered table: the first spoken sentence that states something so."""
        piece, record = self.piece, self.record
        beliefs = beliefs_of(self.case, record.claims) if piece.front.piece == "script" else ()
        for sentence in spoken_sentences(piece) if piece.front.piece == "script" else ():
            claims = [claim for _, claim in self.case.claims_of(sentence) if not claim.lead]
            if claims and not any(tells(sentence.text, belief) for belief in beliefs):
                return sentence.text
        return ""

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
                numbers.append(self.rests.number(node.record, node.id))
        if numbers:
            data["claims"] = numbers
        if sentence.aside:
            data["aside"] = True
        return data

    def _diet(self, key: str) -> DietData:
        diet = self.record.diet[key]
        self.rests.sources[diet.source] = None
        digest = table_digest(self.case.subject.loaded.tables.get(key))
        return diet_data(key, diet, self.weighed.diets[key], digest)

    def _sums(self, named: set[tuple[str, str]] | None) -> Iterator[SumData]:
        """The calculations that a published claim rests on, with their working; of those named alone, if any are."""
        record = self.record
        for key, calculation in record.calculations.items():
            result = self.weighed.calculations.get(key)
            if named is not None and ("calculation", key) not in named:
                continue
            if key in record.held_back or not isinstance(result, Result):
                continue
            inputs: list[InputData] = []
            for name, given in calculation.inputs.items():
                value = say_quantity(given.value, given.unit)
                made: InputData = {"name": name.replace("-", " ").replace("_", " "), "value": value}
                if given.source and given.source in self.case.library.sources:
                    self.rests.sources[given.source] = None
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
            "sources": [self.rests.citation(citation) for citation in note.sources],
        }
        if note.say:
            made["say"] = note.say
        if note.at and note.at.figure in self.record.figures:
            made["figure"], made["x"], made["y"] = note.at.figure, f"{note.at.x:f}", f"{note.at.y:f}"
        return made

    def _terms(self) -> list[list[str]]:
        """The glossary's terms that the piece uses, with their meanings; a page stands for all texts of its record."""
        if self.piece.front.piece == "page":
            texts = [sentence.text for _, piece in self.case.texts for sentence in piece.sentences]
        else:
            texts = [sentence.text for sentence in self.piece.sentences]
        texts += [self.record.anatomy[key].look_for for key in self.cues]
        text = " ".join(texts)
        return [list(pair) for pair in find_terms(text, self.case.library.glossary.items())]
