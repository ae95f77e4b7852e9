"""missing-caution: see missing_caution.md"""

import re
from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from builder.check.case import Case
from builder.model.record import Object, Record
from builder.problem import ERROR, WARNING, Path, Problem
from builder.weigh.date import date_fault, parse_date

NAME, SEVERITY, WAIVABLE = "missing-caution", ERROR, True
ARSENIC_UNTIL = 1980
"""Mounts and skins made up before this year are taken to hold arsenic (Indiana Historical Society 2020)."""


@dataclass(frozen=True)
class Danger:
    """What words of a preparation or fluid imply: a hazard, the ids that speak of it, where it does not apply."""

    hazard: str
    words: re.Pattern[str]
    ids: frozenset[str]
    unless: re.Pattern[str] | None = None


def _danger(hazard: str, words: str, ids: str = "", unless: str = "") -> Danger:
    compiled = re.compile(unless, re.IGNORECASE) if unless else None
    return Danger(hazard, re.compile(words, re.IGNORECASE), frozenset({hazard, *ids.split()}), compiled)


COPY = r"\b(?:cast|replica|model|print|resin)\b"
FLUIDS = (
    _danger("ethanol", r"\b(?:etoh|ethanol|ethyl|alcohol|ims|spirits?|methylated)\b", "alcohol flammable spirit ims"),
    _danger("formaldehyde", r"\bform(?:alin|aldehyde|ol)\b", "formalin formol"),
    _danger("isopropanol", r"\b(?:isopropanol|isopropyl|propan-?2-?ol|2-propanol|ipa)\b", "alcohol flammable"),
)
FLUID = _danger(
    "fluid",
    r"\b(?:fluid|wet|in (?:a )?liquid|pickled)\b",
    "ethanol alcohol spirit ims formaldehyde formalin formol isopropanol methanol flammable toxic glycerol",
)
HARMLESS = re.compile(r"\b(?:water|glycerol|glycerine?|saline)\b", re.IGNORECASE)
DRY = (
    _danger(
        "arsenic",
        r"\bskins?\b|\bpelts?\b|taxiderm|\bstuffed\b|\bmount(?:s|ed)?\b|\btrophy\b|\btrophies\b",
        "pesticide pesticides biocide biocides poison heavy-metals",
        rf"{COPY}|\bshed\b|slough|\bslides?\b|skelet|\bskull\b.*\bmount|\bmount(?:ed)? on\b|etoh|ethanol|alcohol"
        "|formalin|fluid",
    ),
    _danger(
        "sharp",
        r"\bskulls?\b|\bjaws?\b|jawbone|\bmandibles?\b|\bteeth\b|\btooth\b|\btusks?\b|\bfangs?\b|\bclaws?\b|\btalons?\b"
        r"|\bspines\b|\bquills?\b|\bstings?\b|\bpinned\b|\bantlers?\b|\bhorns?\b",
        "edges points teeth spines pins claws broken-glass heavy-and-sharp",
        COPY,
    ),
    _danger("infection", r"\b(?:fresh|frozen|roadkill|carcass)\b", "pathogens zoonosis biohazard"),
)
MINERALS = (
    _danger(
        "lead", r"\b(?:galena|cerussite|anglesite|pyromorphite|mimetite|wulfenite|crocoite)\b", "toxic heavy-metals"
    ),
    _danger("mercury", r"\b(?:cinnabar|native mercury|calomel)\b", "toxic heavy-metals"),
    _danger("arsenic", r"\b(?:realgar|orpiment|arsenopyrite|native arsenic|mimetite)\b", "toxic heavy-metals"),
    _danger("asbestos", r"\b(?:chrysotile|crocidolite|amosite|asbestos)\b", "fibres dust"),
    _danger(
        "radioactive", r"\b(?:uraninite|pitchblende|autunite|torbernite|carnotite|thorite)\b", "radiation radon uranium"
    ),
)


