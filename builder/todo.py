"""What there is to do in a museum, the most pressing first, and the list as text and as JSON.

In: a road and the verdict of its walk. Out: a `Todo`: sections in a fixed order, each with its tasks. Only records that
rest on a withdrawn source are read for it; all else was remembered with each record.
"""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import groupby

from builder.approve.warrant import months_later
from builder.outcome import Outcome
from builder.problem import Place, Spot
from builder.resolve.library import Subject
from builder.resolve.reference import Node
from builder.resolve.uses import Use, find_uses
from builder.road import Road, Verdict
from builder.task import Task
from builder.weigh.date import date_in_words, parse_date

SOON = timedelta(days=90)
"""How far ahead the text looks (our choice: a season); JSON and calendar hold every date."""
HEADS = {
    "withdrawn": ("Withdrawn sources that something still rests on", "withdrawn source", "withdrawn sources"),
    "correction": ("Corrections not yet made everywhere", "open correction", "open corrections"),
    "approval": (
        "Pieces whose approval no longer counts, or that wait for an answer",
        "piece to decide on anew",
        "pieces to decide on anew",
    ),
    "people": ("Who may approve has changed since pieces were decided on", "change of people", "changes of people"),
    "undecided": ("Pieces nobody has decided on", "undecided piece", "undecided pieces"),
    "date": ("Dates: re-checks, hazards, waivers and approvals that end", "date", "dates"),
    "stale": ("Sources nobody has had in hand for too long", "source to look up", "sources to look up"),
    "lead": ("Leads, and what each lacks", "lead", "leads"),
    "unread": ("Left out above: entries that cannot be read", "unreadable entry", "unreadable entries"),
}
"""The kinds of task, in the order in which they are told: its heading, and the names of one and of several."""
PRESSING = ("withdrawn", "correction", "approval", "people", "unread")
CUT = ("unreadable-file", "wrong-shape", "repeated-key")
KEPT = "\x00"
"""Stands for a blank at which no row may be broken; no text of a workspace holds it."""
TOLD_ASIDE = ("held_by", "history")
"""That somebody said so stays true when they withdraw it: these rest on no source."""


@dataclass(frozen=True)
class Todo:
    """All tasks of a museum on a day, by kind, in the order of `HEADS`."""

    museum: str
    today: date
    tasks: Mapping[str, tuple[Task, ...]]

    @property
    def dated(self) -> tuple[Task, ...]:
        """Every task with a day, earliest first."""
        found = [task for tasks in self.tasks.values() for task in tasks if task.due]
        return tuple(sorted(found, key=lambda task: (task.due, task.record, task.id)))

    def shown(self, kind: str) -> tuple[Task, ...]:
        """The tasks of a kind that the text tells: all but those whose day is far."""
        last = self.horizon
        return tuple(task for task in self.tasks.get(kind, ()) if task.due <= last)

    @property
    def horizon(self) -> str:
        """The last day that the text looks ahead to."""
        return (self.today + min(SOON, date.max - self.today)).isoformat()

    @property
    def pressing(self) -> bool:
        """Whether something must not wait: a day that has come, or what keeps the public from the truth."""
        today = self.today.isoformat()
        return any(self.tasks.get(kind) for kind in PRESSING) or any(task.due <= today for task in self.dated)


def list_todo(road: Road, verdict: Verdict) -> Todo:
    """Everything to do on the day of the road, which asks for tasks; `verdict` is of a walk of all records."""
    assert road.tasks, "a road that asks for no tasks finds none"
    found = [
        *_withdrawn(road, verdict.outcomes),
        *_corrections(road),
        *(task for outcome in verdict.outcomes for task in outcome.tasks if task.kind != "people"),
        *_people(road, verdict.outcomes),
        *_stale(road, verdict.outcomes),
        *_unread(verdict),
    ]
    by_kind = {kind: [task for task in found if task.kind == kind] for kind in HEADS}
    for kind in ("date", "stale"):
        by_kind[kind].sort(key=lambda task: (task.due, task.record, task.line, task.id))
    return Todo(road.shared.museum.name, road.today, {kind: tuple(tasks) for kind, tasks in by_kind.items() if tasks})


def _shared_place(road: Road, file: str, *path: str | int, at_key: bool = False) -> tuple[str, int]:
    name = f"{road.workspace.records}/{file}"
    tree = road.shared.trees.get(name)
    return name, (tree.find_spot(path, at_key=at_key) if tree else Spot()).line


