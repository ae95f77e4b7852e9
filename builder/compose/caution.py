"""Cautions for staff: what a hazard is and how certain, who may handle the object, what not to do on stage.

In: hazards as a record states them. Out: plain sentences in three parts; the fourth is always `DEFERRAL`. Nothing here
is for the public, who read one neutral line on each object. No doses, limits or recipes.

The cautions are the usual ones of the sources named beside each; “common practice” where none was found. A hazard that
the list does not know keeps its own name and gets the general caution, as an unknown one is not safe.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NotRequired, TypedDict

from builder.compose.document import HandlingData
from builder.model.record import Hazard

DEFERRAL = (
    "This note is not a risk assessment. Follow local law and your museum’s own health and safety procedures; "
    "where they differ, they win."
)
NOTHING_KNOWN = "No hazard is recorded, which does not mean that there is none: ask the curator before you touch it."
CERTAINTY = {
    "tested": "tested",
    "documented": "documented",
    "assumed": "assumed, not tested",
    "unknown": "not known, so treat it as present",
}
"""How certain a hazard is, in words, by its basis."""


class CautionData(TypedDict):
    """A caution in its first three parts. `object` is an id; `hazard` and `basis` are as the record has them.

    `short` names it and how certain; `what` says what the danger is besides, with the day of the last check and the
    record's own note.
    """

    hazard: str
    basis: str
    short: str
    what: str
    who: str
    stage: str
    object: NotRequired[str]


@dataclass(frozen=True, slots=True)
class _Danger:
    """A kind of danger: the ids that speak of it, and the three parts without their certainty."""

    ids: frozenset[str]
    what: str
    who: str
    stage: str


def _danger(ids: str, what: str, who: str, stage: str) -> _Danger:
    return _Danger(frozenset(ids.split()), what, who, stage)


JAR = (
    "in a leak-proof tray, both hands under the jar, never by the lid"  # Hazards in Collections; Wheaton College, n.d.
)
DANGERS = (
    _danger(  # American Museum of Natural History, n.d.; Simmons 2001; NHCOLL-L 2021
        "ethanol alcohol spirit ims flammable isopropanol methanol",
        "{name}: lights easily and burns hot; its vapour is heavier than air and gathers low",
        f"Trained staff, {JAR}; look for leaks first.",
        "No flame, hot lamp or spark near it. Do not open it or pass it round. No lamp or tripod over the jar, no mains"
        " socket below it.",  # the last: common practice
    ),
    _danger(  # Burroughs et al., n.d. (abstract)
        "formaldehyde formalin formol",
        "{name}: harmful to eyes, skin and lungs; it stays in the tissue after a move to alcohol",
        f"Trained staff with gloves and eye protection, {JAR}; opened only where the air is drawn off.",
        "Do not open it or pass it round.",
    ),
    _danger(  # Hazards in Collections, spirit collections, n.d.: an unnamed fluid is presumed toxic and flammable
        "fluid glycerol",
        "{name}: a fluid that nobody has named counts as poisonous and as catching fire",
        f"Trained staff with thin nitrile gloves, {JAR}.",
        "No flame, hot lamp or spark near it. Do not open it or pass it round.",
    ),
    _danger(  # Indiana Historical Society 2020; San Diego Natural History Museum 1995; Stephenson 2008; Viscardi, n.d.
        "arsenic mercury pesticide pesticides biocide biocides poison heavy-metals",
        "{name}: a poison, in old skins and mounts and in some minerals; it comes off as dust",
        "Trained staff with gloves, and a mask where dust may rise; hands washed afterwards.",
        "Nobody strokes or brushes it, children least of all. Show it in a closed case or box.",
    ),
    _danger(  # Makos 2015; Wilson et al. 2025 (abstract)
        "lead toxic",
        "{name}: a poison that comes off on the hands",
        "Trained staff with gloves, changed often; hands washed afterwards.",
        "Do not pass it round. No food or drink beside it.",
    ),
    _danger(  # common practice, no source; radon gathers in closed drawers
        "radioactive radiation radon uranium",
        "{name}: gives off radiation, and a gas that gathers in closed drawers",
        "Only those whom the museum has named for it.",
        "Do not pass it round. Back into its place at once.",
    ),
    _danger(  # common practice, no source
        "asbestos fibres",
        "{name}: fibres that harm the lungs when they are breathed in",
        "Only those whom the museum has named for it, in a sealed box.",
        "Do not open the box.",
    ),
    _danger(  # common practice, no source
        "dust", "{name}: old dust may hold what the object was treated with", "Trained staff with gloves.",
        "Do not blow on it, brush it or shake it.",
    ),
    _danger(  # Viscardi, Collections for All, n.d.
        "sharp edges points teeth spines pins claws heavy-and-sharp",
        "{name}: points or edges that cut; pins and wires may be hidden",
        "Trained staff, held where it is blunt.",
        "Do not pass it round. Put it down before you turn to your visitors.",
    ),
    _danger(  # common practice, no source
        "glass broken-glass", "{name}: it breaks, and then it cuts", "Trained staff, both hands, over a padded tray.",
        "Do not pass it round. Keep it away from the edge of the table.",
    ),
    _danger(  # Viscardi, Collections for All, n.d.
        "heavy", "{name}: its weight can crush", "Trained staff, two people or a trolley.", "Do not lift it on stage.",
    ),
    _danger(  # Otago Museum, n.d.; Makos 2019
        "infection pathogens zoonosis biohazard",
        "{name}: fresh dead animals count as infected",
        "Trained staff with gloves, coat and fitted mask.",
        "Keep it closed. Nobody else touches it.",
    ),
    _danger(  # Otago Museum, n.d.; Makos 2019
        "mould", "{name}: harmful when it is breathed in", "Trained staff with gloves and fitted mask.",
        "Keep it closed.",
    ),
)  # fmt: skip
GENERAL = _Danger(frozenset(), "{name}", "Trained staff who know this hazard.", "Do not open it or pass it round.")


def caution(hazard: str, basis: str, *, checked: str = "", note: str = "") -> CautionData:
    """The caution for one hazard of that basis (tested, documented, assumed, unknown)."""
    danger = next((danger for danger in DANGERS if hazard in danger.ids), None) or next(
        (danger for danger in DANGERS if danger.ids & set(hazard.split("-"))), GENERAL
    )
    name = hazard.replace("-", " ").capitalize()
    certain = CERTAINTY.get(basis, CERTAINTY["unknown"]) + (f", last checked {checked}" if checked else "")
    what, colon, rest = danger.what.partition(":")
    said = f"{what.format(name=name)} ({certain}){colon}{rest}."
    if note:
        said += f" {note.rstrip('.')}."
    short = f"{name}: {CERTAINTY.get(basis, CERTAINTY['unknown'])}"
    return {"hazard": hazard, "basis": basis, "short": short, "what": said, "who": danger.who, "stage": danger.stage}


def cautions_of(handling: Iterable[HandlingData]) -> list[CautionData]:
    """The cautions for a document's `handling`, in its order."""
    return [
        {
            **caution(row["hazard"], row["basis"], checked=row.get("checked", ""), note=row.get("note", "")),
            "object": row["object"],
        }
        for row in handling
    ]


def object_cautions(hazards: Iterable[tuple[str, Hazard]]) -> list[CautionData]:
    """The cautions for one object of a record."""
    return [
        caution(hazard, known.basis, checked=known.checked or "", note=known.note or "") for hazard, known in hazards
    ]
