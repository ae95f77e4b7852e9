"""The one straight road: load, resolve, weigh, check, compose, render, for every record of a workspace.

In: the folder of a workspace. Out: an `Outcome` for each record, remembered where nothing it depends on has changed,
and the problems of what all records share. Only reading is done here; `publish` writes.
"""

from __future__ import annotations

import hashlib
import multiprocessing
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

from builder.check.case import Case, Shelf
from builder.check.engine import apply_waivers, check_case, check_shelf, graded, place, sort_problems
from builder.check.showing.missing_caution import turning_days
from builder.compose.card import Card, make_card
from builder.compose.document import fingerprint
from builder.compose.piece import compose
from builder.load import Loaded, Shared, load_record, load_shared, read_workspace
from builder.load.workspace import Workspace, decode, fingerprint_files
from builder.memory import Memory
from builder.outcome import Composed, Outcome, outcome_from_plain
from builder.problem import ERROR, Place, Problem, Spot
from builder.publish.tree import digest, is_current
from builder.render.citation import BadStyle, Entries, own_style
from builder.render.page import render_broken, render_page
from builder.report import Summary, summarise
from builder.resolve import Library, Subject, resolve
from builder.resolve.withheld import staff_only
from builder.weigh.date import parse_date
from builder.weigh.weighing import Origins, Weighed, weigh

MEMORY = "build/memory.json"
ENTRIES = " entries"
"""The name under which formatted sources are remembered; no record can have it."""
KEPT = 64
"""How many records are kept as models at a time."""
MANY = 48
"""From this many records on, they are walked by two processes or more."""


@dataclass(frozen=True)
class Target:
    """What is being built: drafts or the public site, and the folder of its tree."""

    draft: bool
    tree: Path


@dataclass(frozen=True)
class Verdict:
    """All outcomes of a run, all problems in order, and the counts."""

    outcomes: tuple[Outcome, ...]
    problems: tuple[Problem, ...]
    summary: Summary


