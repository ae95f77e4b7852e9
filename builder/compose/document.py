"""A document: a piece with everything it rests on, free of any format.

It is plain data (dicts, lists, text, whole numbers), so that its canonical JSON can be approved, fingerprinted and
rendered. What may not be public never enters it: every part below is an allow-list.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from typing import Any, NotRequired, TypedDict

from builder.compose.diet import DietData


class SpanData(TypedDict):
    """A run of visible text; `style` and `target` as in `model.piece.Span`, `cue` the number of the anatomy note."""

    text: str
    style: NotRequired[str]
    target: NotRequired[str]
    cue: NotRequired[int]


class SentenceData(TypedDict):
    """One sentence: its spans, and the numbers of the claims that vouch for it."""

    spans: list[SpanData]
    claims: NotRequired[list[int]]
    aside: NotRequired[bool]


class BlockData(TypedDict):
    """A heading, paragraph, item or quote; `level` and `number` as in `model.piece.Block`."""

    kind: str
    sentences: list[SentenceData]
    level: NotRequired[int]
    number: NotRequired[int]


class BeatData(TypedDict):
    """One beat of a talk or script; text before the first heading is a beat without title.

    `keep` is always, if-time or spare; `seconds` and `value` are there only where the author states them.
    """

    title: str
    keep: str
    blocks: list[BlockData]
    seconds: NotRequired[int]
    value: NotRequired[int]


class CitationData(TypedDict):
    """A source and where in it; `finds` what it finds, `year` and `told` when it tells a belief."""

    source: str
    locator: NotRequired[str]
    finds: NotRequired[str]
    quote: NotRequired[str]
    year: NotRequired[int]
    told: NotRequired[str]


class EvidenceData(TypedDict):
    """One piece of evidence behind a claim. `kind` is source, diet, anatomy or calculation; `key` names which.

    `behind` is the digest of all that stands in the record under that key: the table, the note, the calculation.
    """

    kind: str
    key: str
    bears: str
    basis: NotRequired[str]
    locator: NotRequired[str]
    finds: NotRequired[str]
    quote: NotRequired[str]
    n: NotRequired[int]
    reports: NotRequired[str]
    test: NotRequired[str]
    behind: NotRequired[str]


class ClaimData(TypedDict):
    """A claim with its evidence and what that is worth. `number` is its mark on the page; `record` where it lives."""

    number: int
    id: str
    record: str
    statement: str
    stands: str
    evidence: list[EvidenceData]
    weight: dict[str, Any]
    belief: NotRequired[str]
    why: NotRequired[str]
    held_by: NotRequired[list[CitationData]]
    history: NotRequired[list[CitationData]]
    tellers: NotRequired[list[TellerData]]
    lines_behind: NotRequired[list[list[str]]]


class TellerData(TypedDict):
    """A work in the lineage of a belief: what it draws on among the others, directly or through works not shown.

    `told` is false for a work that only stands behind others.
    """

    source: str
    year: str
    draws_on: list[str]
    told: bool


class SumData(TypedDict):
    """A calculation as the public can follow it. `inputs` are name, value with unit, and source or reason."""

    id: str
    question: str
    inputs: list[InputData]
    working: str
    says: NotRequired[str]
    means: NotRequired[str]


class InputData(TypedDict):
    """One quantity that goes into a calculation."""

    name: str
    value: str
    source: NotRequired[str]
    locator: NotRequired[str]
    because: NotRequired[str]


class ObjectData(TypedDict):
    """What the public may know of one object."""

    id: str
    catalogue_number: str
    preparation: str
    collection: str
    shows: list[str]
    hides: list[list[str]]
    identified: NotRequired[str]
    collected: NotRequired[str]
    place: NotRequired[str]
    withheld: NotRequired[list[str]]
    people: NotRequired[list[str]]
    caution: NotRequired[str]
    note: NotRequired[str]


class HandlingData(TypedDict):
    """A hazard of one object, and how certain it is: tested, documented, assumed or unknown."""

    object: str
    hazard: str
    basis: str
    checked: NotRequired[str]
    note: NotRequired[str]


class CueData(TypedDict):
    """A thing to look at, numbered. `x` and `y` are shares of the figure's width and height, as text."""

    number: int
    id: str
    term: str
    look_for: str
    visible_on: list[str]
    seen_by: str
    say: NotRequired[str]
    figure: NotRequired[str]
    x: NotRequired[str]
    y: NotRequired[str]
    sources: list[CitationData]


class FigureData(TypedDict):
    """A picture: its file, the digest of its bytes, its text alternative, caption and rights."""

    id: str
    file: str
    digest: str
    alt: str
    caption: NotRequired[str]
    credit: NotRequired[str]
    licence: NotRequired[str]


class SourceData(TypedDict):
    """A source: its CSL fields, what we know of its worth, and what it drew on."""

    id: str
    fields: dict[str, Any]
    standing: str
    read: str
    draws_on: NotRequired[list[str]]
    withdrawn: NotRequired[str]


class QuestionData(TypedDict):
    """A question with its answer."""

    ask: str
    answer: list[BlockData]


class Document(TypedDict):
    """A composed piece. A page or label has `blocks`, a talk or script `beats`; the other of the two is empty.

    `handling` is approved with the rest, and shown to staff alone: the public sees one neutral line on each object.
    """

    kind: str
    record: str
    piece: str
    title: str
    language: str
    summary: str
    taxon: dict[str, str]
    blocks: list[BlockData]
    cues: list[CueData]
    claims: list[ClaimData]
    diets: list[DietData]
    sums: list[SumData]
    objects: list[ObjectData]
    handling: list[HandlingData]
    figures: list[FigureData]
    sources: list[SourceData]
    questions: list[QuestionData]
    terms: list[list[str]]
    beats: NotRequired[list[BeatData]]
    notice: NotRequired[str]
    care: NotRequired[str]
    front: dict[str, Any]


def blocks_of(document: Document) -> Iterator[BlockData]:
    """Every block of the piece's own text, in order, whatever its use; answers to questions apart."""
    yield from document["blocks"]
    for beat in document.get("beats", ()):
        yield from beat["blocks"]


def text_of_sentence(sentence: SentenceData) -> str:
    """The visible words of a sentence."""
    return "".join(span["text"] for span in sentence["spans"])


def canonical_json(value: Any) -> bytes:
    """The one way to write a document: keys sorted, no blanks, UTF-8, whole numbers and text only.

    The rules of RFC 8785 for the values that occur here: keys in the order of their UTF-16 code units, which for the
    ASCII keys used is plain order, and no number with a fraction. Raises TypeError for anything that is not plain.
    """
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False).encode()


def fingerprint(document: Document) -> str:
    """SHA-256 of the canonical JSON, in hexadecimal."""
    return hashlib.sha256(canonical_json(document)).hexdigest()
