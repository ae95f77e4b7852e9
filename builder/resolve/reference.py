"""Every reference that a record and its pieces make, as data.

In: one loaded record. Out: who refers to what, and where it stands. The same list serves dangling references, unused
entries, `uses`, and the knowledge of what a record's verdict depends on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.load import Loaded
from builder.model.piece import Block, Piece
from builder.model.record import Citation, Record
from builder.problem import Path, Spot

KINDS = ("source", "claim", "object", "anatomy", "figure", "diet", "calculation", "collection", "person", "piece")


@dataclass(frozen=True, slots=True, order=True)
class Node:
    """A thing that is referred to or refers: its kind, its record (empty for shared things), its id.

    A beat is a node too: `talk#2` is the third section of the piece `talk`.
    """

    kind: str
    record: str
    id: str


@dataclass(frozen=True, slots=True)
class Reference:
    """`user` rests on `target`; `path` is in `record.yml`, or `spot` in the piece `file`."""

    user: Node
    target: Node
    file: str = "record.yml"
    path: Path = ()
    spot: Spot | None = None


def find_references(loaded: Loaded) -> tuple[Reference, ...]:
    """All references of a record, in the order of its files."""
    if loaded.record is None:
        return ()
    found = list(_in_record(loaded.id, loaded.record))
    for index, blocks in enumerate(loaded.answers):
        user = Node("question", loaded.id, str(index))
        found += _in_blocks(loaded.id, user, blocks, "record.yml")
    for piece in loaded.pieces.values():
        found += _in_piece(loaded.id, piece)
    return tuple(found)


def claim_node(record: str, target: str) -> Node:
    """The claim that a mark names: `claim`, or `other-record.claim`."""
    other, dot, claim = target.partition(".")
    return Node("claim", other, claim) if dot else Node("claim", record, target)


def _in_record(name: str, record: Record) -> Iterator[Reference]:
    def refer(user: Node, kind: str, target: str, *path: str | int) -> Reference:
        return Reference(
            user, Node(kind, "" if kind in ("source", "collection", "person") else name, target), path=path
        )

    def cite(user: Node, citations: tuple[Citation, ...], *path: str | int) -> Iterator[Reference]:
        for index, citation in enumerate(citations):
            yield refer(user, "source", citation.source, *path, index, "source")

    for key, thing in record.objects.items():
        user = Node("object", name, key)
        yield refer(user, "collection", thing.collection, "objects", key, "collection")
    for key, note in record.anatomy.items():
        user = Node("anatomy", name, key)
        for index, target in enumerate(note.visible_on):
            yield refer(user, "object", target, "anatomy", key, "visible_on", index)
        if note.at:
            yield refer(user, "figure", note.at.figure, "anatomy", key, "at", "figure")
        yield from cite(user, note.sources, "anatomy", key, "sources")
    for key, diet in record.diet.items():
        yield refer(Node("diet", name, key), "source", diet.source, "diet", key, "source")
    for key, claim in record.claims.items():
        user = Node("claim", name, key)
        yield from cite(user, claim.held_by, "claims", key, "held_by")
        for index, evidence in enumerate(claim.evidence):
            kind = next(k for k in ("source", "diet", "anatomy", "calculation") if hasattr(evidence, k))
            yield refer(user, kind, getattr(evidence, kind), "claims", key, "evidence", index, kind)
        for index, telling in enumerate(claim.history):
            yield refer(user, "source", telling.source, "claims", key, "history", index, "source")
    for key, calculation in record.calculations.items():
        user = Node("calculation", name, key)
        for given, quantity in calculation.inputs.items():
            if quantity.source:
                yield refer(user, "source", quantity.source, "calculations", key, "inputs", given, "source")
    for index, waiver in enumerate(record.waive):
        yield refer(Node("waiver", name, str(index)), "person", waiver.who, "waive", index, "who")


def _in_piece(name: str, piece: Piece) -> Iterator[Reference]:
    file = f"{piece.id}.md"
    user = Node("piece", name, piece.id)
    for index, target in enumerate(piece.front.objects):
        yield Reference(user, Node("object", name, target), file, ("objects", index))
    for index, target in enumerate(piece.front.author):
        yield Reference(user, Node("person", "", target), file, ("author", index))
    for index, beat in enumerate(piece.beats):
        yield from _in_blocks(name, Node("beat", name, f"{piece.id}#{index}"), beat.blocks, file)


def _in_blocks(name: str, user: Node, blocks: tuple[Block, ...], file: str) -> Iterator[Reference]:
    for block in blocks:
        for sentence in block.sentences:
            for mark in sentence.marks:
                yield Reference(user, claim_node(name, mark.target), file, spot=mark.spot)
            for cue in sentence.cues:
                yield Reference(user, Node("anatomy", name, cue), file, spot=sentence.spot)