class Road:
    """A workspace under way. `today` is the day on which dates are judged; `target` what is built, if anything is."""

    def __init__(self, root: Path, *, today: date, remember: bool = True, target: Target | None = None) -> None:
        self.workspace: Workspace = read_workspace(root)
        self.shared: Shared = load_shared(self.workspace)
        self.today = today
        self.target = target
        self.memory = Memory(root / MEMORY if remember else None)
        ids = tuple(self.workspace.folders)
        self.library = Library(self.shared, ids, self.fetch, self.workspace.records)
        self.origins = Origins(self.library)
        self.entries, self._style_problem = self._own_entries()
        self._loaded: dict[str, Loaded] = {}  # the last few, since records refer to one another

    def _own_entries(self) -> tuple[Entries, Problem | None]:
        """The citations by the museum's own style where it names one that serves, else by ours."""
        known = self.memory.get(ENTRIES)
        named = self.shared.museum.citation_style
        if not named:
            return Entries(own_style(), known), None
        tree = self.shared.trees.get(f"{self.workspace.records}/museum.yml")
        spot = tree.find_spot(("citation_style",)) if tree else Spot()
        file = Place(f"{self.workspace.records}/museum.yml", spot.line, spot.column, spot.length)
        style = self.workspace.shared.get(named)
        if style is None:
            mend = "put the `.csl` file beside museum.yml, or delete the line to use the style that comes along"
            problem = Problem("unknown-reference", f"there is no style `{named}`", mend, severity=ERROR, place=file)
            return Entries(own_style(), known), problem
        entries = Entries(style, known)
        try:
            entries.entry({"type": "book", "title": "A trial", "author": [{"family": "Writer"}], "issued": "2001"})
        except BadStyle as fault:
            mend = "choose another style, or delete the line to use the one that comes along"
            problem = Problem("wrong-shape", f"`{named}`: {fault}", mend, severity=ERROR, place=file)
            return Entries(own_style(), known), problem
        return entries, None

    def fetch(self, record: str) -> Loaded | None:
        """The record of that id as read, once; None where there is no such folder."""
        if record not in self.workspace.folders:
            return None
        if record not in self._loaded:
            folder = f"{self.workspace.records}/{record}"
            while len(self._loaded) >= KEPT:
                del self._loaded[next(iter(self._loaded))]
            self._loaded[record] = load_record(folder, self.workspace.folders[record])
        return self._loaded[record]

    def subject(self, record: str) -> Subject | None:
        """The record with what it refers to within reach; None where it is beyond use."""
        loaded = self.fetch(record)
        return resolve(loaded, self.library)[0] if loaded else None

    def walk(self, only: Iterable[str] | None = None, *, told: Callable[[int, int], None] | None = None) -> Verdict:
        """Walk all records, or those named. `told(done, all)` is called now and then."""
        names = tuple(self.workspace.folders) if only is None else tuple(only)
        found = {name: self._remembered(name) for name in names}
        cold = [name for name, outcome in found.items() if outcome is None]
        for outcome, entry in _walk_all(self, cold, told):
            found[outcome.id] = outcome
            if entry:
                self.memory.keep(outcome.id, entry)
        outcomes = tuple(outcome for outcome in found.values() if outcome)
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
        if only is not None or self.target is None:
            for name, entry in self.memory.entries.items():
                if name not in self.memory.kept and (name == ENTRIES or only is not None):
                    self.memory.keep(name, entry)
        return Verdict(outcomes, ordered, summary)

    def _shelf_problems(self, outcomes: tuple[Outcome, ...], *, whole: bool) -> Iterator[Problem]:
        if self._style_problem:
            yield self._style_problem
        yield from (graded(problem) for problem in self.workspace.problems)
        yield from (graded(problem) for problem in self.shared.problems)
        used = frozenset(source for outcome in outcomes for source in outcome.sources)
        resting = frozenset(source for outcome in outcomes for source in outcome.resting)
        cut = ("unreadable-file", "wrong-shape", "repeated-key")
        said = (*self.workspace.problems, *(problem for outcome in outcomes for problem in outcome.problems))
        whole = whole and not any(problem.check in cut for problem in said)
        shelf = Shelf(self.library, self.today, used, resting, len(outcomes), whole, self.shared.excerpts)
        yield from check_shelf(shelf)

    def walk_one(self, name: str) -> tuple[Outcome, dict[str, Any] | None]:
        """One record down the road, and what to remember of it."""
        loaded = self.fetch(name)
        assert loaded is not None
        problems = [graded(problem) for problem in loaded.problems]
        subject, dangling = resolve(loaded, self.library)
        problems += [place(problem, loaded, "record.yml") for problem in dangling]
        if subject is None:
            composed = self._broken_page(name, problems)
            return Outcome(name, name, tuple(problems), composed=composed), None
        weighed, bad = weigh(subject, self.origins)
        problems += [place(problem, loaded, "record.yml") for problem in bad]
        case = Case(subject, self.today, weighed)
        problems += check_case(case)
        problems = list(sort_problems(apply_waivers(case, problems)))
        sentences = [s for _, piece in case.texts for s in piece.sentences]
        outcome = Outcome(
            name,
            subject.record.title,
            tuple(problems),
            len(subject.record.claims),
            len(sentences),
            sum(s.aside for s in sentences),
            tuple(sorted({r.target.id for r in subject.references if r.target.kind == "source"})),
            tuple(sorted(subject.resting_sources)),
            tuple(sorted(subject.other_records)),
            self._horizon(subject),
            self._compose(case, weighed, problems),
            staff_only(subject.record),
        )
        if any(problem.check == "unknown-reference" for problem in problems):
            return outcome, None
        return outcome, self._entry(outcome)

    def _compose(self, case: Case, weighed: Weighed, problems: Sequence[Problem]) -> tuple[Composed, ...]:
        if self.target is None or not self.target.draft:
            return ()  # nothing is approved yet, so nothing goes out
        pages = [piece for piece in case.pieces.values() if piece.front.piece == "page"]
        made = []
        for index, piece in enumerate(pages):
            document = compose(case, weighed, piece)
            entries = {source["id"]: self.entries.entry(source["fields"]) for source in document["sources"]}
            text = render_page(document, entries, draft=self.target.draft, problems=_told(problems))
            name = case.subject.id if index == 0 else f"{case.subject.id}--{piece.id}"
            pictures = tuple(figure["file"] for figure in document["figures"])
            made.append(
                Composed(
                    f"specimens/{name}.md",
                    fingerprint(document),
                    digest(text.encode()),
                    make_card(document),
                    pictures,
                    text,
                )
            )
        return tuple(made)

    def _broken_page(self, name: str, problems: Sequence[Problem]) -> tuple[Composed, ...]:
        """In place of a page that cannot be made, what to mend; drafts only."""
        if self.target is None or not self.target.draft:
            return ()
        text = render_broken(name, _told(problems))
        card: Card = {
            "record": name, "title": name, "common": name, "scientific": "", "family": "",
            "summary": "This record cannot be read yet.", "picture": "", "beliefs": [], "sources": {},
        }  # fmt: skip
        return (Composed(f"specimens/{name}.md", "", digest(text.encode()), card, (), text),)

    def _horizon(self, subject: Subject) -> str:
        """The first day from today on at which a date of the record falls due: the verdict stands no longer."""
        texts = [claim.recheck for claim in subject.record.claims.values() if claim.recheck]
        texts += [waiver.until for waiver in subject.record.waive]
        days = []
        for text in texts:
            read = parse_date(text)
            if read:
                days += [day for day in (read.first, read.last) if day and day >= self.today]
        turns = turning_days(subject.record, self.library.rules.review_months)
        days += [day for day in turns if day >= self.today]
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
        key = self._key(outcome.id, outcome.sources, outcome.others)
        return {"key": key, "day": self.today.isoformat(), "kind": self._kind, **outcome.as_plain()}

    @property
    def _kind(self) -> str:
        """What was built when an entry was made: an entry made by a mere check serves no build."""
        return "check" if self.target is None else "draft" if self.target.draft else "public"

    def _remembered(self, name: str) -> Outcome | None:
        entry = self.memory.get(name)
        if entry is None or entry["key"] != self._key(name, entry["sources"], entry["others"]):
            return None
        today = self.today.isoformat()
        if not entry["day"] <= today or (entry["until"] and today >= entry["until"] and entry["day"] != today):
            return None
        outcome = outcome_from_plain(name, entry)
        if self.target:
            outputs = {page.output: page.digest for page in outcome.composed}
            if entry["kind"] != self._kind or not is_current(self.target.tree, outputs):
                return None
        self.memory.keep(name, entry)
        return outcome

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


