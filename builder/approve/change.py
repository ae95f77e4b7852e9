"""What changed in a document since a decision, part by part and in words.

In: the parts as approved and as they are now. Out: changes, the grave ones known as such. Sentences are matched by
their words, so that one new sentence is one change and not a shift of all that follow.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Literal

from rapidfuzz.fuzz import ratio

from builder.approve.gravity import gravity, tokens
from builder.approve.partwords import part_name
from builder.model.approval import ApprovedPart

Kind = Literal["added", "removed", "changed", "moved"]
Stretch = tuple[Literal["same", "out", "in"], str]
ALIKE = 45.0
"""Likeness of 100 from which two sentences are one that was changed."""
MOST = 10_000
"""Pairs of sentences to compare; a text rewritten beyond that is matched in order."""
SEQUENCES = ("text", "questions")


@dataclass(frozen=True)
class Change:
    """One part that changed: `part` its name now, or then where it is gone; `was` and `now` its words.

    `stretches` are the words of both in order: the same, out, in. `marks` say what the change touches that matters
    most; `small` is a change of nothing but signs, capitals, type or paragraph.
    """

    part: str
    kind: Kind
    was: str
    now: str
    stretches: tuple[Stretch, ...]
    marks: tuple[str, ...]
    small: bool

    @property
    def serious(self) -> bool:
        """Whether it touches a number, unit, negation, name, source, place, image, hazard or the like."""
        return bool(self.marks)

    @property
    def where(self) -> str:
        """What the part is called."""
        return part_name(self.part)

    @property
    def words(self) -> str:
        """The change in one line, `[-out-] {+in+}`; far from any change, words are left out."""
        return _in_line(self.stretches)

    def __str__(self) -> str:
        grade = f" ({', '.join(self.marks)})" if self.marks else " (small)" if self.small else ""
        told = f": {self.words}" if self.kind != "moved" else ""
        return f"{self.where} {self.kind}{grade}{told}"


def find_changes(then: Mapping[str, ApprovedPart], now: Mapping[str, ApprovedPart]) -> tuple[Change, ...]:
    """Every difference of two documents, in the order of reading, first what is there now, then what is gone."""
    names = _names(then) | _names(now)
    made: list[Change] = []
    for section in SEQUENCES:
        made += _sequence(_section(then, section), _section(now, section), names)
    for name, part in now.items():
        if name.partition("/")[0] not in SEQUENCES:
            before = then.get(name)
            if before is None:
                made.append(_change(name, "added", "", part.text, names))
            elif before.fingerprint != part.fingerprint:
                made.append(_change(name, "changed", before.text, part.text, names))
    for name, part in then.items():
        if name.partition("/")[0] not in SEQUENCES and name not in now:
            made.append(_change(name, "removed", part.text, "", names))
    return tuple(made)


def word_diff(then: str, now: str) -> tuple[Stretch, ...]:
    """The words of both texts in order: the same, out, in."""
    before, after = tokens(then), tokens(now)
    made: list[Stretch] = []
    for tag, a, b, c, d in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag == "equal":
            made.append(("same", "".join(before[a:b])))
            continue
        if b > a:
            made.append(("out", "".join(before[a:b])))
        if d > c:
            made.append(("in", "".join(after[c:d])))
    return tuple(made)


Row = tuple[str, ApprovedPart]


def _section(parts: Mapping[str, ApprovedPart], section: str) -> list[Row]:
    return sorted((name, part) for name, part in parts.items() if name.partition("/")[0] == section)


def _sequence(then: Sequence[Row], now: Sequence[Row], names: Collection[str]) -> Iterator[Change]:
    found = list(_matched(then, now))
    gone = {was[1].fingerprint: was for was, becomes in found if was and not becomes}
    come = {becomes[1].fingerprint for was, becomes in found if becomes and not was}
    for was, becomes in found:
        if was and becomes:
            yield _change(becomes[0], "changed", was[1].text, becomes[1].text, names)
        elif becomes and becomes[1].fingerprint in gone:
            yield _change(becomes[0], "moved", becomes[1].text, becomes[1].text, names)
        elif becomes:
            yield _change(becomes[0], "added", "", becomes[1].text, names)
        elif was and was[1].fingerprint not in come:
            yield _change(was[0], "removed", was[1].text, "", names)


def _matched(then: Sequence[Row], now: Sequence[Row]) -> Iterator[tuple[Row | None, Row | None]]:
    """Pairs of rows that differ, one of them None where there is no other."""
    before, after = [part.fingerprint for _, part in then], [part.fingerprint for _, part in now]
    for tag, a, b, c, d in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag != "equal":
            yield from _paired(then[a:b], now[c:d])


def _paired(then: Sequence[Row], now: Sequence[Row]) -> Iterator[tuple[Row | None, Row | None]]:
    """The pairing, in order, of the greatest likeness: a row that is like none stands alone."""
    if len(then) * len(now) > MOST:
        short = min(len(then), len(now))
        yield from zip(then[:short], now[:short], strict=True)
        yield from ((row, None) for row in then[short:])
        yield from ((None, row) for row in now[short:])
        return
    best = [[0.0] * (len(now) + 1) for _ in range(len(then) + 1)]
    like = [[ratio(old.text, new.text) for _, new in now] for _, old in then]
    for i in range(len(then) - 1, -1, -1):
        for j in range(len(now) - 1, -1, -1):
            pair = like[i][j] + best[i + 1][j + 1] if like[i][j] >= ALIKE else 0.0
            best[i][j] = max(pair, best[i + 1][j], best[i][j + 1])
    i = j = 0
    while i < len(then) or j < len(now):
        if i < len(then) and j < len(now):
            if like[i][j] >= ALIKE and best[i][j] == like[i][j] + best[i + 1][j + 1]:
                yield then[i], now[j]
                i, j = i + 1, j + 1
                continue
            if best[i][j] == best[i + 1][j]:
                yield then[i], None
                i += 1
                continue
        elif i < len(then):
            yield then[i], None
            i += 1
            continue
        yield None, now[j]
        j += 1


def _change(part: str, kind: Kind, was: str, now: str, names: Collection[str]) -> Change:
    marks = gravity(part, was, now, names=names) if kind != "moved" else ()
    bare = [[t.lower() for t in tokens(text) if t[0].isalnum()] for text in (was, now)]
    small = not marks and bare[0] == bare[1]
    return Change(part, kind, was, now, word_diff(*_without_equal_marks(was, now)), marks, small)


def _without_equal_marks(was: str, now: str) -> tuple[str, str]:
    """Both texts without the row of what a sentence rests on, where it is the same."""
    before, _, marks = was.rpartition("\n[")
    after, _, others = now.rpartition("\n[")
    return (before, after) if before and after and marks == others else (was, now)


def _names(parts: Mapping[str, ApprovedPart]) -> frozenset[str]:
    """The words of the animal's, plant's or rock's own names: they are names in small letters too."""
    text = parts["name"].text if "name" in parts else ""
    rows = [row.partition(": ")[2] for row in text.split("\n") if not row.startswith("say:")]
    return frozenset(word.lower() for row in rows for word in tokens(row) if len(word) > 3)


def _in_line(stretches: Sequence[Stretch], *, near: int = 32) -> str:
    """Blanks at the ends of a stretch stand outside its brackets."""
    made = []
    for index, (kind, given) in enumerate(stretches):
        text = " ".join(given.split())
        lead, tail = " " * given[:1].isspace(), " " * (given[-1:].isspace() and bool(text))
        if kind == "same" and len(text) > 2 * near:
            start = "" if index == 0 else text[:near].rsplit(" ", 1)[0]
            end = "" if index == len(stretches) - 1 else text[-near:].split(" ", 1)[-1]
            text = f"{start} … {end}".strip()
        shown = {"same": text, "out": f"[-{text}-]", "in": f"{{+{text}+}}"}[kind]
        made.append(f"{lead}{shown}{tail}")
    return " ".join("".join(made).split())