def _withdrawn(road: Road, outcomes: Iterable[Outcome]) -> Iterator[Task]:
    """Each withdrawn source with everything that rests on it: all of that is open again."""
    sources = road.library.sources
    gone = [key for key, source in sources.items() if source.withdrawn]
    if not gone:
        return
    drawn = {key: source.draws_on or () for key, source in sources.items()}
    subjects = _subjects_resting(road, outcomes, set(gone))
    for key in gone:
        uses = find_uses(subjects, drawn, Node("source", "", key))
        if not any(use.node.kind != "source" for use in uses):
            continue
        parts = tuple(_use(road, use) for use in uses)
        what = f"`{key}` was withdrawn: {' '.join((sources[key].withdrawn or '').split())}"
        mend = (
            "find a source that stands without it, or make the claim a lead; cover up at once what no longer holds; "
            f"`vouchered uses {key}`"
        )
        yield Task("withdrawn", "", key, what, *_shared_place(road, "sources.yml", key, "withdrawn"), mend, parts=parts)


def _subjects_resting(road: Road, outcomes: Iterable[Outcome], gone: set[str]) -> dict[str, Subject]:
    """The records that name one of the sources, or one that draws on it, and those that refer to such a record."""
    outcomes = tuple(outcomes)
    wanted = {o.id for o in outcomes if any(gone.intersection(road.library.drawn_on(key)) for key in o.sources)}
    while more := {o.id for o in outcomes if wanted.intersection(o.others)} - wanted:
        wanted |= more
    found = {name: road.subject(name) for name in road.workspace.folders if name in wanted}
    return {name: _without_told(subject) for name, subject in found.items() if subject}


def _without_told(subject: Subject) -> Subject:
    kept = tuple(
        r for r in subject.references if not (r.path[:1] == ("claims",) and str(r.path[2]) in TOLD_ASIDE)
    )  # fmt: skip
    return replace(subject, references=kept)


def _use(road: Road, use: Use) -> str:
    record = f"{use.node.record}: " if use.node.record else ""
    line = f"{use.file}:{use.line}"
    if use.node.kind == "source":
        line = ":".join(map(str, _shared_place(road, "sources.yml", use.node.id, at_key=True)))
    hangs = f"; hangs at: {'; '.join(use.hangs_at)}" if use.hangs_at else ""
    return f"{record}{use.label}{hangs} ({line})"


def _corrections(road: Road) -> Iterator[Task]:
    for key, correction in road.shared.corrections.items():
        if correction.unticked:
            what = f"`{key}`: in {correction.piece}, “{correction.was}” is put right to “{correction.now}”"
            parts = tuple(
                f"{number}. {hanging.where}{f': {hanging.do}' if hanging.do else ''}"
                for number, hanging in correction.unticked
            )
            tick = f"{'tick it' if len(parts) == 1 else 'tick each'} when done: `vouchered correct --tick {key}/PLACE`"
            where = _shared_place(road, "corrections.yml", key, at_key=True)
            yield Task("correction", correction.piece.partition("/")[0], key, what, *where, tick, parts=parts)


def _people(road: Road, outcomes: Iterable[Outcome]) -> Iterator[Task]:
    """Each change of who may approve, once, with the pieces last decided on before it."""
    pieces: dict[str, list[str]] = {}
    for outcome in outcomes:
        for task in outcome.tasks:
            if task.kind == "people":
                pieces.setdefault(task.what, []).append(f"{outcome.id}/{task.id}")
    for what, names in pieces.items():
        named = re.search("`([^`]+)`", what)
        who = named[1] if named else ""
        where = _shared_place(road, "museum.yml", "people", who, at_key=True)
        since = f"decided on before: {', '.join(names)}"
        mend = "see that the museum wants this; it is shown again at the next review of these pieces"
        yield Task("people", "", f"{who} {what}", what, *where, mend, parts=(since,))


def _stale(road: Road, outcomes: Iterable[Outcome]) -> Iterator[Task]:
    """Each source that something rests on, with the day on which it counts as old."""
    months = road.library.rules.source_months
    resting = {source for outcome in outcomes for source in outcome.resting}
    for key, source in road.library.sources.items():
        if key not in resting or source.withdrawn:
            continue
        read = parse_date(source.seen) if source.seen else None
        if source.seen is None:
            mend = "look it up and add `seen:` with the day; if you cannot, cite the work in which you found it"
            where = _shared_place(road, "sources.yml", key, at_key=True)
            yield Task("stale", "", key, f"`{key}`: nothing says when a person last had it in hand", *where, mend)
        elif read and read.last:
            mend = "look whether it still says so, and was not corrected or withdrawn; then set `seen` to that day"
            due = min(months_later(read.last, months), date.max - timedelta(days=1)) + timedelta(days=1)
            what = f"have `{key}` in hand again, last seen on {source.seen}"
            where = _shared_place(road, "sources.yml", key, "seen")
            yield Task("stale", "", key, what, *where, mend, due.isoformat())


