"""A page as a handout on paper: plain data in the order of reading.

In: the document of a page. Out: `HandoutData`: its text without marks, what to look at, the ids of its sources.
Refused: nothing.
"""

from __future__ import annotations

from typing import Any, TypedDict

from builder.compose.document import Document


class HandoutData(TypedDict):
    """A handout. `figures` carry the pins that `look` numbers; `sources` are ids, in the order of the page."""

    title: str
    taxon: dict[str, str]
    blocks: list[Any]
    look: list[dict[str, Any]]
    figures: list[dict[str, Any]]
    objects: list[str]
    sources: list[str]
    care: str


def handout_data(document: Document) -> HandoutData:
    """The data of a page's handout."""
    pins: dict[str, list[dict[str, Any]]] = {figure["id"]: [] for figure in document["figures"]}
    for cue in document["cues"]:
        if cue.get("figure") in pins:
            pins[cue["figure"]].append({"number": cue["number"], "x": cue["x"], "y": cue["y"]})
    return {
        "title": document["title"],
        "taxon": dict(document["taxon"]),
        "blocks": list(document["blocks"]),
        "look": [{name: cue[name] for name in ("number", "term", "look_for")} for cue in document["cues"]],
        "figures": [
            {"file": figure["file"], "alt": figure["alt"], "pins": pins[figure["id"]],
             "rights": " · ".join(filter(None, (figure.get("credit"), figure.get("licence"))))}
            for figure in document["figures"]
        ],
        "objects": [f"{thing['preparation']} {thing['catalogue_number']}" for thing in document["objects"]],
        "sources": [source["id"] for source in document["sources"]],
        "care": document.get("care", ""),
    }  # fmt: skip
