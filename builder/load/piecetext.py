"""Markdown with front matter to a piece: sentences with their marks, cues, asides and places.

In: the text of one piece. Out: a `Piece` (or only blocks, for a text inside a record) and the problems. Refused: raw
HTML, pictures, tables and code, which are read as the plain words they are written with; front matter that is missing
or of the wrong shape.
"""

from __future__ import annotations

import re
from bisect import bisect
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.rules_inline import StateInline
from markdown_it.token import Token

from builder.load.sentence import split_sentences
from builder.load.shape import shape
from builder.load.yamltext import YamlTree, read_yaml
from builder.model.piece import Block, Front, Mark, Piece, Sentence, Span
from builder.problem import Problem, Spot

MARK = re.compile(r"\[\^([^\]\s]{1,200})\]")
SIMPLE = re.compile(r"(?:[^\\`*_<>&!\[\]\n]++|\[\^[^\]\s]{1,200}\]|(?<!\s)\n(?!\s))*+")
"""Words, marks and breaks of rows alone: what most blocks are, and what needs no parser."""
MARK_OR_BREAK = re.compile(rf"{MARK.pattern}|\n")
ATTRIBUTES = re.compile(r"\s*\{:?\s*([^{}]*?)\s*\}\s*$")
PAIR = re.compile(r"([a-z-]+)=(?:\"([^\"]*)\"|(\S+))")
WEB = re.compile(r"(?:https?://|mailto:)\S+", re.IGNORECASE)
ASIDE = "aside"


def _mark_rule(state: StateInline, silent: bool) -> bool:
    """`[^id]` becomes a token of its own."""
    if not state.src.startswith("[^", state.pos):
        return False
    found = MARK.match(state.src, state.pos, state.posMax)
    if not found:
        return False
    if not silent:
        token = state.push("mark", "", 0)
        token.content = found.group(1)
        token.markup = found.group()
    state.pos = found.end()
    return True


def _parser() -> MarkdownIt:
    parser = MarkdownIt("commonmark", {"html": False})
    parser.disable(["code", "fence", "html_block", "reference", "lheading", "inline", "text_join", "html_inline"])
    parser.inline.ruler.before("link", "mark", _mark_rule)
    parser.validateLink = lambda url: True  # type: ignore[method-assign] # judged below, with a message
    return parser


PARSER = _parser()


def read_piece(name: str, text: str) -> tuple[Piece | None, tuple[Problem, ...], YamlTree]:
    """Read the piece called `name`. Problems carry spots, not places; None where the front matter is beyond use."""
    lines = text.split("\n")
    end = next((i for i, line in enumerate(lines[1:], 1) if line.rstrip() == "---"), None)
    if lines[0].rstrip() != "---" or end is None:
        mend = "start the file with a line `---`, then `piece:` and `title:`, then `---` again"
        problem = Problem("wrong-shape", f"`{name}` does not start with front matter", mend, spot=Spot(1, 1, 3))
        return None, (problem,), YamlTree()
    tree = read_yaml("\n" + "\n".join(lines[1:end]) + "\n")
    problems = [_yaml_problem(fault) for fault in tree.faults]
    if tree.value is None and problems:
        return None, tuple(problems), tree
    front, wrong, broken = shape(tree.value if tree.value is not None else {}, Front, said=tree.said)
    problems += [replace(problem, spot=tree.find_spot(problem.path, at_key=problem.at_key)) for problem in wrong]
    tree.close_ranks(broken)
    if front is None:
        return None, tuple(problems), tree
    blocks, found = read_blocks(lines, end + 1)
    stem = name.removesuffix(".md")
    return Piece(stem, front, blocks), tuple(problems) + found, tree


def _yaml_problem(fault: Any) -> Problem:
    return Problem(fault.check, fault.message, fault.mend, spot=fault.spot)


def read_answer(text: str, spot: Spot) -> tuple[tuple[Block, ...], tuple[Problem, ...]]:
    """Read a marked text that stands inside a record; all its places are that of the entry."""
    blocks, problems = read_blocks(text.split("\n"), 0)
    moved = tuple(
        replace(
            block,
            spot=spot,
            sentences=tuple(
                replace(s, spot=spot, origin=(), marks=tuple(Mark(m.target, spot) for m in s.marks))
                for s in block.sentences
            ),
        )
        for block in blocks
    )
    return moved, tuple(replace(problem, spot=spot) for problem in problems)


