"""What one record leaves to do: leads, dates, and pieces that curators have to look at, each as one row.

In: a case and how its pieces stand. Out: `Task`s, the same on every day on which the pieces stand the same: whether a
date has come is for the reader of the list to say, so that tasks can be remembered with the record.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any, NamedTuple

from builder.approve.people import people_changes
from builder.approve.standing import Standing
from builder.check.case import Case
from builder.check.engine import place
from builder.check.showing.missing_caution import review_day
from builder.compose.caution import DEFERRAL
from builder.model.record import Claim, SourceEvidence
from builder.problem import Path, Spot
from builder.weigh.date import parse_date

SAMPLED = ("experiment", "measurement", "observation")
"""Evidence of these kinds comes from a number of animals, samples or sites, which a reader will ask for."""


class Task(NamedTuple):
    """One thing to do: of which `kind`, what it is, where it stands, what to do next.

    `id` tells it from all others of its kind and record. `due` is a day as 2026-11-25, empty where none is set; `parts`
    are the places or wants it consists of.
    """

    kind: str
    record: str
    id: str
    what: str
    file: str
    line: int
    next: str
    due: str = ""
    parts: tuple[str, ...] = ()

    def as_plain(self) -> list[Any]:
        """Plain data, for the memory."""
        return [*self[:-1], list(self.parts)]


def task_from_plain(row: list[Any]) -> Task:
    """The task that `as_plain` made plain."""
    return Task._make([*row[:-1], tuple(row[-1])])


def find_tasks(case: Case, standing: Iterable[Standing]) -> Iterator[Task]:
    """All that a record leaves to do, in the order of its files."""
    for judged in standing:
        yield from _decisions(case, judged)
    yield from _rechecks(case)
    yield from _hazards(case)
    yield from _waivers(case)
    for key, claim in case.record.claims.items():
        if claim.lead:
            line = _line(case, ("claims", key), at_key=True)
            what = claim.statement or claim.belief or "(no statement yet)"
            mend = "add what it lacks, see `vouchered weigh` on the record, then delete `lead: true`"
            wants = tuple(_wants(case, claim)) or ("nothing: weigh it, and decide",)
            yield Task("lead", case.subject.id, key, what, _file(case), line, mend, parts=wants)


def _file(case: Case) -> str:
    return f"{case.subject.loaded.folder}/record.yml"


def _line(case: Case, path: Path, *, at_key: bool = False) -> int:
    tree = case.subject.loaded.trees.get(_file(case))
    return (tree.find_spot(path, at_key=at_key) if tree else Spot()).line


def _decisions(case: Case, judged: Standing) -> Iterator[Task]:
    """A piece that may not go out, or one whose approval will lapse; who may decide, where that has changed."""
    record, piece = case.subject.id, judged.piece.rpartition("/")[2]
    loaded = case.subject.loaded
    file = f"{loaded.folder}/{piece}.md"
    front = case.pieces[piece].front
    name = f"{front.piece} “{front.title}”"
    command = f"`vouchered approve {judged.piece}`"
    if judged.approved:
        if judged.lapses:
            mend = f"read it again, and have it approved anew: {command}"
            what = f"the approval of {judged.piece}, {name}, lapses"
            yield Task("date", record, f"approval {piece}", what, file, 1, mend, judged.lapses.isoformat())
    elif judged.seen or judged.spoilt or judged.latest:
        told = [place(problem, loaded, "record.yml") for problem in judged.problems]
        spot = told[0].place if told else None
        said = "; ".join(problem.message for problem in told)
        mend = "; ".join(dict.fromkeys(problem.mend for problem in told)) or "have it approved"
        what = f"{judged.piece}, {name}: {judged.state}: {said}"
        where = (spot.file, spot.line) if spot else (file, 1)
        yield Task("approval", record, piece, what, *where, f"{mend}: {command}")
    else:
        signing = any(person.key for person in case.museum.people.values())
        mend = f"{judged.problems[0].mend}: {command}" if judged.problems else command
        if not signing:
            mend = "nobody has a key to sign with yet: `vouchered approve --new-key PERSON` makes one"
        yield Task("undecided", record, piece, name, file, 1, mend)
    latest = judged.latest.approval if judged.latest else None
    for said in people_changes(latest, case.museum):
        yield Task("people", record, piece, said, "museum.yml", 1, "see that somebody entitled wanted this")


def _rechecks(case: Case) -> Iterator[Task]:
    for key, claim in case.record.claims.items():
        read = parse_date(claim.recheck) if claim.recheck else None
        day = read and (read.first or read.last)
        if day:
            mend = "look whether newer work changes it, set `seen` of its sources, and give `recheck` a new date"
            yield _dated(case, f"claim {key}", f"look again at claim `{key}`", ("claims", key, "recheck"), mend, day)


def _hazards(case: Case) -> Iterator[Task]:
    for key, thing in case.record.objects.items():
        for name, hazard in thing.hazards.items():
            day = review_day(hazard.checked, case.rules.review_months) if hazard.checked else None
            if day:
                what = f"check `{name}` on `{key}` ({thing.catalogue_number}) again, last checked on {hazard.checked}"
                mend = f"have somebody qualified look at the object, and write the new date in `checked`. {DEFERRAL}"
                path = ("objects", key, "hazards", name, "checked")
                yield _dated(case, f"hazard {key} {name}", what, path, mend, day)


def _waivers(case: Case) -> Iterator[Task]:
    for index, waiver in enumerate(case.record.waive):
        read = parse_date(waiver.until)
        if read and read.last:
            what = f"the waiver of `{waiver.check}` at `{waiver.at}` ends ({waiver.who}: {waiver.reason})"
            mend = "mend what it covers, or have it renewed with a reason"
            known = f"waiver {waiver.check} {waiver.at}"
            yield _dated(case, known, what, ("waive", index, "until"), mend, read.last)


def _dated(case: Case, known: str, what: str, path: Path, mend: str, day: date) -> Task:
    return Task("date", case.subject.id, known, what, _file(case), _line(case, path), mend, day.isoformat())


def _wants(case: Case, claim: Claim) -> Iterator[str]:
    """What a lead lacks before anybody can vouch for it."""
    if not claim.statement:
        yield "`statement`"
    if claim.belief and not claim.held_by:
        yield "`held_by`: who says so"
    for citation in claim.held_by:
        if not citation.locator:
            yield f"where in `{citation.source}` the belief stands"
    if claim.belief and not claim.why:
        yield "`why`"
    if not claim.evidence:
        yield "`evidence`"
    for evidence in claim.evidence:
        if not isinstance(evidence, SourceEvidence):
            continue
        if not evidence.locator:
            yield f"the locator in `{evidence.source}`"
        if evidence.n is None and evidence.basis in SAMPLED:
            yield f"`n`, the sample of `{evidence.source}`"
    cited = [citation.source for citation in claim.held_by]
    cited += [each.source for each in claim.evidence if isinstance(each, SourceEvidence)]
    for key in dict.fromkeys(cited):
        source = case.library.sources.get(key)
        if source is None:
            yield f"an entry for `{key}` in sources.yml"
        elif source.seen is None:
            yield f"the day on which somebody had `{key}` in hand"
    if not claim.stands:
        yield "`stands`"
