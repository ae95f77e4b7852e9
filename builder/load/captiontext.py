"""The words of one WebVTT caption: tags, voices and character references.

In: the text of a caption as it stands in the file, line ends as "\\n". Out: its words by voice, and the faults. What is
read is what a player reads by the rules of the standard (WebVTT, W3C, "cue text parsing rules"): an unknown tag is
passed over, an end tag that closes nothing is passed over, an open "<" swallows what follows.
"""

from __future__ import annotations

import re
from bisect import bisect
from dataclasses import dataclass
from html import unescape
from html.entities import html5

CLASSED = frozenset({"c", "i", "b", "u", "ruby", "rt", "v", "lang"})
ANNOTATED = {"v": "who speaks", "lang": "which language follows"}
REFERENCE = re.compile(r"&(?:#[0-9]{1,7}|#[xX][0-9A-Fa-f]{1,6}|[A-Za-z][A-Za-z0-9]{0,31});")
TIME_TAG = re.compile(r"(?:[0-9]{2,}:)?[0-5][0-9]:[0-5][0-9]\.[0-9]{3}")
TAG_NAME = re.compile(r"([^\s.]*)((?:\.[^\s.]*)*)\s*(.*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class TextFault:
    """A fault at character `at` of the caption's text."""

    at: int
    message: str
    mend: str


def read_caption_text(text: str) -> tuple[tuple[tuple[str, str], ...], tuple[TextFault, ...]]:
    """The parts (voice, words) of a caption's text, and its faults in order."""
    return _CaptionText(text).read()


def plain_parts(text: str) -> tuple[tuple[str, str], ...]:
    """The parts of a text without tags."""
    return (("", text),) if text else ()


class _CaptionText:
    """The text while it is read: open tags with their voices, and where each stands."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.open: list[tuple[str, str, int]] = []
        self.parts: list[tuple[str, str]] = []
        self.faults: list[TextFault] = []

    def read(self) -> tuple[tuple[tuple[str, str], ...], tuple[TextFault, ...]]:
        at, text = 0, self.text
        while at < len(text):
            if text[at] == "<":
                end = text.find(">", at)
                if end < 0:
                    mend = "close the tag with `>`, or write `&lt;` for the sign itself"
                    self.fault(at, "`<` opens a tag that never closes, and a player drops what follows it", mend)
                    break
                self.tag(text[at + 1 : end], at)
                at = end + 1
            else:
                end = text.find("<", at)
                end = len(text) if end < 0 else end
                self.words(text[at:end], at)
                at = end
        for name, _, where in self.open:
            if name != "v" or len(self.open) > 1 or where:
                self.fault(where, f"the tag `<{name}>` is never closed", f"write `</{name}>` where it ends")
        return tuple(self.parts), tuple(sorted(self.faults, key=lambda fault: fault.at))

    def fault(self, at: int, message: str, mend: str) -> None:
        self.faults.append(TextFault(at, message, mend))

    def words(self, written: str, at: int) -> None:
        """Words between tags, by whoever speaks there."""
        for found in re.finditer("&", written):
            reference = REFERENCE.match(written, found.start())
            if reference is None or not _is_known(reference[0]):
                self.fault(at + found.start(), "`&` stands for itself", "write `&amp;`")
        read = unescape(written)
        voice = next((voice for name, voice, _ in reversed(self.open) if name == "v"), "")
        if not read:
            return
        if self.parts and self.parts[-1][0] == voice:
            self.parts[-1] = (voice, self.parts[-1][1] + read)
        else:
            self.parts.append((voice, read))

    def tag(self, written: str, at: int) -> None:
        if written.startswith("/"):
            self.close(written[1:], at)
        elif written[:1] in tuple("0123456789"):
            if not TIME_TAG.fullmatch(written):
                self.fault(at, f"`<{written[:40]}>` is no time", "write it as `<00:00:01.500>`, or leave it out")
        else:
            name, classes, annotation = TAG_NAME.fullmatch(written).groups()  # type: ignore[union-attr]
            known = name in CLASSED and (name != "rt" or (bool(self.open) and self.open[-1][0] == "ruby"))
            if not known:
                mend = "leave it out, or write `&lt;` for the sign itself"
                self.fault(at, f"there is no tag `<{written[:40]}>`", mend)
                return
            said = " ".join(unescape(annotation).split())
            if name in ANNOTATED and not said:
                self.fault(at, f"`<{name}>` does not say {ANNOTATED[name]}", f"write `<{name} …>`")
            elif said and name not in ANNOTATED:
                self.fault(at, f"`<{name}>` takes no words beside it", f"write `<{name}{classes}>`")
            self.open.append((name, said if name == "v" else "", at))

    def close(self, name: str, at: int) -> None:
        names = [open_name for open_name, _, _ in self.open]
        if names and names[-1] == name:
            self.open.pop()
        elif names[-2:] == ["ruby", "rt"] and name == "ruby":
            del self.open[-2:]  # the standard lets </ruby> close both
        else:
            self.fault(at, f"`</{name[:40]}>` closes nothing that is open here", "leave it out, or open it before")


def _is_known(reference: str) -> bool:
    return reference[1] == "#" or reference[1:] in html5


def line_starts(text: str) -> list[int]:
    """The position at which each line of a text begins."""
    return [0, *(found.end() for found in re.finditer("\n", text))]


def place_of(starts: list[int], at: int) -> tuple[int, int]:
    """Line and character of position `at`, both from 0, in a text whose lines begin at `starts`."""
    line = bisect(starts, at) - 1
    return line, at - starts[line]
