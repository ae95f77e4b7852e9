"""Read caption files: WebVTT and SubRip.

In: the text of a file, or its bytes. Out: a `CaptionFile`: its captions, and every fault with row, column and mend. A
file that breaks the standard is read as far as its meaning is plain, and each departure is a fault; no text at all
raises. A fault is `grave` where a player drops or garbles something because of it.
"""

from __future__ import annotations

import re

from builder.load.captionfile import CaptionFault, CaptionFile, Kind
from builder.load.subrip import read_subrip
from builder.load.webvtt import read_webvtt
from builder.load.workspace import decode

SUBRIP_TIME = re.compile(r"\s*[0-9]{1,3}:[0-9]{1,2}:[0-9]{1,2},[0-9]+\s*-->")


def read_captions(text: str, *, kind: Kind = "captions") -> CaptionFile:
    """Read the text of a caption file of either kind; what names itself neither is judged as WebVTT.

    The payload of a metadata track is data, not words: it is kept as it stands.
    """
    text = text.removeprefix("\ufeff")
    if not text[:6].upper().startswith("WEBVTT"):
        rows = [row for row in re.split(r"\r\n|\n|\r", text, maxsplit=60) if row.strip()]
        if any(SUBRIP_TIME.match(row) for row in rows):
            return read_subrip(text)
    return read_webvtt(text, kind=kind)


def read_caption_file(data: bytes, *, kind: Kind = "captions") -> CaptionFile:
    """Read the bytes of a caption file; what is not UTF-8 text gives no captions and one fault."""
    # a zero byte stands for a replacement character by the standard, so it makes no file unreadable
    text, problem = decode(data.replace(b"\0", "\ufffd".encode()) if b"\0" not in data[:4] else data)
    if problem:
        row = problem.place.line if problem.place else 1
        fault = CaptionFault(row, 1, problem.message, problem.mend, True)
        return CaptionFile("webvtt", (), (fault,))
    return read_captions(text, kind=kind)
