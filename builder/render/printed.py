"""What each kind of piece is printed as: the one list that `print` and the build ask.

In: a `PrintJob`. Out: the bytes of a PDF. A new kind of sheet is a function in `PRINTERS`; many labels go on sheets
together by `print_label_sheets`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Literal

from builder.check.case import Case
from builder.compose.cuecard import cue_cards
from builder.compose.document import Document
from builder.compose.fitting import fit_document
from builder.compose.handout import handout_data
from builder.compose.label import label_data
from builder.compose.running import time_beats
from builder.load.picture import public_picture
from builder.model.museum import Museum
from builder.render.citation import Entries, Run
from builder.render.cuecard import print_cards
from builder.render.label import print_labels
from builder.render.markdown import end_stop
from builder.render.script import HouseData
from builder.render.scriptfiles import script_outputs
from builder.render.typeset import settable, typeset

CITING = ("page", "script")
"""The kinds of piece that show full citations."""


@dataclass(frozen=True, slots=True)
class PrintJob:
    """A document to print, and how. `pictures` are the record's by file name, as they may be published.

    `entries` are the full citations of its sources, by id, of the kinds in `CITING` alone.
    """

    document: Document
    museum: Museum
    draft: bool
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    minutes: Decimal | None = None
    cards: Literal["a6", "a5"] = "a6"
    large: bool = False
    code: bool = False
    entries: Mapping[str, Sequence[Run]] = field(default_factory=dict)


def print_job(case: Case, document: Document, entries: Entries, *, draft: bool, **how: Any) -> PrintJob:
    """The job of printing a document of a record; `how` are fields of `PrintJob`. Citations only where it shows any."""
    files = case.subject.loaded.files
    pictures = {row["file"]: public_picture(row["file"], files[row["file"]]) for row in document["figures"]}
    citing = document["sources"] if document["kind"] in CITING else ()
    cited = {source["id"]: entries.entry(source["fields"]) for source in citing}
    return PrintJob(document, case.museum, draft, pictures, entries=cited, **how)


def print_label_sheets(jobs: Sequence[PrintJob]) -> bytes:
    """Several labels on sheets; where one of them is a draft, all sheets are."""
    first = jobs[0]
    labels = [label_data(job.document, job.museum, large=job.large, code=job.code) for job in jobs]
    title = f"Label: {first.document['title']}" if len(jobs) == 1 else f"{len(jobs)} labels"
    return print_labels(
        labels, title=title, language=first.museum.language, draft=any(job.draft for job in jobs),
        notice=first.museum.notice or "",
    )  # fmt: skip


def print_script(job: PrintJob) -> dict[str, bytes]:
    """Every file of a script by name: sheet, shot list, tracks and texts; those of `STAFF_FILES` among them."""
    document, rules = job.document, job.museum.house_rules
    if job.minutes is not None:
        document, running, _ = fit_document(document, rules, job.minutes)
    else:
        running = time_beats(document, rules)
    house: HouseData = {"name": job.museum.name, "contact": job.museum.contact or ""}
    return script_outputs(document, running, house=house, entries=job.entries, draft=job.draft)


def _print_talk(job: PrintJob) -> bytes:
    document, rules = job.document, job.museum.house_rules
    left_out = []
    if job.minutes is not None:
        document, running, fitted = fit_document(document, rules, job.minutes)
        left_out = [row.beat for row in fitted.left_out]
    else:
        running = time_beats(document, rules)
    made = cue_cards(document, running, left_out=left_out)
    return print_cards(
        made, job.pictures, language=job.museum.language, size=job.cards, large=job.large, draft=job.draft
    )


def _print_page(job: PrintJob) -> bytes:
    made = handout_data(job.document)
    usable = settable(job.pictures)
    data = {
        **made,
        "figures": [figure for figure in made["figures"] if figure["file"] in usable],
        "sources": [_source_spans(job, source) for source in made["sources"]],
    }
    return typeset(
        "handout", data, title=made["title"], language=job.museum.language, draft=job.draft,
        notice=job.museum.notice or "", pictures=usable,
    )  # fmt: skip


def _source_spans(job: PrintJob, source: str) -> list[dict[str, str]]:
    """The full citation of a source, with the news where it was withdrawn."""
    made = [{"text": text, "style": style} for text, style in job.entries[source]]
    withdrawn = next(
        (one["withdrawn"] for one in job.document["sources"] if one["id"] == source and "withdrawn" in one), ""
    )
    return [*made, {"text": f" Withdrawn: {end_stop(withdrawn)}", "style": "strong"}] if withdrawn else made


PRINTERS: dict[str, Callable[[PrintJob], bytes]] = {
    "label": lambda job: print_label_sheets([job]),
    "talk": _print_talk,
    "page": _print_page,
    "script": lambda job: print_script(job)["sheet.pdf"],
}
