"""What a check is handed: a case (one record) or the shelf (what all records share)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from builder.model.museum import HouseRules, Museum
from builder.model.piece import Front, Piece, Sentence
from builder.model.record import Claim, Record
from builder.resolve import Library, Subject
from builder.weigh.weighing import Weighed


@dataclass(frozen=True)
class Case:
    """One record before the checks. `today` is the day on which dates are judged."""

    subject: Subject
    today: date
    weighed: Weighed

    @property
    def record(self) -> Record:
        return self.subject.record

    @property
    def library(self) -> Library:
        return self.subject.library

    @property
    def museum(self) -> Museum:
        return self.subject.library.museum

    @property
    def rules(self) -> HouseRules:
        return self.subject.library.rules

    @property
    def pieces(self) -> Mapping[str, Piece]:
        return self.subject.loaded.pieces

    @cached_property
    def texts(self) -> tuple[tuple[str, Piece], ...]:
        """Every text of the record with its file: the pieces, and each answer as a small piece of its own."""
        pieces = [(f"{piece.id}.md", piece) for piece in self.pieces.values()]
        for question, blocks in zip(self.record.questions, self.subject.loaded.answers, strict=True):
            front = Front.model_construct(piece="answer", title=question.ask)
            pieces.append(("record.yml", Piece("answer", front, blocks)))
        return tuple(pieces)

    def claims_of(self, sentence: Sentence) -> tuple[tuple[str, Claim], ...]:
        """The claims that vouch for a sentence, by mark."""
        return self.subject.claims_of(sentence)


@dataclass(frozen=True)
class Shelf:
    """What all records share, before the checks.

    `used` are the sources that some record names; `resting` those that something other than a lead rests on.
    """

    library: Library
    today: date
    used: frozenset[str] = frozenset()
    resting: frozenset[str] = frozenset()
    records: int = 0
    whole: bool = True
    """False when only some records were read, or some could not be read whole: nobody can say what is used by none."""
    excerpts: Mapping[str, str] = field(default_factory=dict)

    def sources(self) -> Iterator[tuple[str, object]]:
        """Id and source, in the order of the file."""
        yield from self.library.sources.items()
