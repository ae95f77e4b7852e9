"""Everything that rests on a source, claim, object, figure or other entry, near and far.

In: the references of all records. Out: for an id, the things that rest on it, step by step, and where pieces hang.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from builder.resolve.library import Subject
from builder.resolve.reference import Node, Reference


@dataclass(frozen=True)
class Use:
    """`node` rests on what was asked for, `depth` steps away; `where` is file and line, `label` says what it is."""

    node: Node
    depth: int
    file: str
    line: int
    label: str
    hangs_at: tuple[str, ...] = ()


def narrow(
    folders: Mapping[str, Mapping[str, bytes]], sources: Mapping[str, tuple[str, ...]], wanted: str
) -> tuple[str, ...]:
    """The records that can have, or rest on, a thing of that id, judged by the letters in their files alone.

    What rests on a thing names it, or names a source that draws on it, or `record.` of a record that does. A file with
    a backslash may spell an id in another way, and so counts as one that names it.
    """
    record, dot, _ = wanted.partition(".")
    asked = {f"{record}."} if dot else _drawing(sources, wanted)
    words = {word.encode("utf-8", "surrogateescape") for word in asked}
    found = {record} & folders.keys() if dot else set[str]()
    texts = {
        name: [data for file, data in files.items() if file.endswith((".yml", ".md"))]
        for name, files in folders.items()
    }
    while words:
        fresh = {
            name
            for name, datas in texts.items()
            if name not in found and any(b"\\" in data or any(_names(data, word) for word in words) for data in datas)
        }
        found |= fresh
        words = {f"{name}.".encode() for name in fresh}
    return tuple(name for name in folders if name in found)


def _names(data: bytes, word: bytes) -> bool:
    """Whether a word stands in a file, and not only as a part of a longer id."""
    if word not in data:
        return False
    end = b"" if word.endswith(b".") else rb"(?![a-z0-9_-])"
    return re.search(rb"(?<![a-z0-9_-])" + re.escape(word) + end, data) is not None


def _drawing(sources: Mapping[str, tuple[str, ...]], wanted: str) -> set[str]:
    """The id, and those of all sources that draw on it."""
    found = {wanted}
    while more := {key for key, drawn in sources.items() if not found.isdisjoint(drawn)} - found:
        found |= more
    return found


def find_nodes(subjects: Iterable[Subject], shared: Iterable[str], wanted: str) -> tuple[Node, ...]:
    """Every thing that has that id: `id`, or `record.id` to name one record's. `shared` are the ids of sources."""
    record, dot, inner = wanted.partition(".")
    found = [Node("source", "", wanted)] if wanted in set(shared) else []
    sections = {
        "claims": "claim", "objects": "object", "figures": "figure", "anatomy": "anatomy", "diet": "diet",
        "calculations": "calculation",
    }  # fmt: skip
    for subject in subjects:
        if dot and subject.id != record:
            continue
        for section, kind in sections.items():
            if (inner if dot else wanted) in getattr(subject.record, section):
                found.append(Node(kind, subject.id, inner if dot else wanted))
    return tuple(found)


def find_uses(subjects: Mapping[str, Subject], sources: Mapping[str, tuple[str, ...]], start: Node) -> tuple[Use, ...]:
    """What rests on `start`, nearest first, each once. `sources` says which sources draw on which."""
    resting: dict[Node, list[Reference]] = {}
    for subject in subjects.values():
        for reference in subject.references:
            resting.setdefault(reference.target, []).append(reference)
    drawn: dict[str, list[str]] = {}
    for key, others in sources.items():
        for other in others:
            drawn.setdefault(other, []).append(key)
    found: list[Use] = []
    seen = {start}
    level = [start]
    depth = 0
    while level:
        depth += 1
        following: list[Node] = []
        for node in level:
            if node.kind == "source":
                for key in drawn.get(node.id, ()):
                    leaning = Node("source", "", key)
                    if leaning not in seen:
                        seen.add(leaning)
                        following.append(leaning)
                        found.append(Use(leaning, depth, "sources.yml", 0, f"source {key}, which draws on {node.id}"))
            for reference in resting.get(node, ()):
                if reference.user in seen:
                    continue
                seen.add(reference.user)
                following.append(reference.user)
                found.append(_use(subjects[reference.user.record], reference, depth))
        level = following
    return tuple(found)


def _use(subject: Subject, reference: Reference, depth: int) -> Use:
    user = reference.user
    loaded = subject.loaded
    file = f"{loaded.folder}/{reference.file}"
    tree = loaded.trees.get(file)
    spot = reference.spot or (tree.find_spot(reference.path) if tree else None)
    label, hangs = f"{user.kind} {user.id}", ()  # type: tuple[str, tuple[str, ...]]
    if user.kind in ("beat", "piece"):
        piece = loaded.pieces[user.id.partition("#")[0]]
        hangs = piece.front.hangs_at
        label = f"{piece.front.piece} “{piece.front.title}”"
        if user.kind == "beat":
            title = piece.beats[int(user.id.partition("#")[2])].title
            label += f", section “{title}”" if title else ", its opening"
    elif user.kind == "question":
        label = f"question “{subject.record.questions[int(user.id)].ask}”"
    return Use(user, depth, file, spot.line if spot else 1, label, hangs)
