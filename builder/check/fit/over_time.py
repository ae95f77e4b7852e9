"""over-time: see over_time.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.fit.length import words_aloud
from builder.model.museum import RATES, HouseRules
from builder.model.piece import Beat, Piece
from builder.problem import ERROR, WARNING, Problem
from builder.weigh.slot import KEEP_VALUES, Part, choose_parts, minutes, room_seconds, text_seconds

NAME, SEVERITY, WAIVABLE, SCOPE = "over-time", WARNING, True, "piece"
LEEWAY = 1.1
"""A talk whose indispensable beats run over by more than a tenth is an error: no speaker makes that up (our choice)."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A talk or script that takes longer than its slot."""
    use, slot = piece.front.piece, piece.front.slot
    if slot is None or use not in RATES or case.pieces.get(piece.id) is not piece:
        return
    rate, share = case.rules.rate_wpm(use), case.rules.share_of(use)
    room = room_seconds(slot, share=share)
    beats = piece.beats
    parts = [part_of(piece, beat, case.rules) for beat in beats]
    whole = sum(part.seconds for part in parts)
    if whole <= room:
        return
    kept = choose_parts(parts, room)
    firm = sum(part.seconds for part in parts if part.firm)
    message = f"{minutes(whole)} at {rate} words a minute; a slot of {slot:f} min has room for {minutes(room)}"
    if share != 1:
        message += f" of speech, {share:f} of it"
    message += f": {minutes(whole - room)} too long"
    named = _listed(
        [
            f"“{beat.title}” ({minutes(part.seconds)}, `{beat.keep}`)"
            for index, (beat, part) in enumerate(zip(beats, parts, strict=True))
            if index not in kept
        ]
    )
    if firm > room:
        words = -(-(firm - room) * rate // 60)
        cut = f"cut {words} word{'s' if words != 1 else ''}"
        mend = (
            f"leave out {named}, and {cut} of the rest" if named else f"{cut}, or mark beats `keep=if-time` or `spare`"
        )
    else:
        mend = f"leave out {named}, which brings it in; `print --minutes {slot:f}` does"
    severity = ERROR if firm > room * LEEWAY else WARNING
    yield Problem(NAME, message, mend, path=("slot",), severity=severity)


def part_of(piece: Piece, beat: Beat, rules: HouseRules) -> Part:
    """A beat as a part of its talk or script: how long it takes, and what it is worth."""
    seconds = text_seconds(
        words_aloud(piece, beat), rate_wpm=rules.rate_wpm(piece.front.piece), stated=beat.seconds or 0
    )
    return Part(seconds, beat.value or KEEP_VALUES[beat.keep], beat.keep == "always")


def _listed(names: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))
