"""The objects and pictures of a record, as far as they may be public.

In: a case. Out: plain data. No store, no exact place, no name that is kept back is taken over here.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

from builder.check.case import Case
from builder.compose.document import FigureData, HandlingData, ObjectData
from builder.compose.place import public_place
from builder.load.picture import picture_fault, public_picture
from builder.model.record import Object


def object_name(thing: Object) -> str:
    """What an object is called: `study skin SMNH.B.1887.14`."""
    return f"{thing.preparation} {thing.catalogue_number}"


def object_data(case: Case, key: str, thing: Object) -> ObjectData:
    """What the public may know of one object: an allow-list."""
    collection = case.museum.collections.get(thing.collection)
    place, withheld = public_place(thing.locality, case.rules)
    made: ObjectData = {
        "id": key,
        "catalogue_number": thing.catalogue_number,
        "preparation": thing.preparation,
        "collection": collection.name if collection else thing.collection,
        "shows": [note.term for note in case.record.anatomy.values() if key in note.visible_on],
        "hides": [[_part(case, part), why] for part, why in thing.hides.items()],
    }
    if thing.identified:
        made["identified"] = ", ".join(filter(None, (thing.identified.by, thing.identified.date)))
    if thing.collected:
        made["collected"] = thing.collected
    if place:
        made["place"] = place
    people = [
        f"{role} {party.name}"
        for role, party in (("collected by", thing.collector), ("given by", thing.donor))
        if party and party.show
    ]
    if people:
        made["people"] = people
    if any(party and not party.show for party in (thing.collector, thing.donor)):
        withheld.append("A private name is kept back.")
    if withheld:
        made["withheld"] = withheld
    if any(hazard.basis for hazard in thing.hazards.values()):
        made["caution"] = "Handled by trained staff only."
    if thing.note:
        made["note"] = thing.note
    return made


def handling_data(key: str, thing: Object) -> Iterator[HandlingData]:
    """The hazards of one object, as its record states them."""
    for hazard, known in thing.hazards.items():
        made: HandlingData = {"object": key, "hazard": hazard, "basis": known.basis}
        if known.checked:
            made["checked"] = known.checked
        if known.note:
            made["note"] = known.note
        yield made


def figure_data(case: Case) -> Iterator[FigureData]:
    """The record's pictures, by the digest of what is published of them; those that cannot be shown are left out."""
    files = case.subject.loaded.files
    for key, figure in case.record.figures.items():
        if figure.file not in files or picture_fault(figure.file, files[figure.file]):
            continue
        made: FigureData = {
            "id": key,
            "file": figure.file,
            "digest": hashlib.sha256(public_picture(figure.file, files[figure.file])).hexdigest(),
            "alt": figure.alt or "",
        }
        for name in ("caption", "credit", "licence"):
            value = getattr(figure, name)
            if value:
                made[name] = value
        yield made


def _part(case: Case, key: str) -> str:
    note = case.record.anatomy.get(key)
    return note.term if note else key.replace("-", " ").replace("_", " ")
