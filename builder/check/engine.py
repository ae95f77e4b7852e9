"""Run the checks on a case, give every problem its place, apply waivers, sort.

In: a `Case` or the `Shelf`. Out: problems with places and severities. A check that raises is our fault and is let
through to the command, which says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from builder.check.case import Case, Shelf
from builder.check.registry import all_checks, find_check
from builder.load import Loaded
from builder.load.shape import suggest
from builder.load.yamltext import YamlTree
from builder.model.piece import Piece
from builder.model.record import Waiver
from builder.problem import ERROR, WARNING, Place, Problem
from builder.weigh.date import date_fault, parse_date


def check_case(case: Case) -> Iterator[Problem]:
    """Every problem of one record, placed, waivers not yet applied."""
    loaded = case.subject.loaded
    for check in all_checks():
        if check.function is None:
            continue
        if check.scope == "record":
            found = ((problem, "record.yml") for problem in check.function(case))
            yield from (place(problem, loaded, file) for problem, file in found)
        else:
            for file, piece in case.texts:
                yield from (place(problem, loaded, file) for problem in check.function(case, piece))


def check_shelf(shelf: Shelf) -> Iterator[Problem]:
    """Every problem of what all records share, placed."""
    trees = shelf.library.shared.trees
    for check in all_checks():
        if check.shelf_function is None:
            continue
        for problem in check.shelf_function(shelf):
            file = f"{shelf.library.folder}/{problem.file or 'sources.yml'}"
            yield graded(_in_tree(problem, file, trees.get(file)))


def place(problem: Problem, loaded: Loaded, file: str) -> Problem:
    """Give a problem of a record its place and its severity."""
    if problem.place is None:
        path = f"{loaded.folder}/{problem.file or file}"
        problem = _in_tree(problem, path, loaded.trees.get(path))
    return graded(problem)


def _in_tree(problem: Problem, file: str, tree: YamlTree | None) -> Problem:
    spot = problem.spot or (tree.find_spot(problem.path, at_key=problem.at_key) if tree else None)
    where = Place(file, spot.line, spot.column, spot.length) if spot else Place(file)
    return replace(problem, place=where)


def graded(problem: Problem) -> Problem:
    """The problem with the severity of its check, unless it has its own."""
    if problem.severity is not None:
        return problem
    check = find_check(problem.check)
    return replace(problem, severity=check.severity if check else ERROR)


def apply_waivers(case: Case, problems: Iterable[Problem]) -> list[Problem]:
    """Take out what a valid waiver covers; say which waivers are expired, idle, or not possible."""
    kept = list(problems)
    loaded = case.subject.loaded
    for index, waiver in enumerate(case.record.waive):
        fault = _waiver_fault(case, waiver, index)
        if fault is None:
            covered = [problem for problem in kept if _covers(waiver, problem, case)]
            if covered:
                kept = [problem for problem in kept if problem not in covered]
                continue
            message = f"the waiver of `{waiver.check}` at `{waiver.at}` hides nothing"
            fault = Problem("unused-entry", message, "delete it", path=("waive", index), severity=WARNING)
        kept.append(place(fault, loaded, "record.yml"))
    return kept


def _waiver_fault(case: Case, waiver: Waiver, index: int) -> Problem | None:
    path = ("waive", index, "check")
    check = find_check(waiver.check)
    if check is None:
        names = [known.name for known in all_checks()]
        message = f"there is no check `{waiver.check}`{suggest(waiver.check, names)}"
        return Problem("unknown-reference", message, "write the name as the report prints it", path=path)
    if not check.waivable:
        message = f"`{waiver.check}` cannot be waived"
        mend = (
            "mend what it reports; faults of sourcing, privacy and approval stop publication whoever answers for them"
        )
        return Problem("wrong-shape", message, mend, path=path)
    until = parse_date(waiver.until)
    if until is None:
        message = f"`until`: {date_fault(waiver.until)}"
        return Problem("bad-identifier", message, "write a day such as `2027-01-01`", path=("waive", index, "until"))
    if until.last is None:
        message = f"the waiver of `{waiver.check}` has no last day: `until: {waiver.until}` never comes"
        return Problem("wrong-shape", message, "write a day such as `2027-01-01`", path=("waive", index, "until"))
    if until.last < case.today:
        message = f"the waiver of `{waiver.check}` ended on {waiver.until}"
        mend = "mend what it covered, or have it renewed with a reason"
        return Problem("unused-entry", message, mend, path=("waive", index, "until"), severity=WARNING)
    return None


def _covers(waiver: Waiver, problem: Problem, case: Case) -> bool:
    check = find_check(waiver.check)
    if check is None or problem.check != check.name or problem.place is None:
        return False
    loaded = case.subject.loaded
    at, _, words = waiver.at.partition(": ")
    if at.endswith(".md"):
        if problem.place.file != f"{loaded.folder}/{at}":
            return False
        piece = loaded.pieces.get(at.removesuffix(".md"))
        return not words or bool(piece and _stands_in(problem, piece, words.strip().rstrip("…").rstrip(".")))
    if problem.place.file != f"{loaded.folder}/record.yml":
        return False
    path = tuple(int(part) if part.isdigit() else part for part in waiver.at.split("/"))
    return problem.path[: len(path)] == path


def _stands_in(problem: Problem, piece: Piece, words: str) -> bool:
    """Whether the problem's line belongs to a sentence that holds these words."""
    assert problem.place is not None
    line = problem.place.line
    for block in piece.blocks:
        for sentence in block.sentences:
            lines = (
                [row for _, row, _ in sentence.origin] + [sentence.spot.line] + [m.spot.line for m in sentence.marks]
            )
            if words in sentence.text and min(lines) <= line <= max(lines):
                return True
    return False


def sort_problems(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """By file, line, column, check; each problem once."""
    return tuple(sorted(dict.fromkeys(problems), key=lambda problem: problem.order))


__all__ = ["WARNING", "apply_waivers", "check_case", "check_shelf", "graded", "place", "sort_problems"]
