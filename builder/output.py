"""The finished files of one piece, made of its document.

In: a document and the citations of its sources. Out: a `Composed` with every file by its path below the folder of a
build: what the site generator reads under `docs/`, what only staff may see under `staff/`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from builder.compose.card import Card, make_card, make_use
from builder.compose.document import Document, fingerprint
from builder.outcome import Composed, Output
from builder.publish.tree import digest
from builder.render.citation import Entries
from builder.render.page import render_broken, render_page

UNSIGNED: Mapping[str, Any] = {"state": "not approved"}


def piece_outputs(
    document: Document, entries: Entries, *, draft: bool, first: bool = True, problems: Sequence[str] = ()
) -> Composed:
    """All files of a piece. The `first` page of a record has its own address; `problems` are told on drafts."""
    sources = tuple(source["id"] for source in document["sources"])
    name = document["record"] if first else f"{document['record']}--{document['piece']}"
    files: dict[str, tuple[str, bytes]] = {}
    page = None
    if document["kind"] == "page":
        cited = {source["id"]: entries.entry(source["fields"]) for source in document["sources"]}
        text = render_page(document, cited, draft=draft, problems=problems)
        files[f"docs/specimens/{name}.md"] = ("", text.encode())
        page = make_card(document)
    return Composed(
        document["piece"],
        fingerprint(document),
        UNSIGNED,
        make_use(document),
        page,
        tuple(Output(path, digest(data), title, data) for path, (title, data) in files.items()),
        tuple(figure["file"] for figure in document["figures"]),
        sources,
    )


def broken_page(name: str, problems: Sequence[str]) -> Composed:
    """A draft page in place of a record that cannot be read: what to mend."""
    data = render_broken(name, problems).encode()
    card: Card = {
        "record": name, "title": name, "common": name, "scientific": "", "family": "",
        "summary": "This record cannot be read yet.", "picture": "", "beliefs": [], "sources": {},
    }  # fmt: skip
    use = {
        "record": name, "piece": "page", "kind": "page", "title": name, "common": name, "audience": "", "minutes": "",
        "theme": "", "words": 0, "summary": card["summary"], "hangs_at": [],
    }  # fmt: skip
    return Composed("page", "", UNSIGNED, use, card, (Output(f"docs/specimens/{name}.md", digest(data), data=data),))  # type: ignore[arg-type]
