"""A piece: one text for one use, read into sentences that know their marks, cues and places.

`visible text` below means the words a reader sees: no marks, no Markdown.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Annotated, Literal

from pydantic import Field

from builder.model.value import DateText, Ids, Line, Model, Moments, Number, Text, Texts
from builder.problem import Spot

Use = Literal["page", "label", "talk", "script"]
Keep = Literal["always", "if-time", "spare"]
KEEPS: tuple[Keep, ...] = ("always", "if-time", "spare")
"""Whether a beat may be left out: never, where time lacks, or first of all."""
WHOLE = re.compile(r"[1-9][0-9]{0,4}")
"""What `seconds` and `value` of a beat may be; anything else counts as nothing said."""


class Front(Model):
    """A piece's front matter."""

    piece: Use
    title: Line
    objects: Ids = ()
    kind: Line | None = None
    audience: Line | None = None
    author: Texts = ()
    slot: Annotated[Number, Field(gt=0)] | None = None
    hangs_at: Texts = ()
    theme: Line | None = None
    description: Text | None = None
    date: DateText | None = None
    held: Moments = ()


@dataclass(frozen=True, slots=True)
class Span:
    """A run of visible text in one style (`""`, `em`, `strong`, `em strong`, `code`).

    `target` is empty, `look:` and an anatomy note, or a web address.
    """

    text: str
    style: str = ""
    target: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """A claim mark: `target` is `claim` or `record.claim`."""

    target: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence: its visible text, styled spans, claim marks, cues (ids of anatomy notes), and where it stands.

    `origin` holds (offset in `text`, line, column) for each stretch that is contiguous in the file.
    """

    text: str
    spans: tuple[Span, ...]
    marks: tuple[Mark, ...] = ()
    cues: tuple[str, ...] = ()
    aside: bool = False
    spot: Spot = Spot()
    origin: tuple[tuple[int, int, int], ...] = ()

    def spot_of(self, start: int, end: int) -> Spot:
        """The spot of a stretch of `text`."""
        found = None
        for offset, line, column in self.origin:
            if offset > start:
                break
            found = Spot(line, column + start - offset, max(end - start, 1))
        return found or self.spot


@dataclass(frozen=True, slots=True)
class Block:
    """A heading, paragraph, list item or block quote, with its sentences.

    `level` is a heading's level or a list item's depth; `attributes` are those of a heading. `number` is an ordered
    item's number, else 0.
    """

    kind: Literal["heading", "paragraph", "item", "quote"]
    sentences: tuple[Sentence, ...]
    level: int = 0
    number: int = 0
    attributes: tuple[tuple[str, str], ...] = ()
    spot: Spot = Spot()

    @property
    def text(self) -> str:
        """The visible text of the whole block."""
        return " ".join(sentence.text for sentence in self.sentences)


@dataclass(frozen=True, slots=True)
class Beat:
    """One titled section of a piece; text before the first heading has no title.

    `keep` is what its heading says; one that says nothing is `if-time`, but the first and the last, with which a talk
    opens and closes, are `always` (our choice).
    """

    title: str
    blocks: tuple[Block, ...]
    attributes: tuple[tuple[str, str], ...] = ()
    spot: Spot = Spot()
    keep: Keep = "if-time"

    @property
    def seconds(self) -> int | None:
        """The least it takes, where it says so."""
        return self._whole("seconds")

    @property
    def value(self) -> int | None:
        """What it is worth beside the others, where it says so."""
        return self._whole("value")

    def _whole(self, name: str) -> int | None:
        said = dict(self.attributes).get(name, "")
        return int(said) if WHOLE.fullmatch(said) else None


@dataclass(frozen=True)
class Piece:
    """A whole piece. What is worked out from its blocks is worked out once."""

    id: str
    front: Front
    blocks: tuple[Block, ...]

    @cached_property
    def beats(self) -> tuple[Beat, ...]:
        """Its sections, each opened by a heading of the second level."""
        beats: list[Beat] = []
        title, spot = "", Spot()
        attributes: tuple[tuple[str, str], ...] = ()
        blocks: list[Block] = []
        for block in self.blocks:
            if block.kind == "heading" and block.level <= 2:
                if title or blocks:
                    beats.append(Beat(title, tuple(blocks), attributes, spot))
                title, attributes, spot, blocks = block.text, block.attributes, block.spot, []
            else:
                blocks.append(block)
        if title or blocks:
            beats.append(Beat(title, tuple(blocks), attributes, spot))
        ends = (0, len(beats) - 1)
        return tuple(replace(beat, keep=_keep(beat, at in ends)) for at, beat in enumerate(beats))

    @cached_property
    def sentences(self) -> tuple[Sentence, ...]:
        """Every sentence that is not a heading, in order."""
        return tuple(s for block in self.blocks if block.kind != "heading" for s in block.sentences)


def _keep(beat: Beat, at_end: bool) -> Keep:
    said = dict(beat.attributes).get("keep")
    return next((keep for keep in KEEPS if keep == said), "always" if at_end else "if-time")


def is_said_aloud(use: str, kind: str) -> bool:
    """Whether a block of that kind is spoken: all of a talk but headings, not what a script's quotes show."""
    return (use == "talk" and kind != "heading") or (use == "script" and kind in ("paragraph", "item"))
