"""Captions to WebVTT and to SubRip, so that our own strict reader finds no fault in what is written.

In: captions in the order of their times. Out: text, line ends as "\\n". Refused, as `ValueError`, since a program is to
blame and no record: a caption that ends no later than it starts, one that starts before the one above it, a time below
zero, an id that occurs twice. No text is refused: signs of the format are escaped, and blank lines closed up.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from builder.model.caption import Caption

ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", "\0": "\ufffd"})
LINE_END = re.compile(r"\r\n?|\n")


def write_webvtt(captions: Sequence[Caption], *, note: str = "", data: bool = False) -> str:
    """A WebVTT file; with `data` the payload is JSON or the like and stands as it is, but for the sign `-->`.

    `note` becomes a comment at the top, seen by whoever opens the file.
    """
    _judge(captions)
    blocks = ["WEBVTT"]
    if note:
        blocks.append("NOTE\n" + _lines(note.replace("-->", "→")))
    for caption in captions:
        rows = [_one_line(caption.id).replace("-->", "→")] if caption.id else []
        settings = "".join(f" {name}:{value}" for name, value in caption.settings)
        rows.append(f"{webvtt_time(caption.start_ms)} --> {webvtt_time(caption.end_ms)}{settings}")
        if data:
            rows.append(_lines(caption.text.replace("-->", "--\\u003e").replace("\0", "\ufffd")))
        else:
            said = ((voice, _lines(words.translate(ESCAPES), ends=False)) for voice, words in caption.parts)
            rows.append(_lines("".join(_voiced(voice, words) for voice, words in said)))
        blocks.append("\n".join(row for row in rows if row))
    return "\n\n".join(blocks) + "\n"


def write_subrip(captions: Sequence[Caption]) -> str:
    """A SubRip file, numbered from 1. It knows no voices: a speaker is named before the words, as `NAME: words`."""
    _judge(captions)
    blocks = []
    for number, caption in enumerate(captions, 1):
        # SubRip has no escapes, and what looks like a tag would be dropped by a player
        said = "".join(f"{voice}: {words}" if voice else words for voice, words in caption.parts)
        said = _lines(said.replace("-->", "→").replace("<", "‹").replace(">", "›").replace("{\\", "(\\"))
        times = f"{subrip_time(caption.start_ms)} --> {subrip_time(caption.end_ms)}"
        blocks.append(f"{number}\n{times}\n{said or '…'}")
    return "\n\n".join(blocks) + "\n" if blocks else ""


def webvtt_time(ms: int) -> str:
    """A time as `hh:mm:ss.ttt`; hours of two digits or more."""
    seconds, thousandths = divmod(ms, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}.{thousandths:03}"


def subrip_time(ms: int) -> str:
    """A time as `hh:mm:ss,ttt`."""
    return webvtt_time(ms).replace(".", ",")


def clock_time(ms: int) -> str:
    """A time for people, in whole seconds cut off: `0:00`, `12:05`, `1:02:03`."""
    seconds = ms // 1000
    hours, minutes, rest = seconds // 3600, seconds // 60 % 60, seconds % 60
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def _judge(captions: Sequence[Caption]) -> None:
    ids: set[str] = set()
    latest = 0
    for caption in captions:
        if caption.start_ms < latest:
            raise ValueError(f"a caption starts at {caption.start_ms} ms, before one above it or before zero")
        if caption.end_ms <= caption.start_ms:
            raise ValueError(f"a caption ends at {caption.end_ms} ms, no later than it starts")
        if caption.id and caption.id in ids:
            raise ValueError(f"two captions are called {caption.id}")
        ids.add(caption.id)
        latest = caption.start_ms


def _voiced(voice: str, words: str) -> str:
    name = _one_line(voice).translate(ESCAPES)
    return f"<v {name}>{words}</v>" if name else words


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _lines(text: str, *, ends: bool = True) -> str:
    """The text without blank lines, which would end the caption; with `ends`, trimmed on either side."""
    lines = LINE_END.split(text)
    kept = [line for line in lines if line.strip()] if len(lines) > 1 or ends else lines
    return "\n".join(kept)
