"""A caption file as read, its faults, and the times in it, judged as an author may write them.

In: a time as text. Out: milliseconds, and what is amiss with the way it is written.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from builder.model.caption import Caption

Format = Literal["webvtt", "subrip"]
Kind = Literal["captions", "chapters", "metadata"]
MOST_MS = 1000 * 60 * 60 * 1000
"""A thousand hours; no film is longer, so a time beyond is a slip."""

CLOCK = re.compile(r"(?:([0-9]{1,12}):)?([0-9]{1,12}):([0-9]{1,12})(?:([.,])([0-9]{0,12}))?")
"""What is plainly meant as a time, well written or not."""
STRICT = {
    "webvtt": re.compile(r"(?:[0-9]{2,}:)?[0-5][0-9]:[0-5][0-9]\.[0-9]{3}"),
    "subrip": re.compile(r"[0-9]{2,}:[0-5][0-9]:[0-5][0-9],[0-9]{3}"),
}
MODELS = {"webvtt": "00:01:02.500", "subrip": "00:01:02,500"}
POINTS = {"webvtt": (".", "a full stop"), "subrip": (",", "a comma")}


@dataclass(frozen=True, slots=True)
class CaptionFault:
    """A fault at line `row` and character `column` of the file, both from 1.

    `grave` where a player that keeps to the standard shows less than the file holds, or nothing.
    """

    row: int
    column: int
    message: str
    mend: str
    grave: bool = False


@dataclass(frozen=True, slots=True)
class CaptionFile:
    """What a caption file holds. `captions` stand in the order of the file."""

    format: Format
    captions: tuple[Caption, ...]
    faults: tuple[CaptionFault, ...]


def time_fault(text: str, form: Format = "webvtt") -> str | None:
    """What keeps `text` from being a time as an author may write it; None where nothing does.

    WebVTT, W3C: hours of two digits or more, or none; minutes and seconds of two digits up to 59; a full stop; three
    digits. SubRip, as the Matroska documentation describes it: HH:MM:SS,mmm.
    """
    if STRICT[form].fullmatch(text):
        return None
    found = CLOCK.fullmatch(text)
    if not found:
        return f"`{text[:40]}` is no time"
    hours, minutes, seconds, point, decimals = found.groups()
    sign, sign_name = POINTS[form]
    if point is None:
        return f"the time `{text}` has no milliseconds"
    if point != sign:
        return f"the time `{text}` has `{point}` where {sign_name} is wanted"
    if len(decimals) != 3:
        return f"the time `{text}` has {len(decimals)} decimals where three are wanted"
    if len(minutes) != 2 or len(seconds) != 2 or (hours is not None and len(hours) < 2):
        return f"the time `{text}` has a number that is not of two digits"
    if int(minutes) > 59 or int(seconds) > 59:
        return f"the time `{text}` counts minutes or seconds beyond 59"
    return f"the time `{text}` has no hours"


def read_time(text: str) -> int | None:
    """Milliseconds of what is plainly meant as a time, however it is written; None where nothing is."""
    found = CLOCK.fullmatch(text)
    if not found:
        return None
    hours, minutes, seconds, _, decimals = found.groups()
    # more than three decimals are cut, not rounded: a caption never starts after the word it stands for
    fraction = int(f"{decimals or ''}000"[:3])
    whole = ((int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + fraction
    return whole if whole <= MOST_MS else None
