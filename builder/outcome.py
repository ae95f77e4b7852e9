"""What walking one record gave, and its plain form for the memory."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from builder.compose.card import Card, UseCard
from builder.problem import Place, Problem, Severity
from builder.task import Task, task_from_plain


@dataclass(frozen=True)
class Output:
    """One finished file: its path below the folder of the build, and the digest of its bytes.

    `title` is what a reader gets who follows a link to it, empty for what nobody is led to. `data` is None when it was
    remembered: the file stands there as it should.
    """

    path: str
    digest: str
    title: str = ""
    data: bytes | None = None


@dataclass(frozen=True)
class Composed:
    """One piece that goes out, with the fingerprint of its document, who signed it, and the files made of it.

    `page` is the card of a page, None for any other piece; `use` what the pages for educators and presenters tell.
    `pictures` are files of the record by name; `sources` those that the piece rests on.
    """

    piece: str
    document: str
    standing: Mapping[str, Any]
    use: UseCard
    page: Card | None = None
    outputs: tuple[Output, ...] = ()
    pictures: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Waiting:
    """A piece that stays in: why, in the words of its standing."""

    record: str
    piece: str
    reason: str


@dataclass(frozen=True)
class Outcome:
    """What walking one record gave.

    `sources` are those it names; `resting` those that something other than a lead rests on; `others` the records it
    refers to; `until` the day on which one of its dates falls due. `composed` is empty where nothing was built.
    """

    id: str
    title: str
    problems: tuple[Problem, ...]
    claims: int = 0
    sentences: int = 0
    asides: int = 0
    sources: tuple[str, ...] = ()
    resting: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    until: str = ""
    composed: tuple[Composed, ...] = ()
    waiting: tuple[Waiting, ...] = ()
    staff_only: Mapping[str, Any] = field(default_factory=dict)
    """What the record keeps back, as plain data (`resolve.withheld`): the finished site is searched for it."""
    tasks: tuple[Task, ...] = ()
    """What the record leaves to do, whether its day has come or not."""
    tables: tuple[str, ...] = ()
    """The keys of its diet tables, under which their results are remembered."""

    def as_plain(self) -> dict[str, Any]:
        """Plain data, without the texts."""
        return {
            "title": self.title,
            "counts": [self.claims, self.sentences, self.asides],
            "sources": list(self.sources),
            "resting": list(self.resting),
            "others": list(self.others),
            "until": self.until,
            "problems": [_plain(problem) for problem in self.problems],
            "staff_only": self.staff_only,
            "composed": [_plain_piece(piece) for piece in self.composed],
            "waiting": [[row.piece, row.reason] for row in self.waiting],
            "tasks": [task.as_plain() for task in self.tasks],
            "tables": list(self.tables),
        }


def outcome_from_plain(name: str, entry: Mapping[str, Any]) -> Outcome:
    """The outcome that `as_plain` made plain."""
    claims, sentences, asides = entry["counts"]
    return Outcome(
        name,
        entry["title"],
        tuple(_problem(row) for row in entry["problems"]),
        claims,
        sentences,
        asides,
        tuple(entry["sources"]),
        tuple(entry["resting"]),
        tuple(entry["others"]),
        entry["until"],
        tuple(_composed(row) for row in entry["composed"]),
        tuple(Waiting(name, piece, reason) for piece, reason in entry["waiting"]),
        entry["staff_only"],
        tuple(task_from_plain(row) for row in entry["tasks"]),
        tuple(entry["tables"]),
    )


def _plain_piece(piece: Composed) -> list[Any]:
    outputs = [[output.path, output.digest, output.title] for output in piece.outputs]
    return [
        piece.piece,
        piece.document,
        piece.standing,
        piece.use,
        piece.page,
        outputs,
        list(piece.pictures),
        list(piece.sources),
    ]


def _composed(row: list[Any]) -> Composed:
    piece, document, standing, use, page, outputs, pictures, sources = row
    made = tuple(Output(path, digest, title) for path, digest, title in outputs)
    return Composed(piece, document, standing, use, page, made, tuple(pictures), tuple(sources))


def _plain(problem: Problem) -> list[Any]:
    spot = problem.place or Place("")
    also = [[label, p.file, p.line, p.column, p.length] for label, p in problem.also]
    where = [spot.file, spot.line, spot.column, spot.length]
    return [problem.check, problem.message, problem.mend, str(problem.severity), where, also]


def _problem(row: list[Any]) -> Problem:
    check, message, mend, severity, where, also = row
    others = tuple((label, Place(file, line, column, length)) for label, file, line, column, length in also)
    return Problem(check, message, mend, severity=Severity(severity), place=Place(*where), also=others)