def read_blocks(lines: Sequence[str], start: int) -> tuple[tuple[Block, ...], tuple[Problem, ...]]:
    """Read the lines from index `start` on; spots count from the first line of `lines`."""
    tokens = PARSER.parse("\n".join(lines[start:]) + "\n")
    blocks: list[Block] = []
    problems: list[Problem] = []
    quotes = depth = 0
    numbers: list[int] = []
    pending: tuple[str, int, int] | None = None
    for token in tokens:
        kind = token.type
        if kind == "inline":
            assert token.map
            where, level, number = pending or ("paragraph", 0, 0)
            block = _read_inline(token, lines, start + token.map[0], where, level, number, problems)
            if block.sentences:
                blocks.append(block)
            pending = ("quote", 0, 0) if quotes else None
        elif kind == "heading_open":
            pending = ("heading", int(token.tag[1]), 0)
        elif kind == "blockquote_open":
            quotes += 1
            pending = ("quote", 0, 0)
        elif kind == "blockquote_close":
            quotes -= 1
            pending = ("quote", 0, 0) if quotes else None
        elif kind in ("bullet_list_open", "ordered_list_open"):
            depth += 1
            numbers.append(int(token.attrGet("start") or 1) if kind == "ordered_list_open" else 0)
        elif kind in ("bullet_list_close", "ordered_list_close"):
            depth -= 1
            numbers.pop()
            pending = None
        elif kind == "list_item_open":
            pending = ("item", depth, numbers[-1])
            numbers[-1] += 1 if numbers[-1] else 0
    return tuple(blocks), tuple(problems)


def _read_inline(
    token: Token, lines: Sequence[str], first: int, kind: Any, level: int, number: int, problems: list[Problem]
) -> Block:
    content, attributes = token.content, ()  # type: tuple[str, tuple[tuple[str, str], ...]]
    if kind == "heading":
        found = ATTRIBUTES.search(content)
        if found:
            attributes = tuple((m[1], m[2] or m[3] or "") for m in PAIR.finditer(found.group(1)))
            content = content[: found.start()]
    text = _VisibleText(content, lines, first)
    if SIMPLE.fullmatch(content):
        text.add_simple()
    else:
        children: list[Token] = []
        PARSER.inline.parse(content, PARSER, {}, children)
        for child in children:
            text.add(child)
    problems += text.problems
    return Block(kind, text.sentences(), level, number, attributes, text.spot_at(0))


