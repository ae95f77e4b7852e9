"""Read WebVTT, the W3C's text tracks.

In: the text of a file. Out: its captions and its faults. Which lines belong together is decided as a player decides it
("WebVTT parser algorithm" of the standard); what an author may write is held to the stricter syntax of the same
document. A caption that a player passes over, for the way its times are written, is read with `shown` false.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from builder.load.captionfile import MODELS, CaptionFault, CaptionFile, Kind, read_time, time_fault
from builder.load.captiontext import line_starts, place_of, plain_parts, read_caption_text
from builder.model.caption import Caption

ARROW = "-->"
PLAYED = r"[0-9]+:[0-5][0-9]:[0-5][0-9]\.[0-9]{3}(?![0-9])|[0-5][0-9]:[0-5][0-9]\.[0-9]{3}(?![0-9])"
"""A time as a player reads it ("collect a WebVTT timestamp"): hours of any number of digits."""
PLAYED_TIMES = re.compile(rf"[ \t\f]*({PLAYED})[ \t\f]*-->[ \t\f]*({PLAYED})(.*)")
MEANT_TIMES = re.compile(r"\s*([0-9:.,]+)\s*-->\s*([0-9:.,]+)(.*)")
WELL_SPACED = re.compile(r"\S+[ \t]+-->[ \t]+\S+(?:[ \t].*)?")
PERCENT = r"(?:100(?:\.0+)?|[0-9]{1,2}(?:\.[0-9]+)?)%"
SETTINGS = {
    "vertical": re.compile(r"rl|lr"),
    "line": re.compile(rf"(?:{PERCENT}|-?[0-9]+)(?:,(?:start|center|end))?"),
    "position": re.compile(rf"{PERCENT}(?:,(?:line-left|center|line-right))?"),
    "size": re.compile(PERCENT),
    "align": re.compile(r"start|center|end|left|right"),
    "region": re.compile(r"\S+"),
}
REGION = {
    "id": re.compile(r"\S+"),
    "width": re.compile(PERCENT),
    "lines": re.compile(r"[0-9]+"),
    "regionanchor": re.compile(rf"{PERCENT},{PERCENT}"),
    "viewportanchor": re.compile(rf"{PERCENT},{PERCENT}"),
    "scroll": re.compile(r"up"),
}
BLOCK = re.compile(r"(STYLE|REGION)[ \t]*")
NOTE = re.compile(r"NOTE(?:[ \t].*)?")
SKIPPED = "; a player skips the caption"


def read_webvtt(text: str, *, kind: Kind = "captions") -> CaptionFile:
    """Read WebVTT text; `kind` says whether the payload is words, a chapter's title, or data."""
    return _WebVTT(text, kind).read()


@dataclass
class _Block:
    """Lines that belong together: the row of its first line, the row of its times if it has any, its text."""

    row: int
    id: str | None = None
    times_row: int = 0
    rows: list[str] = field(default_factory=list)