def check(case: Case) -> Iterator[Problem]:
    """Hazards that an object's preparation implies and that it says nothing about; those left unknown; old checks."""
    name = case.record.name
    named = f"{name.common} {name.scientific or ''}"
    for key, thing in case.record.objects.items():
        for danger, what, field in unspoken_dangers(thing, named):
            yield Problem(
                NAME,
                f"`{key}` is `{what}`, yet its hazards say nothing of `{danger.hazard}`",
                f"add `{danger.hazard}` to its `hazards`, as `tested`, `documented`, `assumed` or `unknown`",
                path=("objects", key, field) if field else ("objects", key),
            )
        for hazard, known in thing.hazards.items():
            path: Path = ("objects", key, "hazards", hazard)
            if known.basis == "unknown":
                yield Problem(
                    NAME,
                    f"whether `{key}` holds `{hazard}` is unknown, and unknown is not safe",
                    "handle it as if it did; have it tested or find what is documented, then write what you found",
                    path=path,
                    severity=WARNING,
                )
            if known.checked:
                yield from _judge_date(case, key, hazard, known.checked, (*path, "checked"))


def unspoken_dangers(thing: Object, named: str) -> Iterator[tuple[Danger, str, str]]:
    """What an object implies and says nothing of, with the words that imply it and their field; `named` is its name."""
    spoken = set(thing.hazards) | {part for hazard in thing.hazards for part in hazard.split("-")}
    for danger, what, field in _implied(thing, named):
        if not danger.ids & spoken:
            yield danger, what, field
            spoken |= danger.ids


def _implied(thing: Object, named: str) -> Iterator[tuple[Danger, str, str]]:
    """What preparation and fluid imply, with the words that say so and their field."""
    fluids = [
        (danger, text, field)
        for field, text in (("preparation", thing.preparation), ("fluid", thing.fluid))
        for danger in FLUIDS
        if text and danger.words.search(text)
    ]
    yield from fluids
    if not fluids:
        if thing.fluid and not HARMLESS.search(thing.fluid):
            yield FLUID, thing.fluid, "fluid"
        elif not thing.fluid and FLUID.words.search(thing.preparation) and not HARMLESS.search(thing.preparation):
            yield FLUID, thing.preparation, "preparation"
    for part in thing.preparation.split(" | "):  # Darwin Core parts several preparations by a bar
        for danger in DRY:
            if danger.words.search(part) and not (danger.unless and danger.unless.search(part)):
                if danger.hazard == "arsenic" and (thing.fluid or _made_later(thing.collected)):
                    continue
                yield danger, part, "preparation"
    for danger in MINERALS:
        found = danger.words.search(f"{thing.preparation} | {named}")
        if found:
            yield danger, found.group(), "preparation"


def _made_later(collected: str | None) -> bool:
    read = parse_date(collected) if collected else None
    return read is not None and read.earliest_year is not None and read.earliest_year >= ARSENIC_UNTIL


def _judge_date(case: Case, key: str, hazard: str, checked: str, path: Path) -> Iterator[Problem]:
    fault = date_fault(checked)
    if fault:
        mend = "write the day of the check as 2026-11-25, 2026-11 or 2026"
        yield Problem(NAME, f"`checked: {checked}`: {fault}", mend, path=path)
        return
    months = case.rules.review_months
    read = parse_date(checked)
    if read and read.first and read.first > case.today:
        message = f"`{hazard}` on `{key}` is said to have been checked on {checked}, which is yet to come"
        yield Problem(NAME, message, "write the day on which it was checked", path=path)
        return
    due = review_day(checked, months)
    if due and due <= case.today:
        message = f"`{hazard}` on `{key}` was last checked on {checked}; after {months} months that no longer counts"
        mend = "look at the object again and write the new date, or change `review_months` in the house rules"
        yield Problem(NAME, message, mend, path=path, severity=WARNING)


def turning_days(record: Record, months: int) -> Iterator[date]:
    """The days on which what is said of the dates of a record's hazards changes."""
    for thing in record.objects.values():
        for hazard in thing.hazards.values():
            read = parse_date(hazard.checked) if hazard.checked else None
            if read and hazard.checked:
                yield from (day for day in (read.first, review_day(hazard.checked, months)) if day)


def review_day(checked: str, months: int) -> date | None:
    """The day from which a check of that date counts as old; None where the date says too little, or lies too far."""
    read = parse_date(checked)
    if read is None or read.last is None:
        return None
    year, month = divmod(read.last.year * 12 + read.last.month - 1 + months, 12)
    if not 1 <= year <= 9999:
        return None
    return date(year, month + 1, min(read.last.day, monthrange(year, month + 1)[1]))
