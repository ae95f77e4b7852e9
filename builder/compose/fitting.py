"""Fit a talk or script into a time: which beats stay, which go, and why.

In: beats with their times, or a document. Out: the choice worth most of all that fit, in the order of the piece. Beats
that always stay are never dropped; where they alone are too long, the choice says by how much.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from builder.compose.document import Document
from builder.compose.running import Running, TimedBeat, time_beats
from builder.model.museum import HouseRules
from builder.weigh.slot import Part, choose_parts, minutes, room_seconds


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A beat that does not fit, and why it is this one."""

    beat: TimedBeat
    why: str


@dataclass(frozen=True, slots=True)
class Fitted:
    """Which beats stay. `room` and `seconds` are whole seconds of speech; `over` how many the kept ones are too long.

    `value` is what the kept beats that could have gone are worth together.
    """

    room: int
    seconds: int
    over: int
    value: int
    kept: tuple[TimedBeat, ...]
    left_out: tuple[LeftOut, ...]


def fit(beats: Sequence[TimedBeat], room: int) -> Fitted:
    """The choice of beats worth most that takes at most `room` seconds of speech; `always` stays in any case.

    Exact. Among choices of equal value: more beats, then less time, then earlier beats.
    """
    parts = [Part(beat.seconds, beat.value, beat.keep == "always") for beat in beats]
    chosen = choose_parts(parts, room)
    firm = sum(part.seconds for part in parts if part.firm)
    seconds = sum(parts[index].seconds for index in chosen)
    value = _worth(parts, chosen)
    left_out = []
    for index, beat in enumerate(beats):
        if index not in chosen:
            forced = [replace(part, firm=part.firm or place == index) for place, part in enumerate(parts)]
            with_it = _worth(parts, choose_parts(forced, room))
            left_out.append(LeftOut(beat, _why(beat, room - firm, value, with_it)))
    kept = tuple(beats[index] for index in chosen)
    return Fitted(room, seconds, max(seconds - room, 0), value, kept, tuple(left_out))


def fit_document(document: Document, rules: HouseRules, minutes: Decimal) -> tuple[Document, Running, Fitted]:
    """A talk or script with the beats that fit into so many minutes, their running time, and what was left out."""
    whole = time_beats(document, rules, minutes=minutes)
    fitted = fit(whole.beats, room_seconds(minutes, share=whole.share))
    stays = {beat.index for beat in fitted.kept}
    shorter: Document = {
        **document,
        "beats": [beat for index, beat in enumerate(document.get("beats", ())) if index in stays],
    }
    running = time_beats(shorter, rules, minutes=minutes)
    beats = tuple(replace(beat, index=old.index) for beat, old in zip(running.beats, fitted.kept, strict=True))
    return shorter, replace(running, beats=beats), fitted


def _worth(parts: Sequence[Part], chosen: Sequence[int]) -> int:
    return sum(parts[index].value for index in chosen if not parts[index].firm)


def _why(beat: TimedBeat, free: int, value: int, with_it: int) -> str:
    if free <= 0:
        return "the beats that always stay take all the time there is"
    if beat.seconds > free:
        return f"it takes {minutes(beat.seconds)}, and the beats that always stay leave {minutes(free)}"
    if with_it < value:
        return f"the best choice with it is worth {with_it}, what stays is worth {value}"
    return f"a choice with it is worth no more ({value}), and has fewer beats, takes longer or drops an earlier one"
