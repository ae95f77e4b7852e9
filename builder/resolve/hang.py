"""Every place where words hang that rest on a claim: what a correction must reach.

In: all records, a piece, and the claims at fault. Out: one `Hang` for each place of each piece that rests on one of
them, that piece first. A piece that names no place is listed all the same: nobody may forget it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from builder.model.piece import Piece, Sentence
from builder.resolve.fold import fold
from builder.resolve.library import Subject
from builder.resolve.reference import Node, claim_node

UNNAMED = {
    "label": "wherever the label “{title}” hangs",
    "talk": "every cue card of the talk “{title}”",
    "script": "the film “{title}”, its captions and its description",
}
"""What stands for the place of a piece without `hangs_at`; a page stands on the web."""


@dataclass(frozen=True, slots=True)
class Hang:
    """One place: its words, and the piece whose words hang there with that piece's use."""

    where: str
    record: str
    piece: str
    use: str


def find_hangs(subjects: Mapping[str, Subject], record: str, piece: str, claims: Iterable[Node]) -> tuple[Hang, ...]:
    """The places of the piece, then of every piece that rests on one of the claims, by record; each place once."""
    pieces = [(record, piece)]
    wanted = set(claims)
    for name, subject in subjects.items():
        for key, other in subject.loaded.pieces.items():
            if wanted and (name, key) not in pieces and _rests_on(subject, key, other, wanted):
                pieces.append((name, key))
    found: dict[Hang, None] = {}
    for name, key in pieces:
        found |= dict.fromkeys(_hangs(subjects[name], key))
    return tuple(found)


def sentences_with(piece: Piece, words: str) -> tuple[Sentence, ...]:
    """The sentences of a piece that hold these words, or stand whole in them; signs and capitals aside."""
    wanted = _plain(words)
    found = []
    for sentence in piece.sentences:
        text = _plain(sentence.text)
        if wanted and (wanted in text or (len(text) > 12 and text in wanted)):
            found.append(sentence)
    return tuple(found)


def claims_behind(record: str, piece: Piece, *texts: str) -> tuple[Node, ...]:
    """The claims that vouch for the sentences of a piece in which one of the texts stands."""
    sentences = [sentence for words in texts for sentence in sentences_with(piece, words)]
    return tuple(dict.fromkeys(claim_node(record, mark.target) for s in sentences for mark in s.marks))


def _rests_on(subject: Subject, key: str, piece: Piece, wanted: set[Node]) -> bool:
    """A page shows every claim of its record, and the answers that a talk shows too."""
    if piece.front.piece == "page" and any(claim.record == subject.id for claim in wanted):
        return True
    for reference in subject.references:
        user = reference.user
        if reference.target not in wanted:
            continue
        if user.kind == "question" and piece.front.piece in ("page", "talk"):
            return True
        if user.kind in ("beat", "piece") and user.id.partition("#")[0] == key:
            return True
    return False


def _hangs(subject: Subject, key: str) -> Iterator[Hang]:
    front = subject.loaded.pieces[key].front
    use = front.piece
    unnamed = f"web page, {subject.record.name.common}" if use == "page" else UNNAMED[use].format(title=front.title)
    for where in front.hangs_at or (unnamed,):
        yield Hang(where, subject.id, key, use)


def _plain(text: str) -> str:
    return " ".join(fold(text).casefold().split()).strip(" .…“”\"'")
