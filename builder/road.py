"""The one straight road: load, resolve, weigh, check, compose, render, for every record of a workspace.

In: the folder of a workspace. Out: an `Outcome` for each record, remembered where nothing it depends on has changed,
and the problems of what all records share. Only reading is done here; `publish` writes.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

from builder.check.case import Case, Shelf
from builder.check.engine import apply_waivers, check_case, check_shelf, graded, place, sort_problems
from builder.load import Loaded, Shared, load_record, load_shared, read_workspace
from builder.load.workspace import Workspace, decode, fingerprint_files
from builder.memory import Memory
from builder.problem import Place, Problem, Severity
from builder.report import Summary, summarise
from builder.resolve import Library, Subject, resolve
from builder.weigh.date import parse_date

MEMORY = "build/memory.json"


@dataclass(frozen=True)
class Outcome:
    """What walking one record gave.

    `sources` are those it names; `resting` those that something other than a lead rests on; `others` the records it
    refers to.
    """

    id: str
    title: str
    problems: tuple[Problem, ...]
    claims: int = 0
    sentences: int = 0
    asides: int = 0
    sources: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    until: str = ""
    resting: tuple[str, ...] = ()


@dataclass(frozen=True)
class Verdict:
    """All outcomes of a run, all problems in order, and the counts."""

    outcomes: tuple[Outcome, ...]
    problems: tuple[Problem, ...]
    summary: Summary


class Road:
    """A workspace under way. `today` is the day on which dates are judged."""

    def __init__(self, root: Path, *, today: date, remember: bool = True) -> None:
        self.workspace: Workspace = read_workspace(root)
        self.shared: Shared = load_shared(self.workspace)
        self.today = today
        self.memory = Memory(root / MEMORY if remember else None)
        ids = tuple(self.workspace.folders)
        self.library = Library(self.shared, ids, self.fetch, self.workspace.records)
        self._loaded: dict[str, Loaded] = {}

    def fetch(self, record: str) -> Loaded | None:
        """The record of that id as read, once; None where there is no such folder."""
        if record not in self.workspace.folders:
            return None
        if record not in self._loaded:
            folder = f"{self.workspace.records}/{record}"
            self._loaded[record] = load_record(folder, self.workspace.folders[record])
        return self._loaded[record]

    def subject(self, record: str) -> Subject | None:
        """The record with what it refers to within reach; None where it is beyond use."""
        loaded = self.fetch(record)
        return resolve(loaded, self.library)[0] if loaded else None

    def check(self, only: Iterable[str] | None = None) -> Verdict:
        """Walk all records, or those named, as far as the checks."""
        names = tuple(self.workspace.folders) if only is None else tuple(only)
        outcomes = tuple(self._remembered(name) or self._walk(name) for name in names)
        problems = [problem for outcome in outcomes for problem in outcome.problems]
        problems += self._shelf_problems(outcomes, whole=only is None)
        ordered = sort_problems(problems)
        summary = summarise(
            ordered,
            records=len(outcomes),
            claims=sum(outcome.claims for outcome in outcomes),
            sentences=sum(outcome.sentences for outcome in outcomes),
            asides=sum(outcome.asides for outcome in outcomes),
        )
        if only is not None:
            for name, entry in self.memory.entries.items():
                if name not in self.memory.kept:
                    self.memory.keep(name, entry)
        return Verdict(outcomes, ordered, summary)

    def _shelf_problems(self, outcomes: tuple[Outcome, ...], *, whole: bool) -> Iterator[Problem]:
        yield from self.workspace.problems
        yield from (graded(problem) for problem in self.shared.problems)
        used = frozenset(source for outcome in outcomes for source in outcome.sources)
        resting = frozenset(source for outcome in outcomes for source in outcome.resting)
        cut = ("unreadable-file", "wrong-shape", "repeated-key")
        said = (*self.workspace.problems, *(problem for outcome in outcomes for problem in outcome.problems))
        whole = whole and not any(problem.check in cut for problem in said)
        shelf = Shelf(self.library, self.today, used, resting, len(outcomes), whole, self.shared.excerpts)
        yield from check_shelf(shelf)

    def _walk(self, name: str) -> Outcome:
        """One record down the road."""
        loaded = self.fetch(name)
        assert loaded is not None
        problems = [graded(problem) for problem in loaded.problems]
        subject, dangling = resolve(loaded, self.library)
        problems += [place(problem, loaded, "record.yml") for problem in dangling]
        if subject is None:
            return Outcome(name, name, tuple(problems))
        case = Case(subject, self.today)
        problems += check_case(case)
        problems = apply_waivers(case, problems)
        sentences = [s for _, piece in case.texts for s in piece.sentences]
        outcome = Outcome(
            name,
            subject.record.title,
            tuple(problems),
            len(subject.record.claims),
            len(sentences),
            sum(s.aside for s in sentences),
            tuple(sorted({r.target.id for r in subject.references if r.target.kind == "source"})),
            tuple(sorted(subject.other_records)),
            self._horizon(subject),
            tuple(sorted(subject.resting_sources)),
        )
        if not any(problem.check == "unknown-reference" for problem in problems):
            self.memory.keep(name, self._entry(outcome))
        return outcome

    def _horizon(self, subject: Subject) -> str:
        """The first day from today on at which a date of the record falls due: the verdict stands no longer."""
        texts = [claim.recheck for claim in subject.record.claims.values() if claim.recheck]
        texts += [waiver.until for waiver in subject.record.waive]
        days = []
        for text in texts:
            read = parse_date(text)
            if read:
                days += [day for day in (read.first, read.last) if day and day >= self.today]
        return min(days).isoformat() if days else ""

    # What a result depends on: the record's own files, the museum and the glossary, the sources it rests on with all
    # that these draw on, and the records it refers to with theirs.

    @cached_property
    def _house(self) -> str:
        files = {name: data for name, data in self.workspace.shared.items() if name in ("museum.yml", "glossary.yml")}
        return fingerprint_files(files)

    @cached_property
    def _source_digests(self) -> dict[str, str]:
        tree = self.shared.trees.get(f"{self.workspace.records}/sources.yml")
        entries = tree.value if tree and isinstance(tree.value, dict) else {}
        digests = {}
        for key, entry in entries.items():
            text = repr(entry)
            excerpt = entry.get("excerpt") if isinstance(entry, dict) else None
            if isinstance(excerpt, str):
                text += self.shared.excerpts.get(excerpt, "")
            digests[key] = hashlib.blake2b(text.encode("utf-8", "replace"), digest_size=12).hexdigest()
        return digests

    def _key(self, name: str, sources: Iterable[str], others: Iterable[str]) -> str:
        state = hashlib.blake2b(f"{self._house} {self.workspace.digest(name)}".encode(), digest_size=20)
        seen: set[str] = set()
        for source in sources:
            seen |= set(self.library.drawn_on(source)) | {source}
        for source in sorted(seen):
            state.update(f" {source} {self._source_digests.get(source)}".encode())
        for other in sorted(others):
            digest = self.workspace.digest(other) if other in self.workspace.folders else None
            state.update(f" {other} {digest}".encode())
            entry = self.memory.kept.get(other) or self.memory.get(other)
            state.update(repr(entry and entry["key"]).encode())
        return state.hexdigest()

    def _entry(self, outcome: Outcome) -> dict[str, Any]:
        return {
            "key": self._key(outcome.id, outcome.sources, outcome.others),
            "day": self.today.isoformat(),
            "until": outcome.until,
            "title": outcome.title,
            "counts": [outcome.claims, outcome.sentences, outcome.asides],
            "sources": list(outcome.sources),
            "others": list(outcome.others),
            "resting": list(outcome.resting),
            "problems": [_plain(problem) for problem in outcome.problems],
        }

    def _remembered(self, name: str) -> Outcome | None:
        entry = self.memory.get(name)
        if entry is None or entry["key"] != self._key(name, entry["sources"], entry["others"]):
            return None
        today = self.today.isoformat()
        if not entry["day"] <= today or (entry["until"] and today >= entry["until"] and entry["day"] != today):
            return None
        self.memory.keep(name, entry)
        claims, sentences, asides = entry["counts"]
        problems = tuple(_problem(row) for row in entry["problems"])
        sources, others, resting = (tuple(entry[key]) for key in ("sources", "others", "resting"))
        return Outcome(
            name, entry["title"], problems, claims, sentences, asides, sources, others, entry["until"], resting
        )

    def read_line(self, file: str, number: int) -> str | None:
        """A line of a file of the workspace, for a report."""
        head, _, name = file.removeprefix(f"{self.workspace.records}/").partition("/")
        data = self.workspace.folders.get(head, {}).get(name)
        if data is None:
            data = self.workspace.shared.get(file.removeprefix(f"{self.workspace.records}/"))
        if data is None:
            data = self.workspace.prose.get(file.removeprefix(f"{self.workspace.prose_folder}/"))
        if data is None:
            return None
        text, fault = decode(data)
        rows = text.split("\n") if fault is None else data.decode("utf-8", "replace").split("\n")
        return rows[number - 1] if 0 < number <= len(rows) else None

    def titles(self, verdict: Verdict) -> dict[str, str]:
        """Folder to title, for a report."""
        return {f"{self.workspace.records}/{outcome.id}": outcome.title for outcome in verdict.outcomes}


def _plain(problem: Problem) -> list[Any]:
    spot = problem.place or Place("")
    also = [[label, p.file, p.line, p.column, p.length] for label, p in problem.also]
    where = [spot.file, spot.line, spot.column, spot.length]
    return [problem.check, problem.message, problem.mend, str(problem.severity), where, also]


def _problem(row: list[Any]) -> Problem:
    check, message, mend, severity, where, also = row
    others = tuple((label, Place(file, line, column, length)) for label, file, line, column, length in also)
    return Problem(check, message, mend, severity=Severity(severity), place=Place(*where), also=others)
