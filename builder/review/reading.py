"""A document as a curator reads it: the text as the public sees it, then sentence by sentence with what vouches for it.

In: a document and what stands behind it. Out: plain values for the templates. A sentence carries the name of its part
as `approve.fingerprint` gives it, so that a comment is tied to exactly the words that it is about.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from builder.check.wording.sentence_without_claim import SHORT_ANSWERS
from builder.compose.diet import MEASURES
from builder.compose.document import BlockData, Document, SentenceData, text_of_sentence
from builder.review.vouching import Behind, claim_view, cue_view, source_view
from builder.weigh.wording import is_instruction, is_question

USES = {"page": "page", "label": "label", "talk": "gallery talk", "script": "video script"}
KEEP = {"always": "always kept", "if-time": "kept if there is time", "spare": "spare"}
SIGHT = {"quote": "Seen", "paragraph": "Spoken", "item": "Spoken"}
BASIS = {"tested": "found by a test", "documented": "documented", "assumed": "assumed", "unknown": "not known"}


def read_document(behind: Behind) -> dict[str, Any]:
    """Everything of a document that is approved, for the pages of the review."""
    document = behind.document
    claims = {claim["number"]: claim_view(claim, behind) for claim in document["claims"]}
    cues = {cue["number"]: cue_view(cue, behind) for cue in document["cues"]}
    groups, rows = _Walk(document, claims, cues).whole()
    front = document["front"]
    return {
        "title": document["title"],
        "use": USES[document["kind"]],
        "kind": front.get("kind", ""),
        "record": document["record"],
        "piece": document["piece"],
        "language": document["language"],
        "taxon": document["taxon"],
        "summary": document["summary"],
        "notice": document.get("notice", ""),
        "care": document.get("care", ""),
        "front": _front_rows(front),
        "groups": groups,
        "sentences": rows,
        "asides": [row for row in rows if row["aside"]],
        "claims": list(claims.values()),
        "cues": list(cues.values()),
        "figures": [_figure(document, figure) for figure in document["figures"]],
        "objects": [_object(thing, document) for thing in document["objects"]],
        "diets": [_diet(diet, behind) for diet in document["diets"]],
        "sums": [_sum(row, behind) for row in document["sums"]],
        "terms": [{"term": term, "meaning": meaning} for term, meaning in document["terms"]],
        "sources": [source_view(source, behind) for source in document["sources"]],
    }


class _Walk:
    """Goes over the sentences in the order in which `approve.fingerprint` numbers them: a beat has a number too."""

    def __init__(self, document: Document, claims: dict[int, Any], cues: dict[int, Any]) -> None:
        self.document, self.claims, self.cues = document, claims, cues
        self.first: dict[int, str] = {}
        self.rows: list[dict[str, Any]] = []
        self.count = 0
        self.section = "text"

    def whole(self) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
        groups = list(self._groups(self.document["blocks"]))
        for beat in self.document.get("beats", ()):
            part = self._next()
            told = [KEEP.get(beat["keep"], beat["keep"])]
            told += [f"at least {beat['seconds']} seconds"] if "seconds" in beat else []
            if beat["title"]:
                groups.append({"tag": "beat", "text": beat["title"], "told": ", ".join(told), "part": part})
            groups += self._groups(beat["blocks"])
        self.section, self.count = "questions", 0
        for question in self.document["questions"]:
            groups.append({"tag": "question", "text": question["ask"], "part": self._next(), "told": ""})
            groups += self._groups(question["answer"])
        return groups, self.rows

    def _next(self) -> str:
        self.count += 1
        return f"{self.section}/{self.count:03}"

    def _groups(self, blocks: list[BlockData]) -> Iterator[dict[str, Any]]:
        """Blocks as the templates lay them out: items that follow one another are one list."""
        group: dict[str, Any] | None = None
        for block in blocks:
            if not block["sentences"]:
                self._next()
                continue
            made = {"level": block.get("level", 1), "number": block.get("number", 0),
                    "sentences": list(self._sentences(block)), "sight": self._sight(block["kind"])}  # fmt: skip
            tag = block["kind"] if block["kind"] != "item" else "ordered" if block.get("number") else "list"
            if group and tag == group["tag"] and tag in ("list", "ordered"):
                group["blocks"].append(made)
                continue
            if group:
                yield group
            group = {"tag": tag, "blocks": [made]}
        if group:
            yield group

    def _sight(self, kind: str) -> str:
        return SIGHT.get(kind, "") if self.document["kind"] == "script" and self.section == "text" else ""

    def _sentences(self, block: BlockData) -> Iterator[dict[str, Any]]:
        for index, sentence in enumerate(block["sentences"]):
            part = self._next()
            text = text_of_sentence(sentence).strip()
            numbers = sentence.get("claims", [])
            row = {
                "part": part,
                "anchor": part.replace("/", "-"),
                "number": len(self.rows) + 1,
                "spans": list(sentence["spans"]),
                "text": text,
                "kind": block["kind"],
                "sight": self._sight(block["kind"]),
                "aside": bool(sentence.get("aside")),
                "claims": [self._claim(number, part) for number in numbers if number in self.claims],
                "cues": [self.cues[number] for number in _cue_numbers(sentence) if number in self.cues],
            }
            row["bare"] = "" if row["claims"] or row["cues"] else self._why_bare(block, index, row)
            self.rows.append(row)
            yield row

    def _claim(self, number: int, part: str) -> dict[str, Any]:
        """A claim as a sentence shows it: whole at its first mark, in short at the others."""
        first = self.first.setdefault(number, part)
        return {**self.claims[number], "whole": first == part, "first": first.replace("/", "-")}

    def _why_bare(self, block: BlockData, index: int, row: dict[str, Any]) -> str:
        """Why nothing vouches for a sentence."""
        if row["aside"]:
            return "Marked by the author as asserting nothing about the world."
        if block["kind"] == "heading":
            return "A heading."
        if row["sight"] == "Seen":
            return "What is seen."
        if is_question(row["text"]):
            return "A question: it asserts nothing."
        if is_instruction(row["text"]):
            return "An instruction: it asserts nothing."
        bare = row["text"].lower().strip(" .,!:;—–…").replace(",", "")
        if bare in SHORT_ANSWERS and index + 1 < len(block["sentences"]):
            return "Vouched for by the sentence after it."
        return "Nothing vouches for this sentence."


def _cue_numbers(sentence: SentenceData) -> list[int]:
    return list(dict.fromkeys(span["cue"] for span in sentence["spans"] if "cue" in span))


def _front_rows(front: dict[str, Any]) -> list[tuple[str, str]]:
    rows = [
        ("Audience", front.get("audience", "")),
        ("Hangs at", "; ".join(front.get("hangs_at", ()))),
        ("Author", ", ".join(front.get("author", ()))),
        ("Theme", front.get("theme", "")),
        ("Slot", f"{front['slot']} minutes" if "slot" in front else ""),
        ("Date of the text", front.get("date", "")),
    ]
    return [(name, value) for name, value in rows if value]


def _figure(document: Document, figure: Any) -> dict[str, Any]:
    pins = [
        {"number": cue["number"], "x": _percent(cue["x"]), "y": _percent(cue["y"]), "term": cue["term"]}
        for cue in document["cues"]
        if cue.get("figure") == figure["id"]
    ]
    rights = " · ".join(filter(None, (figure.get("credit"), figure.get("licence"))))
    return {
        "id": figure["id"], "digest": figure["digest"], "file": figure["file"], "alt": figure["alt"],
        "caption": figure.get("caption", ""), "rights": rights, "pins": pins,
    }  # fmt: skip


def _percent(share: str) -> str:
    return f"{float(share) * 100:.4g}%"


def _object(thing: Any, document: Document) -> dict[str, Any]:
    rows = [("Collection", thing["collection"]), ("Identified by", thing.get("identified", ""))]
    rows += [("Shows", ", ".join(thing["shows"])), ("Place", thing.get("place", ""))]
    rows += [(f"Cannot show the {part}", why) for part, why in thing["hides"]]
    rows += [("People", "; ".join(thing.get("people", ()))), ("Kept back", " ".join(thing.get("withheld", ())))]
    rows += [("Note", thing.get("note", "")), ("The public reads", thing.get("caution", ""))]
    handling = [
        {"hazard": row["hazard"], "basis": BASIS.get(row["basis"], row["basis"]),
         "checked": row.get("checked", ""), "note": row.get("note", "")}
        for row in document["handling"] if row["object"] == thing["id"]
    ]  # fmt: skip
    return {
        "name": f"{thing['preparation'][:1].upper()}{thing['preparation'][1:]} {thing['catalogue_number']}",
        "rows": [(name, value) for name, value in rows if value],
        "handling": handling,
    }


def _diet(diet: Any, behind: Behind) -> dict[str, Any]:
    """A diet result as a table: every group with the measure shown and its interval."""
    key = MEASURES.get(diet["measure"], "N")
    groups = []
    for group in diet["groups"]:
        share = group["measures"].get(key) or []
        often = group["measures"].get("FO") or []
        groups.append({"name": group["name"], "share": _shares(share), "often": _shares(often)})
    return {
        "id": diet["id"], "method": diet["method"], "examined": diet["examined"], "empty": diet["empty"],
        "measure": diet["measure"], "groups": groups, "note": diet.get("note", ""),
        "breadth": diet["levins_B"],
        "source": behind.reference(diet["source"], diet.get("locator", "")),
    }  # fmt: skip


def _shares(triple: list[str]) -> str:
    """A share with its interval in per cent."""
    if len(triple) != 3:
        return "—"
    value, low, high = (f"{float(text) * 100:.0f}" for text in triple)
    return f"{value}\u00a0% ({low} to {high})"


def _sum(row: Any, behind: Behind) -> dict[str, Any]:
    inputs = [
        {"name": given["name"], "value": given["value"], "because": given.get("because", ""),
         "source": behind.reference(given["source"], given.get("locator", "")) if "source" in given else None}
        for given in row["inputs"]
    ]  # fmt: skip
    return {"id": row["id"], "question": row["question"], "inputs": inputs, "working": row["working"],
            "says": row.get("says", ""), "means": row.get("means", "")}  # fmt: skip
