"""Read SubRip (`.srt`): numbered captions with times in hours, minutes, seconds and, after a comma, milliseconds.

In: the text of a file. Out: its captions and its faults. SubRip has no standard; what is held to is the form that the
Matroska documentation describes: a number counted from 1, a line `HH:MM:SS,mmm --> HH:MM:SS,mmm`, the words, a blank
line. Tags such as `<i>` and `{\\an8}` are passed over.
"""

from __future__ import annotations

import re

from builder.load.captionfile import MODELS, CaptionFault, CaptionFile, read_time, time_fault
from builder.load.captiontext import plain_parts
from builder.model.caption import Caption

TIMES = re.compile(r"\s*([0-9:.,]+)\s*-->\s*([0-9:.,]+)\s*(.*)")
NUMBER = re.compile(r"\s*[0-9]+\s*")
TAG = re.compile(r"</?(?:i|b|u|s|font)(?:\s[^<>]*)?>|\{\\[^{}]*\}", re.IGNORECASE)


def read_subrip(text: str) -> CaptionFile:
    """Read SubRip text."""
    text = text.removeprefix("\ufeff").replace("\0", "\ufffd").replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    faults: list[CaptionFault] = []
    captions: list[Caption] = []

    def fault(row: int, message: str, mend: str, column: int = 1, *, grave: bool = False) -> None:
        faults.append(CaptionFault(row, column, message, mend, grave))

    starts = [index for index, line in enumerate(lines) if "-->" in line and TIMES.fullmatch(line)]
    heads = [index - 1 if index and NUMBER.fullmatch(lines[index - 1]) else index for index in starts]
    if any(line.strip() for line in lines[: heads[0] if heads else len(lines)]):
        fault(1, "the file does not start with a caption", "start with `1`, then the times, then the words", grave=True)
    latest = 0
    for index, (head, times) in enumerate(zip(heads, starts, strict=True)):
        row = times + 1
        if head == times:
            fault(row, "the caption has no number", f"write `{index + 1}` on the line before")
        elif int(lines[head][:20]) != index + 1:
            said = f"the caption is numbered {lines[head].strip()[:20]} where {index + 1} is due"
            fault(head + 1, said, f"write `{index + 1}`")
        if head and lines[head - 1].strip():
            fault(head + 1, "no blank line parts this caption from the one before", "put a blank line before it")
        found = TIMES.fullmatch(lines[times])
        assert found
        start, end = read_time(found[1]), read_time(found[2])
        for group in (1, 2):
            wrong = time_fault(found[group], "subrip")
            if wrong:
                fault(row, wrong, f"write it as `{MODELS['subrip']}`", found.start(group) + 1)
        if start is None or end is None:
            fault(row, "the times cannot be read, so the caption is lost", f"write `{MODELS['subrip']}`", grave=True)
            continue
        if end <= start:
            fault(row, "the caption ends no later than it starts", "let it end after it starts", grave=True)
        if start < latest:
            mend = "put the captions in the order of their times"
            fault(row, "the caption starts before one that stands above it", mend)
        latest = max(latest, start)
        if found[3]:
            mend = "leave it out; players differ in what they make of it"
            fault(row, f"`{found[3][:40]}` stands after the times", mend, found.start(3) + 1)
        last = heads[index + 1] if index + 1 < len(heads) else len(lines)
        words = lines[times + 1 : last]
        while words and not words[-1].strip():
            words.pop()
        if any(not line.strip() for line in words):
            mend = "close up the words of one caption; many players stop at a blank line"
            fault(row, "a blank line stands among the words", mend, grave=True)
        shown = "\n".join(TAG.sub("", line) for line in words if line.strip())
        name = lines[head].strip() if head != times else ""
        captions.append(Caption(start, end, plain_parts(shown), name, (), row))
    faults.sort(key=lambda item: (item.row, item.column))
    return CaptionFile("subrip", tuple(captions), tuple(faults))
