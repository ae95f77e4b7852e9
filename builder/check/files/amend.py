"""What the checks of files ask of `corrections.yml`: that every entry names things there are, on days that can be."""

from __future__ import annotations

from collections.abc import Iterator

from builder.check.case import Shelf
from builder.load.shape import suggest
from builder.model.correction import Correction
from builder.problem import WARNING, Path, Problem
from builder.resolve import claim_node
from builder.weigh.date import date_fault, parse_date

FILE = "corrections.yml"
DAY = "write the day as `2026-11-25`"


def lost_references(shelf: Shelf, check: str) -> Iterator[Problem]:
    """Pieces, claims and people that corrections name and that there are not.

    A piece that is gone is an error while a place of it waits, later a warning: what was said stays on the record.
    """
    library = shelf.library
    for key, correction in library.shared.corrections.items():
        yield from _lost_piece(shelf, check, key, correction)
        people = library.museum.people
        if people and correction.who not in people:
            message = f"there is no person `{correction.who}` in museum.yml{suggest(correction.who, people)}"
            mend = f"correct the id, or add `{correction.who}` to `people` in museum.yml"
            yield Problem(check, message, mend, path=(key, "who"), file=FILE)
        yield from _lost_claim(shelf, check, key, correction)


def _lost_claim(shelf: Shelf, check: str, key: str, correction: Correction) -> Iterator[Problem]:
    if not correction.claim:
        return
    library, path = shelf.library, (key, "claim")
    record = correction.piece.partition("/")[0]
    node = claim_node(record, correction.claim)
    owner = library.fetch(node.record) if node.record in library.record_ids else None
    if owner is None:
        if node.record != record:  # else the piece was named already
            message = f"there is no record `{node.record}`{suggest(node.record, library.record_ids)}"
            yield Problem(check, message, "correct the id", path=path, file=FILE)
    elif owner.record and node.id not in owner.record.claims and not {("claims",), ("claims", node.id)} & owner.broken:
        message = f"there is no claim `{node.id}` in `{node.record}`{suggest(node.id, owner.record.claims)}"
        mend = "correct the id: `claim`, or `record.claim` for one of another record"
        yield Problem(check, message, mend, path=path, file=FILE)


def _lost_piece(shelf: Shelf, check: str, key: str, correction: Correction) -> Iterator[Problem]:
    library, path = shelf.library, (key, "piece")
    record, slash, piece = correction.piece.partition("/")
    grade = None if correction.unticked else WARNING
    if not slash or not piece:
        message = f"`piece: {correction.piece}` names no piece"
        yield Problem("wrong-shape", message, "write `record/piece`, such as `newt/label`", path=path, file=FILE)
        return
    loaded = library.fetch(record) if record in library.record_ids else None
    if loaded is None:
        message = f"there is no record `{record}`{suggest(record, library.record_ids)}"
        yield Problem(check, message, "correct the id", path=path, file=FILE, severity=grade)
    elif piece not in loaded.pieces and f"{piece}.md" not in loaded.files:
        message = f"there is no piece `{piece}` in the record `{record}`{suggest(piece, loaded.pieces)}"
        yield Problem(check, message, "correct the id", path=path, file=FILE, severity=grade)


def bad_dates(shelf: Shelf, check: str) -> Iterator[Problem]:
    """Days of corrections and ticks that cannot be read, are no single day, or are still to come."""
    for key, correction in shelf.library.shared.corrections.items():
        dates: list[tuple[Path, str]] = [((key, "date"), correction.date)]
        dates += [
            ((key, "places", index, "done"), place.done) for index, place in enumerate(correction.places) if place.done
        ]
        for path, text in dates:
            fault = date_fault(text)
            read = parse_date(text)
            if fault:
                yield Problem(check, f"`{path[-1]}`: {fault}", DAY, path=path, file=FILE)
            elif read is None or read.first is None or read.first != read.last or read.level:
                yield Problem(check, f"`{path[-1]}: {text}` is no single day", DAY, path=path, file=FILE)
            elif read.first > shelf.today:
                mend = "write the day on which it was done, once it is"
                yield Problem(check, f"`{path[-1]}: {text}` is still to come", mend, path=path, file=FILE)


def ticks_before_time(shelf: Shelf, check: str) -> Iterator[Problem]:
    """Places that were ticked before the correction was decided."""
    for key, correction in shelf.library.shared.corrections.items():
        decided = parse_date(correction.date)
        for index, place in enumerate(correction.places):
            done = parse_date(place.done) if place.done else None
            if decided and done and decided.first and done.last and done.last < decided.first:
                message = f"`{place.where}` was ticked on {place.done}, before the correction of {correction.date}"
                mend = "mend the day that is wrong, or take the tick away"
                yield Problem(check, message, mend, path=(key, "places", index, "done"), file=FILE)