class _VisibleText:
    """The visible text of one block while it is put together, with the way back to the file."""

    def __init__(self, content: str, lines: Sequence[str], first: int) -> None:
        self.content, self.first = content, first
        self.rows = _Rows(content, lines, first)
        self.cursor = self.length = 0
        self.parts: list[tuple[int, str, str, str]] = []
        self.marks: list[tuple[int, Mark]] = []
        self.segments: list[tuple[int, int, int]] = []
        self.problems: list[Problem] = []
        self.styles = {"em": 0, "strong": 0}
        self.style = self.target = ""

    def add(self, token: Token) -> None:
        """Take in one inline token."""
        kind = token.type
        if kind == "text":
            self._put(token.content, token.content, self.style)
        elif kind == "mark":
            self._mark(token.content, token.markup)
        elif kind in ("softbreak", "hardbreak"):
            self._put(" ", "\n", self.style)
        elif kind == "text_special":
            self._put(token.content, token.markup, self.style)
        elif kind == "code_inline":
            self._put(token.content, token.content, "code")
        elif kind in ("em_open", "em_close", "strong_open", "strong_close"):
            name, _, way = kind.partition("_")
            self.styles[name] += 1 if way == "open" else -1
            self.style = " ".join(name for name, depth in self.styles.items() if depth)
        elif kind == "link_open":
            self.target = self._judge(str(token.attrGet("href") or ""))
        elif kind == "link_close":
            self.target = ""
        elif kind == "image":
            spot = Spot(*self.rows.find(self.cursor), 2)
            mend = "put the picture under `figures` in the record and point at it with `[words](look:note)`"
            self.problems.append(Problem("wrong-shape", "a picture cannot stand in a piece", mend, spot=spot))

    def add_simple(self) -> None:
        """Take in the whole content, which is `SIMPLE`."""
        at = 0
        for found in MARK_OR_BREAK.finditer(self.content):
            words = self.content[at : found.start()]
            self._put(words, words, "")
            if found[1] is None:
                self._put(" ", "\n", "")
            else:
                self._mark(found[1], found[0])
            at = found.end()
        words = self.content[at:]
        self._put(words, words, "")

    def _mark(self, target: str, markup: str) -> None:
        at = max(self.content.find(markup, self.cursor), self.cursor)
        self.cursor = at + len(markup)
        self.marks.append((self.length, Mark(target, Spot(*self.rows.find(at), len(markup)))))
        if self.content[self.cursor : self.cursor + 1].isalnum():
            self._put(" ", "", self.style)  # "moths.[^a]Next": the mark stood for the blank

    def _judge(self, href: str) -> str:
        if href.startswith("look:") or WEB.fullmatch(href):
            return href
        line, column = self.rows.find(max(self.content.find("](", self.cursor), 0))
        mend = "link to `look:` and an anatomy note of the record, or to a full web address"
        message = f"the link leads to `{href[:60]}`, which is neither a cue nor a web address"
        self.problems.append(Problem("wrong-shape", message, mend, spot=Spot(line, column)))
        return ""

    def _put(self, text: str, raw: str, style: str) -> None:
        if not text:
            return
        at = self.content.find(raw, self.cursor)
        at = self.cursor if at < 0 else at
        self.cursor = at + len(raw)
        self.segments.append((self.length, *self.rows.find(at)))
        self.parts.append((self.length, text, style, self.target))
        self.length += len(text)

    def spot_at(self, offset: int, end: int | None = None) -> Spot:
        """Where in the file the visible text at `offset` stands."""
        return self._spot(bisect(self.segments, offset, key=_start), offset, end or offset + 1)

    def _spot(self, after: int, offset: int, end: int) -> Spot:
        """The same, with the number of the segment after it."""
        length = max(end - offset, 1)
        if not after:
            return Spot(self.first + 1, 1, length)
        start, line, column = self.segments[after - 1]
        return Spot(line, column + offset - start, length)

    def sentences(self) -> tuple[Sentence, ...]:
        """The sentences of the visible text; a text of marks alone is one empty sentence."""
        text = "".join([part for _, part, _, _ in self.parts])
        spans = split_sentences(text) or (((0, 0),) if self.marks else ())
        if not spans:
            return ()
        runs = self._runs()
        marks = [(len(text[:offset].rstrip()), mark) for offset, mark in self.marks]  # to the end of the word before it
        blanks = len(text) - len(text.lstrip())
        return tuple(self._cut(text, runs, marks, start, end, first=start <= blanks) for start, end in spans)

    def _runs(self) -> list[tuple[int, str, str, str]]:
        """The parts with those of one style and target put together."""
        runs = []
        for (style, target), group in groupby(self.parts, key=_style_and_target):
            parts = list(group)
            runs.append((parts[0][0], "".join([part for _, part, _, _ in parts]), style, target))
        return runs

    def _cut(
        self,
        text: str,
        runs: Sequence[tuple[int, str, str, str]],
        marked: Sequence[tuple[int, Mark]],
        start: int,
        end: int,
        *,
        first: bool,
    ) -> Sentence:
        """The sentence at that span. A mark belongs to the sentence whose words it follows."""
        spans = []
        for at, run, style, target in runs:
            if at >= end:
                break
            piece = run[max(start - at, 0) : end - at]
            if piece:
                spans.append(Span(piece, style, target))
        marks = [mark for after, mark in marked if start < after <= end or (first and after <= start)]
        cues = [span.target[5:] for span in spans if span.target.startswith("look:")]
        low = bisect(self.segments, start, key=_start)
        high = bisect(self.segments, end - 1, key=_start)
        segments = self.segments[max(low - 1, 0) : high]
        return Sentence(
            text=text[start:end],
            spans=tuple(spans),
            marks=tuple([mark for mark in marks if mark.target != ASIDE]),
            cues=tuple(dict.fromkeys(cues)) if cues else (),
            aside=any(mark.target == ASIDE for mark in marks),
            spot=self._spot(low, start, end or start + 1),
            origin=tuple([(offset - start, line, column) for offset, line, column in segments]),
        )


class _Rows:
    """Where the lines of a block's content stand in the file."""

    def __init__(self, content: str, lines: Sequence[str], first: int) -> None:
        self.starts: list[int] = []
        self.places: list[tuple[int, int]] = []
        at = 0
        for index, row in enumerate(content.split("\n")):
            number = min(first + index, len(lines) - 1)
            words = row.strip()
            column = max(lines[number].find(words), 0) - row.find(words) + 1
            self.starts.append(at)
            self.places.append((number + 1, column))
            at += len(row) + 1

    def find(self, at: int) -> tuple[int, int]:
        """Line and column in the file of a place in the content."""
        row = bisect(self.starts, at) - 1 if len(self.starts) > 1 else 0
        line, column = self.places[row]
        return line, max(column + at - self.starts[row], 1)


def _start(row: tuple[int, int, int]) -> int:
    return row[0]


def _style_and_target(part: tuple[int, str, str, str]) -> tuple[str, str]:
    return part[2:]