def _unread(verdict: Verdict) -> Iterator[Task]:
    for problem in verdict.problems:
        if problem.check in CUT:
            spot = problem.place or Place("")
            known = f"{spot.file}:{spot.line}:{spot.column}"
            yield Task("unread", "", known, problem.message, spot.file, spot.line, "mend it: `vouchered check`")


def todo_text(todo: Todo, *, style: Callable[[str], str] = str) -> str:
    """The list for people; `style` sets off a heading on a terminal."""
    day = date_in_words(todo.today.isoformat())
    rows = [f"To do at {todo.museum}, {day}", ""]
    for kind, (head, _, _) in HEADS.items():
        tasks = todo.shown(kind)
        if tasks:
            rows += [style(f"{head} ({len(tasks)})"), *_section(todo, kind, tasks), ""]
    rows += _closing(todo)
    return "\n".join(rows) + "\n"


def _section(todo: Todo, kind: str, tasks: tuple[Task, ...]) -> Iterator[str]:
    """The tasks of one kind; what is next is told once where it is the same for all."""
    shared = tasks[0].next if len({task.next for task in tasks}) == 1 else ""
    if kind == "undecided":
        for record, group in groupby(tasks, key=lambda task: task.record):
            yield from _wrapped(f"{record}: {', '.join(task.id for task in group)}", "  ")
        yield from _wrapped(f"next: {shared or '`vouchered review` shows each, to be signed there'}", "  ")
        return
    for task in tasks:
        when = f"{_when(todo.today, task.due)}: " if task.due else ""
        owner = {"date": f"{task.record}: ", "lead": f"{task.record}.{task.id}: "}.get(kind, "")
        yield from _wrapped(f"{when}{owner}{task.what}", "  ")
        if kind == "lead":
            yield from _wrapped(f"lacks {'; '.join(task.parts)}", "      ")
        yield f"      {task.file}:{task.line}"
        if kind != "lead":
            box = "[ ] " if kind == "correction" else ""
            yield from (row for part in task.parts for row in _wrapped(f"{box}{part}", "      "))
        if not shared:
            yield from _wrapped(f"next: {task.next}", "      ")
    if shared:
        yield from _wrapped(f"next: {shared}", "  ")


def _wrapped(text: str, indent: str) -> list[str]:
    """Rows of at most 100 letters; what stands in backticks, a command to copy, is not broken."""
    whole = re.sub("`[^`]{1,90}`", lambda found: found[0].replace(" ", KEPT), " ".join(text.split()))
    rows = textwrap.wrap(
        whole, 100, initial_indent=indent, subsequent_indent=f"{indent}    ",
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return [row.replace(KEPT, " ") for row in rows]


def _when(today: date, due: str) -> str:
    days = (date.fromisoformat(due) - today).days
    if days == 0:
        return f"{due}, today"
    count = f"{abs(days)} day{'' if abs(days) == 1 else 's'}"
    return f"{due}, in {count}" if days > 0 else f"{due}, {count} ago"


def _closing(todo: Todo) -> Iterator[str]:
    counts = {kind: len(todo.shown(kind)) for kind in HEADS}
    told = [_many(count, HEADS[kind][1:]) for kind, count in counts.items() if count]
    if told:
        yield from _wrapped(f"{', '.join(told)}.", "")
    else:
        yield "Nothing to do."
    later = [task for task in todo.dated if task.due > todo.horizon]
    if later:
        last = date_in_words(todo.horizon)
        owner = f"{later[0].record}: " if later[0].record else ""
        first = f"the first on {date_in_words(later[0].due)}: {owner}{later[0].what}"
        yield from _wrapped(
            f"{_many(len(later), ('date', 'dates'))} after {last}, {first}. `--format ics` has them all.", ""
        )


def _many(count: int, names: tuple[str, ...]) -> str:
    return f"{count:,} {names[count != 1]}"


def todo_json(todo: Todo) -> str:
    """The list as JSON: every task, with days however far, and the counts by kind."""
    today = todo.today.isoformat()
    rows = [
        {
            "kind": kind,
            "record": task.record,
            "id": task.id,
            "what": task.what,
            "file": task.file,
            "line": task.line,
            "due": task.due or None,
            "overdue": bool(task.due) and task.due < today,
            "parts": list(task.parts),
            "next": task.next,
        }
        for kind, tasks in todo.tasks.items()
        for task in tasks
    ]
    counts = {kind: len(todo.tasks.get(kind, ())) for kind in HEADS}
    plain = {"todo": {"museum": todo.museum, "on": today, "counts": counts, "tasks": rows}}
    return json.dumps(plain, ensure_ascii=False, indent=2) + "\n"
