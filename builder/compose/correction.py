"""Corrections as plain data for the public: page, feed and linked data are made of it.

In: `corrections.yml` as read, the people, and the pieces that go out. Out: newest first, by allow-list: what was said,
what is said now, why, who decided by role, when, every place with its tick. What is still to be done at a place is for
staff and stays behind, as does the name of whoever decided.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NotRequired, TypedDict

from builder.model.correction import Correction
from builder.model.museum import Museum
from builder.weigh.date import parse_date


class PlaceData(TypedDict):
    """One place where the words hung; `done` is the day on which it was mended there."""

    where: str
    done: NotRequired[str]


class CorrectionData(TypedDict):
    """One correction. `title` and `use` are those of the piece; `changed` its latest day that can be read, or empty."""

    id: str
    record: str
    piece: str
    title: str
    use: str
    kind: str
    was: str
    now: str
    why: str
    role: str
    date: str
    changed: str
    open: bool
    places: list[PlaceData]


def correction_data(
    corrections: Mapping[str, Correction], museum: Museum, pieces: Mapping[tuple[str, str], tuple[str, str]]
) -> list[CorrectionData]:
    """The corrections of the pieces that go out, newest first. `pieces` maps record and piece to title and use."""
    made: list[CorrectionData] = []
    for key, correction in corrections.items():
        record, _, piece = correction.piece.partition("/")
        if (record, piece) not in pieces:
            continue
        title, use = pieces[record, piece]
        person = museum.people.get(correction.who)
        days = [correction.date, *(place.done or "" for place in correction.places)]
        places: list[PlaceData] = []
        for place in correction.places:
            data: PlaceData = {"where": place.where}
            if place.done:
                data["done"] = place.done
            places.append(data)
        made.append(
            {
                "id": key,
                "record": record,
                "piece": piece,
                "title": title,
                "use": use,
                "kind": correction.kind,
                "was": correction.was,
                "now": correction.now,
                "why": correction.why,
                "role": person.role if person else "",
                "date": correction.date,
                "changed": max(filter(is_day, days), default=""),
                "open": bool(correction.unticked),
                "places": places,
            }
        )
    made.reverse()  # of one day, the last in the file comes first
    return sorted(made, key=lambda row: row["date"], reverse=True)


def is_day(text: str) -> bool:
    """Whether a text is one whole day of the calendar. `check` reports another; drafts are made all the same."""
    read = parse_date(text)
    return read is not None and len(text) == 10 and read.first is not None and read.first == read.last


def corrections_of(rows: Iterable[CorrectionData], record: str, piece: str = "") -> list[CorrectionData]:
    """The corrections of a record, or of one of its pieces."""
    return [row for row in rows if row["record"] == record and piece in ("", row["piece"])]
