"""The one straight road: load, resolve, weigh, check, compose, render, for every record of a workspace.

In: the folder of a workspace. Out: an `Outcome` for each record, remembered where nothing it depends on has changed,
and the problems of what all records share. Only reading is done here; `publish` writes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import islice
from pathlib import Path
from typing import Any

from builder.approve.standing import Standing, judge_piece, judge_undecided
from builder.check.case import Case, Shelf
from builder.check.engine import apply_waivers, check_case, check_shelf, graded, place, sort_problems
from builder.check.showing.missing_caution import turning_days
from builder.compose.correction import correction_data
from builder.compose.document import Document
from builder.compose.piece import compose
from builder.dependence import Dependence
from builder.load import Loaded, Shared, load_record, load_shared, read_workspace
from builder.load.workspace import Workspace
from builder.memory import DietMemory, Memory
from builder.model.piece import Piece
from builder.outcome import Composed, Outcome, Waiting, outcome_from_plain
from builder.problem import Problem
from builder.publish.tree import is_current
from builder.render.housestyle import house_entries
from builder.report import Summary, summarise
from builder.resolve import Library, Subject, resolve
from builder.resolve.withheld import staff_only
from builder.spread import spread
from builder.task import find_tasks
from builder.weigh.date import parse_date
from builder.weigh.weighing import Origins, weigh

MEMORY, MEMORY_OF_TASKS, MEMORY_OF_DIETS = "build/memory.json", "build/memory-of-tasks.json", "build/memory-of-diets"
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

    @property
    def work(self) -> Path:
        """The folder of the build, which holds the tree and what is for staff alone."""
        return self.tree.parent


@dataclass(frozen=True)
class Verdict:
    """All outcomes of a run, all problems in order, and the counts."""

    outcomes: tuple[Outcome, ...]
    problems: tuple[Problem, ...]
    summary: Summary


class Road:
    """A workspace under way. `today` is the day on which dates are judged; `target` what is built, if anything is.

    With `tasks` each record is asked what it leaves to do as well; that is remembered apart, so that a check need not
    read it.
    """

    def __init__(
        self, root: Path, *, today: date, remember: bool = True, target: Target | None = None, tasks: bool = False
    ) -> None:
        self.workspace: Workspace = read_workspace(root)
        self.shared: Shared = load_shared(self.workspace)
        self.today = today
        self.target = target
        self.tasks = tasks
        self.memory = Memory(root / (MEMORY_OF_TASKS if tasks else MEMORY) if remember else None)
        self.diets = DietMemory(root / MEMORY_OF_DIETS if remember else None)
        ids = tuple(self.workspace.folders)
        self.library = Library(self.shared, ids, self.fetch, self.workspace.records)
        self.origins = Origins(self.library)
        self.dependence = Dependence(self.workspace, self.library, self.memory)
        known = self.memory.get(ENTRIES)
        self.entries, self._style_problem = house_entries(self.shared, self.workspace, known)
        self._loaded: dict[str, Loaded] = {}  # the last few, since records refer to one another

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

    def walk(
        self,
        only: Iterable[str] | None = None,
        *,
        told: Callable[[int, int], None] | None = None,
        alone: bool = False,
    ) -> Verdict:
        """Walk all records, or those named. `told(done, all)` is called now and then.

        `alone` keeps to this process, as a server must, whose threads a fork would not take along.
        """
        names = tuple(self.workspace.folders) if only is None else tuple(only)
        found = {name: self._remembered(name) for name in names}
        cold = [name for name, outcome in found.items() if outcome is None]
        for outcome, entry in _walk_all(self, cold, told, alone=alone):
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
        if only is None:
            self.diets.in_use = frozenset(key for outcome in outcomes for key in outcome.tables)
        if only is not None or self.target is None:
            for name, entry in self.memory.entries.items():
                if name not in self.memory.kept and (name == ENTRIES or only is not None):
                    self.memory.keep(name, entry)
        return Verdict(outcomes, ordered, summary)

    def remember(self) -> None:
        """Write what was read and checked, for the next run. Raises OSError."""
        self.memory.keep(ENTRIES, self.entries.asked or self.memory.get(ENTRIES) or {})
        self.memory.write()
        self.diets.write()

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
        case, problems = self._try(name)
        if case is None:
            composed = self._broken_page(name, problems)
            return Outcome(name, name, tuple(problems), composed=composed), None
        subject = case.subject
        problems += check_case(case)
        standing = list(self._stand(case))
        problems = apply_waivers(case, problems)
        problems += [place(said, subject.loaded, "record.yml") for _, _, judged in standing for said in judged.problems]
        problems = list(sort_problems(problems))
        sentences = [s for _, piece in case.texts for s in piece.sentences]
        composed, waiting = self._make(case, standing, problems)
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
            self._horizon(subject, [judged for _, _, judged in standing]),
            composed,
            waiting,
            staff_only(subject.record),
            tuple(find_tasks(case, [judged for _, _, judged in standing])) if self.tasks else (),
            tuple(case.weighed.tables.values()),
        )
        if any(problem.check == "unknown-reference" for problem in problems):
            return outcome, None
        return outcome, self._entry(outcome)

    def _try(self, name: str) -> tuple[Case | None, list[Problem]]:
        """The record as it comes before the checks, and the problems met so far; no case where it is beyond use."""
        loaded = self.fetch(name)
        assert loaded is not None
        problems = [graded(problem) for problem in loaded.problems]
        subject, dangling = resolve(loaded, self.library)
        problems += [place(problem, loaded, "record.yml") for problem in dangling]
        if subject is None:
            return None, problems
        weighed, bad = weigh(subject, self.origins, self.diets)
        problems += [place(problem, loaded, "record.yml") for problem in bad]
        return Case(subject, self.today, weighed), problems

    def case(self, name: str) -> Case | None:
        """The record as it comes before the checks; None where there is none or it is beyond use."""
        return self._try(name)[0] if name in self.workspace.folders else None

    def documents(self, name: str) -> dict[str, Document]:
        """Every piece of a record composed, by its id; empty where the record is beyond use."""
        case = self.case(name)
        return {key: compose(case, case.weighed, piece) for key, piece in case.pieces.items()} if case else {}

    def _stand(self, case: Case) -> Iterator[tuple[Piece, Document | None, Standing]]:
        """How each piece stands with its curators; its document too, unless nobody has decided and nothing is built."""
        decided = bool(case.subject.loaded.approvals)
        for piece in case.pieces.values():
            document = compose(case, case.weighed, piece) if decided or self.target else None
            yield piece, document, judge_piece(case, document) if decided and document else judge_undecided(case, piece)

    def _make(
        self, case: Case, standing: Iterable[tuple[Piece, Document | None, Standing]], problems: Sequence[Problem]
    ) -> tuple[tuple[Composed, ...], tuple[Waiting, ...]]:
        """The pieces that go out with their files, and those that wait and why."""
        if self.target is None:
            return (), ()
        from builder.output import piece_outputs  # a check makes nothing, and starts sooner without
        from builder.render.printed import print_job

        made, waiting, pages = [], [], 0
        standing = list(standing)
        out = [document for _, document, judged in standing if document and (self.target.draft or judged.approved)]
        pieces = {(d["record"], d["piece"]): (d["title"], d["kind"]) for d in out}
        corrections = correction_data(self.shared.corrections, case.museum, pieces)
        for piece, document, judged in standing:
            assert document is not None
            if not self.target.draft and not judged.approved:
                said = "; ".join(problem.message for problem in judged.problems) or "no curator has approved this piece"
                reason = f"{judged.state}: {said}"
                waiting.append(Waiting(case.subject.id, piece.id, reason))
                continue
            pages += piece.front.piece == "page"
            job = print_job(case, document, self.entries, draft=self.target.draft)
            told = _told(problems)
            made.append(piece_outputs(job, judged, first=pages == 1, problems=told, corrections=corrections))
        return tuple(made), tuple(waiting)

    def _broken_page(self, name: str, problems: Sequence[Problem]) -> tuple[Composed, ...]:
        """In place of a page that cannot be made, what to mend; drafts only."""
        if self.target is None or not self.target.draft:
            return ()
        from builder.output import broken_page

        return (broken_page(name, _told(problems)),)

    def _horizon(self, subject: Subject, standing: Iterable[Standing]) -> str:
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
        days += [judged.lapses for judged in standing if judged.lapses]
        return min(days).isoformat() if days else ""

    def _entry(self, outcome: Outcome) -> dict[str, Any]:
        key = self.dependence.key(outcome.id, outcome.sources, outcome.others)
        return {"key": key, "day": self.today.isoformat(), "kind": self._kind, **outcome.as_plain()}

    @property
    def _kind(self) -> str:
        """What was built when an entry was made: an entry made by a mere check serves no build."""
        return "check" if self.target is None else "draft" if self.target.draft else "public"

    def _remembered(self, name: str) -> Outcome | None:
        entry = self.memory.get(name)
        if entry is None or entry["key"] != self.dependence.key(name, entry["sources"], entry["others"]):
            return None
        today = self.today.isoformat()
        if not entry["day"] <= today or (entry["until"] and today >= entry["until"] and entry["day"] != today):
            return None
        outcome = outcome_from_plain(name, entry)
        if self.target:
            outputs = {output.path: output.digest for piece in outcome.composed for output in piece.outputs}
            if entry["kind"] != self._kind or not is_current(self.target.work, outputs):
                return None
        self.memory.keep(name, entry)
        return outcome

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


def _walk_all(
    road: Road, names: Sequence[str], told: Callable[[int, int], None] | None, *, alone: bool
) -> Iterator[Walked]:
    """Walk the named records: here, or, where they are many, by one process for each core."""
    many = len(names) >= MANY and not alone
    size = 16 if many else 1
    chunks = [names[at : at + size] for at in range(0, len(names), size)]
    asked, done = dict(road.entries.asked), 0

    def walk(chunk: Sequence[str]) -> tuple[list[Walked], dict[str, Any], dict[str, str]]:
        road.entries.asked, before = {}, len(road.diets.fresh)
        walked = [road.walk_one(name) for name in chunk]
        return walked, road.entries.asked, dict(islice(road.diets.fresh.items(), before, None))

    for walked, entries, diets in spread(walk, chunks) if many else map(walk, chunks):
        road.diets.fresh.update(diets)
        road.entries.known.update(entries)
        asked.update(entries)
        yield from walked
        done += len(walked)
        if told:
            told(done, len(names))
    road.entries.asked = asked
