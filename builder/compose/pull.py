"""The pull list: which objects to fetch for some pieces, in the order of the store, with their cautions and slips.

In: pieces with their cases, and when the objects go out and come back. Out: plain data for staff, with the shelf of
each object. It is made from the models, never from documents, which hold no shelf, and must go nowhere but to staff.

Order: the museum's own number of the family, then genus, species, catalogue number; families without a number come
last. An object is wanted from half an hour before a piece is held until its slot is over, an hour where it has none,
all day where no hour is given: be there half an hour early (*The Interpreter's Handbook*, US National Park Service);
the hour is our choice.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta
from typing import NotRequired, TypedDict

from builder.check.case import Case
from builder.check.showing.missing_caution import unspoken_dangers
from builder.check.showing.not_visible_here import INSTRUMENTS, objects_showing
from builder.compose.caution import DEFERRAL, NOTHING_KNOWN, CautionData, caution, object_cautions
from builder.compose.specimen import object_name
from builder.model.piece import Piece
from builder.model.record import Anatomy

EARLY = timedelta(minutes=30)
USUAL = timedelta(minutes=60)
DIGITS = re.compile(r"([0-9]+)")

Wanted = tuple[Case, Piece]


class NeedData(TypedDict):
    """A piece that an object is needed for."""

    record: str
    piece: str
    kind: str
    title: str
    held: list[str]


class PullRow(TypedDict):
    """One object to fetch. `place` is the museum's number of its family, `unseen` what it does not show and why."""

    number: int
    record: str
    object: str
    place: str
    family: str
    scientific: str
    common: str
    catalogue_number: str
    preparation: str
    collection: str
    container: str
    store: str
    fluid: str
    cautions: list[CautionData]
    warning: NotRequired[str]
    needed_for: list[str]
    unseen: list[list[str]]


class SharedCaution(TypedDict):
    """One caution, and the numbers of the objects on the list that it is about."""

    caution: CautionData
    numbers: list[int]


class PullList(TypedDict):
    """A whole list; `warnings` are to be read before anything is fetched."""

    museum: str
    language: str
    notice: str
    scheme: str
    out_by: str
    back_by: str
    deferral: str
    pieces: list[NeedData]
    rows: list[PullRow]
    cautions: list[SharedCaution]
    warnings: list[str]


def pull_list(wanted: Sequence[Wanted], *, out_by: str = "", back_by: str = "") -> PullList:
    """The list for those pieces, in the order given, each once; `out_by` and `back_by` are printed as they stand."""
    museum = wanted[0][0].museum
    needed: dict[tuple[str, str], list[Wanted]] = {}
    for case, piece in wanted:
        for key in objects_wanted(case, piece):
            needed.setdefault((case.subject.id, key), []).append((case, piece))
    order = museum.storage_order
    numbers = {_fold(family): number for family, number in order.families.items()} if order else {}
    rows = [_row(key, uses, numbers) for (_, key), uses in needed.items()]
    rows.sort(key=lambda row: _sort_key(row, numbers))
    for number, row in enumerate(rows, 1):
        row["number"] = number
    return {
        "museum": museum.name,
        "language": museum.language,
        "notice": museum.notice or "",
        "scheme": order.scheme if order else "",
        "out_by": out_by,
        "back_by": back_by,
        "deferral": DEFERRAL,
        "pieces": [_need(case, piece) for case, piece in wanted],
        "rows": rows,
        "cautions": _shared(rows),
        "warnings": list(dict.fromkeys(_warnings(wanted, needed, rows, numbers))),
    }


def objects_wanted(case: Case, piece: Piece) -> tuple[str, ...]:
    """The objects of a piece: those it names, else those that show what it points at, else all of its record."""
    objects = case.record.objects
    named = tuple(key for key in piece.front.objects if key in objects)
    if named:
        return tuple(dict.fromkeys(named))
    notes = [(cue, case.record.anatomy[cue]) for cue in _cues(case, piece)]
    shown = {key for cue, note in notes for key in objects_showing(case, cue, note)}
    return tuple(key for key in objects if key in shown) or tuple(objects)


