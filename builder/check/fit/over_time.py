"""over-time: see over_time.md"""

from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

from builder.check.case import Case
from builder.check.fit.length import is_spoken
from builder.model.museum import HouseRules
from builder.model.piece import Beat, Piece
from builder.problem import ERROR, WARNING, Problem
from builder.weigh.timing import speaking_seconds, spoken_words

NAME, SEVERITY, WAIVABLE, SCOPE = "over-time", WARNING, True, "piece"
RATES = {"talk": 130, "script": 140}
"""Words a minute, unless the house says otherwise (our choice, within the rates the page names)."""
LEEWAY = 1.1
"""A talk whose indispensable beats run over by more than a tenth is an error: no speaker makes that up (our choice)."""


def check(case: Case, piece: Piece) -> Iterator[Problem]:
    """A talk or script that takes longer than its slot."""
    use, slot = piece.front.piece, piece.front.slot
    if slot is None or use not in RATES or case.pieces.get(piece.id) is not piece:
        return
    rate = rate_of(case.rules, use)
    share = case.rules.spoken_share if use == "talk" else Decimal(1)
    room = float(slot * 60 * share)
    beats = [(beat, beat_seconds(piece, beat, rate)) for beat in piece.beats]
    whole = sum(seconds for _, seconds in beats)
    if whole <= room:
        return
    spare = [(beat, seconds, keep) for beat, seconds in beats if (keep := keep_of(beat)) != "always"]
    firm = whole - sum(seconds for _, seconds, _ in spare)
    message = f"{minutes(whole)} at {rate} words a minute; a slot of {slot:f} min has room for {minutes(room)}"
    if share != 1:
        message += f" of speech, {share:f} of it"
    message += f": {minutes(whole - room)} too long"
    named = ", ".join(
        f"“{beat.title}” ({minutes(seconds)}, `{keep}`)"
        for beat, seconds, keep in sorted(spare, key=lambda row: row[2] != "spare")
    )
    if firm > room:
        cut = f"cut {round((firm - room) * rate / 60)} words"
        mend = (
            f"leave out {named}, and {cut} of the rest" if named else f"{cut}, or mark beats `keep=if-time` or `spare`"
        )
    else:
        mend = f"leave out some of {named}; `print --minutes {slot:f}` chooses them"
    severity = ERROR if firm > room * LEEWAY else WARNING
    yield Problem(NAME, message, mend, path=("slot",), severity=severity)


def rate_of(rules: HouseRules, use: str) -> int:
    """Words a minute for a talk or a script."""
    return next((rate for kind, rate in rules.words_per_minute.items() if kind == use), RATES[use]) or RATES[use]


def keep_of(beat: Beat) -> str:
    """`always`, `if-time` or `spare`."""
    return dict(beat.attributes).get("keep") or "always"


def beat_seconds(piece: Piece, beat: Beat, rate: int) -> float:
    """Seconds of one beat: its words at that rate, numbers as spoken, but no less than the seconds it states."""
    words = sum(
        spoken_words(sentence.text) for block in beat.blocks if is_spoken(piece, block) for sentence in block.sentences
    )
    try:
        stated = float(Decimal(dict(beat.attributes).get("seconds") or "0"))
    except InvalidOperation:
        stated = 0.0
    return max(speaking_seconds(words, rate_wpm=rate), stated if 0 <= stated < float("inf") else 0.0)


def minutes(seconds: float) -> str:
    """A time as `2 min 30 s`."""
    whole, rest = divmod(round(seconds), 60)
    return " ".join(
        part for part in (f"{whole} min" if whole else "", f"{rest} s" if rest or not whole else "") if part
    )
