"""The running time of a talk or script: seconds of each beat, and the time left when it begins.

In: a document with beats, the house rules. Out: whole seconds. A beat takes its words at the house's rate, numbers as
they are spoken, rounded up, and no less than the `seconds` it states. The time left is that on the clock: a talk is
spoken for a share of its slot only, and what goes on questions, walking and props is spread over it evenly. Without a
slot the clock ends with the last word.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from builder.compose.document import BeatData, Document, text_of_sentence
from builder.model.museum import HouseRules
from builder.model.piece import is_said_aloud
from builder.weigh.slot import KEEP_VALUES, clock_seconds, room_seconds, text_seconds
from builder.weigh.timing import spoken_words


@dataclass(frozen=True, slots=True)
class TimedBeat:
    """A beat with its time: `starts` counts spoken seconds before it, `left` those on the clock when it begins.

    `index` counts from 0 in the whole piece; `words` are those heard. `left` is below zero once the slot is over.
    """

    index: int
    title: str
    keep: str
    value: int
    words: int
    seconds: int
    starts: int
    left: int


@dataclass(frozen=True, slots=True)
class Running:
    """The running time of a piece: `seconds` in all, `room` for speech in its slot, None where it has none."""

    rate_wpm: int
    share: Decimal
    room: int | None
    seconds: int
    beats: tuple[TimedBeat, ...]


def time_beats(document: Document, rules: HouseRules, *, minutes: Decimal | None = None) -> Running:
    """The running time of a talk or script, against `minutes`, or its own slot where none are given."""
    use = document["kind"]
    rate, share = rules.rate_wpm(use), rules.share_of(use)
    said = document["front"].get("slot")
    slot = minutes if minutes is not None else Decimal(said) if said else None
    beats = document.get("beats", [])
    words = [words_of_beat(use, beat) for beat in beats]
    each = [
        text_seconds(count, rate_wpm=rate, stated=beat.get("seconds", 0))
        for beat, count in zip(beats, words, strict=True)
    ]
    clock = room_seconds(slot) if slot is not None else clock_seconds(sum(each), share=share)
    starts = [sum(each[:index]) for index in range(len(each))]
    timed = tuple(
        TimedBeat(
            index=index,
            title=beat["title"],
            keep=beat["keep"],
            value=beat.get("value", KEEP_VALUES[beat["keep"]]),
            words=words[index],
            seconds=each[index],
            starts=starts[index],
            left=clock - clock_seconds(starts[index], share=share),
        )
        for index, beat in enumerate(beats)
    )
    room = room_seconds(slot, share=share) if slot is not None else None
    return Running(rate, share, room, sum(each), timed)


def words_of_beat(use: str, beat: BeatData) -> int:
    """The words of a beat as they are heard; what a script shows is not heard."""
    return sum(
        spoken_words(text_of_sentence(sentence))
        for block in beat["blocks"]
        if is_said_aloud(use, block["kind"])
        for sentence in block["sentences"]
    )