def _row(key: str, uses: Sequence[Wanted], numbers: dict[str, int]) -> PullRow:
    case = uses[0][0]
    name, thing = case.record.name, case.record.objects[key]
    collection = case.museum.collections.get(thing.collection)
    cautions = object_cautions(thing.hazards.items())
    for danger, what, _ in unspoken_dangers(thing, f"{name.common} {name.scientific or ''}"):
        cautions.append(caution(danger.hazard, "unknown", note=f"Not recorded, but this is “{what}”"))
    cues = dict.fromkeys(cue for _, piece in uses for cue in _cues(case, piece))
    made: PullRow = {
        "number": 0,
        "record": case.subject.id,
        "object": key,
        "place": str(numbers.get(_fold(name.family or ""), "")),
        "family": name.family or "",
        "scientific": name.scientific or "",
        "common": name.common,
        "catalogue_number": thing.catalogue_number,
        "preparation": thing.preparation,
        "collection": collection.name if collection else thing.collection,
        "container": thing.container or "",
        "store": thing.store or "",
        "fluid": thing.fluid or "",
        "cautions": cautions,
        "needed_for": list(dict.fromkeys(piece.front.title for _, piece in uses)),
        "unseen": [[case.record.anatomy[cue].term, why] for cue, why in thing.hides.items() if cue in cues],
    }
    if not cautions:
        made["warning"] = NOTHING_KNOWN
    return made


def _shared(rows: Sequence[PullRow]) -> list[SharedCaution]:
    """Every caution of the list once."""
    found: dict[str, SharedCaution] = {}
    for row in rows:
        for one in row["cautions"]:
            found.setdefault(one["what"], {"caution": one, "numbers": []})["numbers"].append(row["number"])
    return list(found.values())


def _sort_key(row: PullRow, numbers: dict[str, int]) -> tuple[object, ...]:
    known = numbers.get(_fold(row["family"]))
    genus, _, species = _fold(row["scientific"]).partition(" ")
    return (
        known is None,
        known if known is not None else 0,
        "" if known is not None else _fold(row["family"]),
        genus,
        species,
        _natural(row["catalogue_number"]),
        row["record"],
        row["object"],
    )


