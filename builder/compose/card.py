"""A card: what the index pages need to know of one composed piece.

In: a document. Out: plain data, small enough to be remembered for thousands of records.
"""

from __future__ import annotations

from typing import TypedDict

from builder.check.fit.length import count_words
from builder.compose.document import Document, blocks_of, text_of_sentence


class BeliefCard(TypedDict):
    """One belief with what is so and where it stands; `number` is its mark on the page."""

    number: int
    belief: str
    statement: str
    stands: str
    lines: int


class UseCard(TypedDict):
    """One piece as somebody looks for it who has a group at eleven: use, audience, minutes, words, where it hangs."""

    record: str
    piece: str
    kind: str
    title: str
    common: str
    audience: str
    minutes: str
    theme: str
    words: int
    summary: str
    hangs_at: list[str]


class Card(TypedDict):
    """One specimen page. `picture` is its first figure, from the folder of pages, or empty; `sources` maps each source
    cited to the numbers of the claims that rest on it."""

    record: str
    title: str
    common: str
    scientific: str
    family: str
    summary: str
    picture: str
    beliefs: list[BeliefCard]
    sources: dict[str, list[int]]


def make_card(document: Document) -> Card:
    """The card of a page."""
    taxon = document["taxon"]
    sources: dict[str, list[int]] = {source["id"]: [] for source in document["sources"]}
    for claim in document["claims"]:
        keys = [row["key"] for row in claim["evidence"] if row["kind"] == "source"]
        keys += [citation["source"] for citation in (*claim.get("held_by", ()), *claim.get("history", ()))]
        for key in dict.fromkeys(keys):
            sources.setdefault(key, []).append(claim["number"])
    return {
        "record": document["record"],
        "title": document["title"],
        "common": taxon["common"],
        "scientific": taxon.get("scientific", ""),
        "family": taxon.get("family", ""),
        "summary": document["summary"],
        "picture": next((f"{document['record']}/{figure['file']}" for figure in document["figures"]), ""),
        "beliefs": [
            {
                "number": claim["number"],
                "belief": claim["belief"],
                "statement": claim["statement"],
                "stands": claim["stands"],
                "lines": len(claim["weight"].get("lines", ())),
            }
            for claim in document["claims"]
            if claim.get("belief") and claim["record"] == document["record"]
        ],
        "sources": sources,
    }


def make_use(document: Document) -> UseCard:
    """The card of a piece of any use. `words` are those of its own text, without what is only seen."""
    spoken = [block for block in blocks_of(document) if document["kind"] != "script" or block["kind"] != "quote"]
    texts = [text_of_sentence(sentence) for block in spoken for sentence in block["sentences"]]
    front = document["front"]
    return {
        "record": document["record"],
        "piece": document["piece"],
        "kind": document["kind"],
        "title": document["title"],
        "common": document["taxon"]["common"],
        "audience": front["audience"],
        "minutes": front.get("slot", ""),
        "theme": front.get("theme", ""),
        "words": sum(map(count_words, texts)),
        "summary": document["summary"],
        "hangs_at": list(front["hangs_at"]),
    }