class _WebVTT:
    def __init__(self, text: str, kind: Kind) -> None:
        text = text.removeprefix("\ufeff").replace("\0", "\ufffd").replace("\r\n", "\n").replace("\r", "\n")
        self.kind = kind
        self.lines = text.split("\n")
        if self.lines[-1] == "":
            self.lines.pop()
        self.faults: list[CaptionFault] = []
        self.captions: list[Caption] = []
        self.ids: dict[str, int] = {}
        self.regions: set[str] = set()
        self.latest = 0
        self.met = False

    def fault(self, row: int, message: str, mend: str, *, column: int = 1, grave: bool = False) -> None:
        self.faults.append(CaptionFault(row, column, message, mend, grave))

    def read(self) -> CaptionFile:
        at = self._header()
        while at < len(self.lines):
            if self.lines[at] == "":
                at += 1
                continue
            block, at = self._collect(at)
            if block.times_row:
                self._caption(block)
            else:
                self._apart(block)
        faults = tuple(sorted(self.faults, key=lambda fault: (fault.row, fault.column)))
        return CaptionFile("webvtt", tuple(self.captions), faults)

    def _header(self) -> int:
        """Judge the first lines, and give the index at which the blocks start."""
        lines = self.lines
        first = lines[0] if lines else ""
        mend = "write `WEBVTT` alone on the first line, and leave the next one blank"
        if not re.fullmatch(r"WEBVTT(?:[ \t].*)?", first):
            said = "the file does not start with `WEBVTT`, so a player refuses it"
            self.fault(1, said, mend, grave=True)
            return 1 if first.strip().upper().startswith("WEBVTT") else 0
        if ARROW in first:
            self.fault(1, "the first line holds `-->`", mend, column=first.index(ARROW) + 1)
        at = 1
        while at < len(lines) and lines[at] and ARROW not in lines[at]:
            at += 1
        if at > 1 or (at < len(lines) and ARROW in lines[at]):
            self.fault(2, "the line after `WEBVTT` is not blank", "leave it blank")
        return at

    def _collect(self, at: int) -> tuple[_Block, int]:
        """The block that starts at index `at`, and the index after it ("collect a WebVTT block")."""
        block, count = _Block(at + 1), 0
        while at < len(self.lines):
            line = self.lines[at]
            count += 1
            if ARROW in line:
                if block.times_row or count > 2:
                    self._unparted(block, at)
                    break
                block.id = block.rows.pop() if block.rows else None
                block.times_row = at + 1
            elif line == "":
                break
            else:
                block.rows.append(line)
            at += 1
        return block, at

    def _unparted(self, block: _Block, at: int) -> None:
        """A caption starts in the middle of a block."""
        mend = "put a blank line, quite empty, before it and its number"
        self.fault(at + 1, "no blank line parts this caption from what stands before it", mend)
        if len(block.rows) > 1 and re.fullmatch(r"[0-9]+", block.rows[-1]):
            block.rows.pop()  # the number of the next caption, which nobody speaks
            while block.rows and not block.rows[-1].strip():
                block.rows.pop()

    def _apart(self, block: _Block) -> None:
        """A block without times: a note, styles, a region, or something lost."""
        first = block.rows[0]
        named = BLOCK.fullmatch(first)
        if named:
            if self.met:
                mend = "move it before the first caption"
                self.fault(block.row, f"a {named[1]} block after the first caption does nothing", mend)
            if named[1] == "REGION":
                self._region(block)
        elif not NOTE.fullmatch(first):
            mend = "give it times, or start it with `NOTE`"
            self.fault(block.row, "these lines are no caption, and nobody sees them", mend, grave=True)

    def _region(self, block: _Block) -> None:
        given: dict[str, str] = {}
        for row, line in enumerate(block.rows[1:], block.row + 1):
            for word in line.split():
                self._setting(word, REGION, given, row, line.index(word) + 1)
        if "id" not in given:
            self.fault(block.row, "the region has no `id`", "add a line `id:` and a name")
        elif given["id"] in self.regions:
            self.fault(block.row, f"there is a region `{given['id']}` before", "give it a name of its own")
        self.regions.add(given.get("id", ""))

    def _setting(self, word: str, known: dict[str, re.Pattern[str]], given: dict[str, str], row: int, at: int) -> None:
        """One `name:value`, kept if it is well formed."""
        name, colon, value = word.partition(":")
        if not colon or name not in known:
            mend = f"write one of {', '.join(f'`{key}:`' for key in known)}, or leave it out"
            self.fault(row, f"there is no setting `{word[:40]}`", mend, column=at)
        elif name in given:
            self.fault(row, f"`{name}` is set twice", "leave one out", column=at)
        elif not known[name].fullmatch(value):
            mend = "write a value that the WebVTT standard knows, or leave it out"
            self.fault(row, f"`{word[:40]}` is no value for `{name}`", mend, column=at)
        else:
            given[name] = value

    def _caption(self, block: _Block) -> None:
        self.met = True
        row, line = block.times_row, self.lines[block.times_row - 1]
        played = PLAYED_TIMES.fullmatch(line)
        found = played or MEANT_TIMES.fullmatch(line)
        start, end = (read_time(found[1]), read_time(found[2])) if found else (None, None)
        if found is None or start is None or end is None:
            mend = f"write two times, as `{MODELS['webvtt']} --> 00:01:04.000`"
            self.fault(row, f"this line with `-->` gives no times{SKIPPED}", mend, grave=True)
            return
        for group in (1, 2):
            fault = time_fault(found[group])
            if fault:
                column = found.start(group) + 1
                said = fault if played else fault + SKIPPED
                self.fault(row, said, f"write it as `{MODELS['webvtt']}`", column=column, grave=not played)
        if not WELL_SPACED.fullmatch(line):
            mend = f"write `{found[1]} --> {found[2]}`, with one blank on either side, from the first column"
            self.fault(row, "a blank is missing around `-->`, or one stands before the time", mend)
        self._judge_times(row, start, end)
        settings: dict[str, str] = {}
        for word in re.finditer(r"[^ \t]+", found[3]):
            self._setting(word[0], SETTINGS, settings, row, found.start(3) + word.start() + 1)
        if settings.get("region", "") and settings["region"] not in self.regions:
            mend = "define it in a REGION block before the first caption, or leave the setting out"
            self.fault(row, f"there is no region `{settings['region']}`", mend)
        if block.id is not None:
            self._judge_id(block.id, row - 1)
        payload = "\n".join(block.rows)
        self.captions.append(
            Caption(start, end, self._parts(payload, row), block.id or "", tuple(settings.items()), row, bool(played))
        )

    def _judge_times(self, row: int, start: int, end: int) -> None:
        if end <= start:
            mend = "let it end after it starts"
            self.fault(row, "the caption ends no later than it starts, so nobody can read it", mend, grave=True)
        if start < self.latest:
            mend = "put the captions in the order of their times"
            self.fault(row, "the caption starts before one that stands above it", mend)
        self.latest = max(self.latest, start)

    def _judge_id(self, name: str, row: int) -> None:
        if name in self.ids:
            mend = "give it another, or none"
            self.fault(row, f"the caption on line {self.ids[name]} is called `{name[:40]}` too", mend)
        self.ids.setdefault(name, row)

    def _parts(self, payload: str, row: int) -> tuple[tuple[str, str], ...]:
        if self.kind == "metadata":
            return plain_parts(payload)
        parts, faults = read_caption_text(payload)
        starts = line_starts(payload) if faults else []
        for fault in faults:
            line, column = place_of(starts, fault.at)
            self.fault(row + 1 + line, fault.message, fault.mend, column=column + 1)
        return parts
