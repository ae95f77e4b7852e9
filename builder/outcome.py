"""What walking one record gave, and its plain form for the memory."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from builder.compose.card import Card
from builder.problem import Place, Problem, Severity


@dataclass(frozen=True)
class Composed:
    """One composed page. `output` is its path in the tree, `digest` that of its Markdown.

    `text` is None when it was remembered: the file stands in the tree. `pictures` are files of the record by name.
    """

    output: str
    document: str
    digest: str
    card: Card
    pictures: tuple[str, ...] = ()
    text: str | None = None


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
    staff_only: Mapping[str, Any] = field(default_factory=dict)
    """What the record keeps back, as plain data (`resolve.withheld`): the finished site is searched for it."""

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
            "composed": [[c.output, c.document, c.digest, c.card, list(c.pictures)] for c in self.composed],
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
        tuple(Composed(row[0], row[1], row[2], row[3], tuple(row[4])) for row in entry["composed"]),
        entry["staff_only"],
    )


def _plain(problem: Problem) -> list[Any]:
    spot = problem.place or Place("")
    also = [[label, p.file, p.line, p.column, p.length] for label, p in problem.also]
    where = [spot.file, spot.line, spot.column, spot.length]
    return [problem.check, problem.message, problem.mend, str(problem.severity), where, also]


def _problem(row: list[Any]) -> Problem:
    check, message, mend, severity, where, also = row
    others = tuple((label, Place(file, line, column, length)) for label, file, line, column, length in also)
    return Problem(check, message, mend, severity=Severity(severity), place=Place(*where), also=others)