def _natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Numbers inside a catalogue number count as numbers: B.9 before B.10."""
    parts = DIGITS.split(_fold(text))
    return tuple((1, int(part), part) if index % 2 else (0, 0, part) for index, part in enumerate(parts))


def _fold(text: str) -> str:
    return " ".join(text.casefold().split())


def _need(case: Case, piece: Piece) -> NeedData:
    front = piece.front
    return {
        "record": case.subject.id,
        "piece": piece.id,
        "kind": front.piece,
        "title": front.title,
        "held": list(front.held),
    }


def _cues(case: Case, piece: Piece) -> tuple[str, ...]:
    return tuple(
        dict.fromkeys(cue for sentence in piece.sentences for cue in sentence.cues if cue in case.record.anatomy)
    )


def _warnings(
    wanted: Sequence[Wanted],
    needed: dict[tuple[str, str], list[Wanted]],
    rows: Sequence[PullRow],
    numbers: dict[str, int],
) -> Iterator[str]:
    for case, piece in wanted:
        yield from _faults_of_piece(case, piece)
    for (_, key), uses in needed.items():
        yield from _clashes(key, uses)
    yield from _faults_of_order(wanted[0][0], rows, numbers)
    for row in rows:
        if not row["store"]:
            yield f"No shelf is recorded for {row['preparation']} {row['catalogue_number']}."
        if "warning" in row:
            yield f"No hazard is recorded for {row['preparation']} {row['catalogue_number']}; it may have one."


def _faults_of_piece(case: Case, piece: Piece) -> Iterator[str]:
    title = f"“{piece.front.title}”"
    keys = objects_wanted(case, piece)
    if not keys:
        yield f"{title} names no object, and its record has none: nothing is fetched for it."
        return
    if not piece.front.objects:
        yield f"{title} names no object; listed are those of its record that it may need."
    if piece.front.piece == "script":
        yield from _filming(case, title, keys)
    for cue in _cues(case, piece):
        fault = _hidden(case, cue, case.record.anatomy[cue], keys)
        if fault:
            yield f"{title} points at the {case.record.anatomy[cue].term}: {fault}"


def _filming(case: Case, title: str, keys: Iterable[str]) -> Iterator[str]:
    for key in keys:
        thing = case.record.objects[key]
        collection = case.museum.collections.get(thing.collection)
        if collection is None or collection.filming == "allowed":
            continue
        rule = "is forbidden" if collection.filming == "forbidden" else "must be asked for"
        because = f": {collection.because}" if collection.because else ""
        yield f"{title} is a script; filming {object_name(thing)} ({collection.name}) {rule}{because}."


def _hidden(case: Case, cue: str, note: Anatomy, keys: Sequence[str]) -> str:
    """Why nobody will see a thing on the objects fetched, and which object of the record shows it."""
    objects = case.record.objects
    shown = objects_showing(case, cue, note)
    if any(key in shown for key in keys):
        how = INSTRUMENTS.get(note.seen_by)
        return f"it is known from {how}, nobody sees it by eye." if how else ""
    reasons = [
        f"{object_name(objects[key])} hides it ({objects[key].hides[cue]})" for key in keys if cue in objects[key].hides
    ]
    why = "; ".join(reasons) or "no object on this list shows it"
    instead = ", ".join(object_name(objects[key]) for key in shown)
    return f"{why}. {f'It shows on {instead}' if instead else 'No object of its record shows it'}."


def _clashes(key: str, uses: Sequence[Wanted]) -> Iterator[str]:
    """The pieces of the record, on the list or not, that want the same object at the same time as one on it."""
    case = uses[0][0]
    thing = case.record.objects[key]
    listed = {piece.id for _, piece in uses}
    rivals = [piece for piece in case.pieces.values() if piece.front.held and key in objects_wanted(case, piece)]
    for index, first in enumerate(rivals):
        for second in rivals[index + 1 :]:
            if not listed & {first.id, second.id}:
                continue
            for one, other in _overlaps(first, second):
                yield (
                    f"Wanted twice: {object_name(thing)} for “{first.front.title}” ({one}) and “{second.front.title}” "
                    f"({other})."
                )


def _overlaps(first: Piece, second: Piece) -> Iterator[tuple[str, str]]:
    for one in first.front.held:
        for other in second.front.held:
            (start, end), (begin, stop) = span_of(first, one), span_of(second, other)
            if start < stop and begin < end:
                yield one, other


def span_of(piece: Piece, held: str) -> tuple[datetime, datetime]:
    """From when to when the objects of a piece are wanted that is held then."""
    start = datetime.fromisoformat(held)
    try:
        if len(held) == 10:
            return start, start + timedelta(days=1)
        slot = piece.front.slot
        return start - EARLY, start + (timedelta(minutes=float(slot)) if slot else USUAL)
    except OverflowError:  # the first or the last day of the calendar, or a slot of ages
        return start, datetime.max


def _faults_of_order(case: Case, rows: Sequence[PullRow], numbers: dict[str, int]) -> Iterator[str]:
    if not numbers:
        yield "museum.yml gives no storage order: the list goes by family, genus and species."
        return
    for family in dict.fromkeys(row["family"] for row in rows if _fold(row["family"]) not in numbers):
        scheme = case.museum.storage_order.scheme if case.museum.storage_order else ""
        if family:
            yield f"{family} has no number in {scheme}: its objects come last."
        else:
            yield "Some records name no family: their objects come last."
