"""What an approval binds to: the parts of a document, each with its words and fingerprint, and one fingerprint of all.

A document is cut into its sentences, pieces of evidence, sources, figures and so on, so that a change can be named.
Sentences stand in their order. What is known by an id stands under it, whatever its place or number: the order of
entries in a file does not enter, nor does any theme or layout. Every value of the document is in some part.

The fingerprint of a part is SHA-256 over its canonical JSON (`compose.document.canonical_json`, which follows RFC 8785
for the values that occur); that of the whole is SHA-256 over the canonical JSON of `{part: fingerprint}`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from builder.approve.partwords import part_words
from builder.compose.document import Document, canonical_json
from builder.model.approval import ApprovedPart

Pair = tuple[str, Any]
OWN = ("evidence", "held_by", "history", "belief", "why")
WORTH = ("weight", "tellers", "lines_behind")


def parts_of(document: Document) -> dict[str, ApprovedPart]:
    """Every part of a document by its name, such as `text/004` or `claims/newt.milk/evidence/source field-2001`."""
    return {
        name: ApprovedPart.model_construct(text=part_words(name, data), fingerprint=_digest(data))
        for name, data in plain_parts(document)
    }


def seal_of(parts: Mapping[str, ApprovedPart]) -> str:
    """The fingerprint of a whole document, from those of its parts."""
    return _digest({name: part.fingerprint for name, part in parts.items()})


def fingerprint_of(document: Document) -> str:
    """The fingerprint of a whole document where nobody asks for the words of its parts: they are most of the work."""
    return _digest({name: _digest(data) for name, data in plain_parts(document)})


def plain_parts(document: Document) -> Iterator[Pair]:
    """The parts as plain data."""
    claims = {claim["number"]: f"{claim['record']}.{claim['id']}" for claim in document["claims"]}
    cues = {cue["number"]: cue["id"] for cue in document["cues"]}
    yield from _numbered("text", _text(document, claims, cues))
    yield from _numbered("questions", _questions(document, claims, cues))
    for key, value in document.items():
        if key in _CUTTERS:
            yield from _CUTTERS[key](value)
        elif key == "front":
            yield from ((f"front/{name}", given) for name, given in value.items())  # type: ignore[attr-defined]
        elif key not in ("blocks", "beats", "questions"):
            yield "name" if key == "taxon" else key, value


def _digest(data: Any) -> str:
    return hashlib.sha256(canonical_json(data)).hexdigest()


def _numbered(section: str, rows: Iterable[Any]) -> Iterator[Pair]:
    for number, row in enumerate(rows, 1):
        yield f"{section}/{number:03}", row


def _text(document: Document, claims: Mapping[int, str], cues: Mapping[int, str]) -> Iterator[Any]:
    yield from _sentences(document["blocks"], claims, cues)
    for beat in document.get("beats", ()):
        yield {"kind": "beat", **{key: value for key, value in beat.items() if key != "blocks"}}
        yield from _sentences(beat["blocks"], claims, cues)


def _questions(document: Document, claims: Mapping[int, str], cues: Mapping[int, str]) -> Iterator[Any]:
    for question in document["questions"]:
        yield {"kind": "question", **{key: value for key, value in question.items() if key != "answer"}}
        yield from _sentences(question["answer"], claims, cues)


def _sentences(blocks: Iterable[Any], claims: Mapping[int, str], cues: Mapping[int, str]) -> Iterator[Any]:
    """Each sentence with the kind of its block, and whether it opens it; marks by id, since their numbers may move."""
    for block in blocks:
        frame = {key: value for key, value in block.items() if key != "sentences"}
        if not block["sentences"]:
            yield {**frame, "empty": True}
        for index, sentence in enumerate(block["sentences"]):
            row = {**frame, **sentence, "opens": index == 0}
            row["spans"] = [
                {**span, "cue": cues.get(span["cue"], str(span["cue"]))} if "cue" in span else span
                for span in sentence["spans"]
            ]
            if "claims" in sentence:
                row["claims"] = [claims.get(number, str(number)) for number in sentence["claims"]]
            yield row


def _keyed(section: str, rows: Iterable[Any], *keys: str) -> Iterator[Pair]:
    """Rows under what they are known by; the second of one name is `(2)`."""
    seen: dict[str, int] = {}
    for row in rows:
        name = " ".join(" ".join(str(row[key]) for key in keys).split())
        seen[name] = seen.get(name, 0) + 1
        again = f" ({seen[name]})" if seen[name] > 1 else ""
        yield f"{section}/{name}{again}", row


def _claims(rows: Iterable[Any]) -> Iterator[Pair]:
    for claim in rows:
        section = f"claims/{claim['record']}.{claim['id']}"
        yield section, {key: value for key, value in claim.items() if key not in (*OWN, *WORTH, "number")}
        yield from ((f"{section}/{key}", claim[key]) for key in ("belief", "why") if key in claim)
        yield from _keyed(f"{section}/evidence", claim["evidence"], "kind", "key")
        yield from _keyed(f"{section}/held_by", claim.get("held_by", ()), "source")
        yield from _keyed(f"{section}/history", claim.get("history", ()), "source")
        yield f"{section}/weight", {key: claim[key] for key in WORTH if key in claim}


def _cues(rows: Iterable[Any]) -> Iterator[Pair]:
    for cue in rows:
        yield f"cues/{cue['id']}", {key: value for key, value in cue.items() if key not in ("number", "sources")}
        yield from _keyed(f"cues/{cue['id']}/sources", cue["sources"], "source")


def _objects(rows: Iterable[Any]) -> Iterator[Pair]:
    for row in rows:
        yield f"objects/{row['id']}", {**row, "shows": sorted(row["shows"]), "hides": sorted(row["hides"])}


def _sums(rows: Iterable[Any]) -> Iterator[Pair]:
    for row in rows:
        yield f"sums/{row['id']}", {**row, "inputs": sorted(row["inputs"], key=canonical_json)}


_CUTTERS: dict[str, Callable[[Any], Iterable[Pair]]] = {
    "claims": _claims,
    "cues": _cues,
    "objects": _objects,
    "sums": _sums,
    "diets": lambda rows: _keyed("diets", rows, "id"),
    "figures": lambda rows: _keyed("figures", rows, "id"),
    "sources": lambda rows: _keyed("sources", rows, "id"),
    "handling": lambda rows: _keyed("handling", rows, "object", "hazard"),
    "terms": lambda rows: ((f"terms/{' '.join(term.split())}", [term, meaning]) for term, meaning in rows),
}
