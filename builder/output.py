"""The finished files of one piece, made of its document.

In: a document and the citations of its sources. Out: a `Composed` with every file by its path below the folder of a
build: what the site generator reads under `docs/`, what only staff may see under `staff/`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from builder.approve.decision import decision_digest
from builder.approve.fingerprint import fingerprint_of
from builder.approve.history import decided
from builder.approve.standing import Standing
from builder.compose.card import Card, UseCard, make_card, make_use
from builder.compose.correction import CorrectionData, corrections_of
from builder.compose.document import Document
from builder.compose.running import time_beats
from builder.outcome import Composed, Output
from builder.publish.tree import digest
from builder.render.correction import correction_rows
from builder.render.linked import page_linked, script_linked
from builder.render.page import render_broken, render_page
from builder.render.printed import PRINTERS, PrintJob, print_script
from builder.render.scriptfiles import STAFF_FILES, TITLES
from builder.weigh.date import date_in_words

TREE, STAFF = "docs/", "staff/pieces/"
"""Where in the folder of a build the site generator reads, and where staff alone do."""


def piece_outputs(
    job: PrintJob,
    standing: Standing,
    *,
    first: bool = True,
    problems: Sequence[str] = (),
    corrections: Sequence[CorrectionData] = (),
) -> Composed:
    """All files of a piece. The `first` page of a record has its own address; `problems` are told on drafts.

    `corrections` are those of the record's public pieces: its first page shows them all.
    """
    document = job.document
    own = f"{document['record']}--{document['piece']}"
    page = None
    if document["kind"] == "page":
        name = document["record"] if first else own
        linked = f"data/{name}.json"
        corrected = corrections if first else corrections_of(corrections, *_names(document))
        text = render_page(
            document,
            job.entries,
            draft=job.draft,
            problems=problems,
            checked=who_checked(standing),
            corrections=correction_rows(corrected),
            linked=linked,
        )
        address = f"specimens/{name}.html"
        data = page_linked(document, job.museum, address, reviews_of(standing), corrected, draft=job.draft)
        made = [(f"{TREE}specimens/{name}.md", "", text.encode()), (TREE + linked, "", data)]
        page = make_card(document)
    else:
        made = [(path, title, data) for path, title, data in _printed(job, own)]
        if document["kind"] == "script":
            running = time_beats(document, job.museum.house_rules)
            corrected = corrections_of(corrections, *_names(document))
            data = script_linked(document, job.museum, running, reviews_of(standing), corrected, draft=job.draft)
            made.append((f"{TREE}data/{own}.json", "For the page of the film (JSON-LD)", data))
    return Composed(
        document["piece"],
        standing.fingerprint or fingerprint_of(document),
        plain_standing(standing),
        make_use(document),
        page,
        tuple(Output(path, digest(data), title, data) for path, title, data in made),
        tuple(figure["file"] for figure in document["figures"]),
        tuple(source["id"] for source in document["sources"]),
    )


def _names(document: Document) -> tuple[str, str]:
    return document["record"], document["piece"]


def _printed(job: PrintJob, own: str) -> Iterator[tuple[str, str, bytes]]:
    """Path, title and bytes of what a label, talk or script is printed as."""
    kind = job.document["kind"]
    # what hazards an object holds is for those who handle it: `print` and `pull` tell them, the site does not
    public = replace(job, document={**job.document, "handling": []})
    if kind == "label":
        yield f"{TREE}documents/{own}.pdf", "Label (PDF)", PRINTERS[kind](job)
    elif kind == "talk":
        for size, count in (("a6", "four"), ("a5", "two")):
            title = f"Cue cards {size.upper()}, {count} to a sheet (PDF)"
            yield f"{TREE}documents/{own}--{size}.pdf", title, PRINTERS[kind](replace(public, cards=size))  # type: ignore[arg-type]
    elif kind == "script":
        for name, data in print_script(job).items():
            if name in STAFF_FILES:
                yield f"{STAFF}{own}--{name}", "", data
            else:
                yield f"{TREE}documents/{own}--{name}", TITLES[name], data


def plain_standing(standing: Standing) -> dict[str, Any]:
    """How a piece stands, as plain data for the manifest and for lists of what is to be done."""
    return {
        "state": standing.state,
        "approval": [decision_digest(signed.plain) for signed in standing.approvals],
        "lapses": standing.lapses.isoformat() if standing.lapses else "",
        "changes": [str(change) for change in standing.changes],
    }


def reviews_of(standing: Standing) -> list[tuple[str, str]]:
    """Role and day of each approval that counts, for a piece that is approved: what a reader may know of it."""
    return [(decided(signed).role, decided(signed).date) for signed in standing.approvals] if standing.approved else []


def who_checked(standing: Standing) -> str:
    """Who signed a piece and when, in words."""
    rows = reviews_of(standing)
    said = dict.fromkeys(f"the {role} on {date_in_words(day)}" for role, day in rows)
    return f"Read and signed, as it stands here, by {' and by '.join(said)}." if said else ""


def broken_page(name: str, problems: Sequence[str]) -> Composed:
    """A draft page in place of a record that cannot be read: what to mend."""
    data = render_broken(name, problems).encode()
    summary = "This record cannot be read yet."
    card: Card = {
        "record": name, "title": name, "common": name, "scientific": "", "family": "", "summary": summary,
        "picture": "", "beliefs": [], "sources": {},
    }  # fmt: skip
    use: UseCard = {
        "record": name, "piece": "page", "kind": "page", "title": name, "common": name, "audience": "", "minutes": "",
        "theme": "", "words": 0, "summary": summary, "hangs_at": [],
    }  # fmt: skip
    output = Output(f"{TREE}specimens/{name}.md", digest(data), data=data)
    return Composed("page", "", {"state": "not approved"}, use, card, (output,))