def _told(problems: Sequence[Problem]) -> tuple[str, ...]:
    """Problems in one line each, for a draft page."""
    return tuple(
        f"{problem.severity}: {problem.check}: {problem.message}"
        + (f" ({problem.place.file.rsplit('/', 1)[-1]}, line {problem.place.line})" if problem.place else "")
        for problem in problems
    )


Walked = tuple[Outcome, dict[str, Any] | None]
_road: Road | None = None


def _walk_all(road: Road, names: Sequence[str], told: Callable[[int, int], None] | None) -> Iterator[Walked]:
    """Walk the named records: here, or, where they are many and the system can fork, by one process for each core."""
    global _road
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    if len(names) < MANY or cores < 2 or "fork" not in multiprocessing.get_all_start_methods():
        for done, name in enumerate(names, 1):
            yield road.walk_one(name)
            if told:
                told(done, len(names))
        return
    _road = road
    chunks = [names[at : at + 16] for at in range(0, len(names), 16)]
    context = multiprocessing.get_context("fork")
    done = 0
    with ProcessPoolExecutor(cores, mp_context=context) as pool:
        for walked, entries in pool.map(_walk_chunk, chunks):
            road.entries.known.update(entries)
            road.entries.asked.update(entries)
            yield from walked
            done += len(walked)
            if told:
                told(done, len(names))
    _road = None


def _walk_chunk(names: Sequence[str]) -> tuple[list[Walked], dict[str, Any]]:
    assert _road is not None
    _road.entries.asked.clear()
    return [_road.walk_one(name) for name in names], dict(_road.entries.asked)
