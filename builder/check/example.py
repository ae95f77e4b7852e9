"""The examples on the pages of the checks, and the workspace they are tried on.

A page has the headings `What it checks`, `Why it matters`, `Rejected` and `Accepted`. Under the last two stand fenced
blocks, each one example. The first word after the fence is the language, the second the file; a third word `also` joins
the block to the example before it. A line that must be reported ends in `# problem: name` (in Markdown and CSV the
same words may stand in `<!-- -->`); more names are joined by commas. The mark is taken out before the example is tried.

A block of `approvals/` says in short who decided what, on the stock's piece of that name as it stands before the rest
of the example: its file is made, and signed, when the example is tried.

A block of `record.yml` gives only the keys it is about: the stock record's other keys are added below it, as are the
stock's other entries in `sources.yml` and `museum.yml`. A piece without front matter gets the stock's.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from pathlib import PurePosixPath

STOCK = files("builder.check").joinpath("stock")
RECORD = "newt"
FENCE = re.compile(r"^```(\w*) ?([\w./-]*) ?(also)?$")
MARK = re.compile(r"\s*(?:#|<!--)\s*problem: ([a-z-]+(?:, [a-z-]+)*)(?:\s*-->)?\s*$")
TOP_KEY = re.compile(r"^([\w-]+):", re.MULTILINE)
FRONT = {
    "page": "---\npiece: page\ntitle: What an example newt eats\nobjects: [jar, skull]\nauthor: a-writer\n---\n",
    "label": "---\npiece: label\ntitle: The example newt\nkind: object label\nobjects: [jar]\nauthor: a-writer\n---\n",
    "talk": "---\npiece: talk\ntitle: A newt in ten minutes\nobjects: [jar]\nauthor: a-writer\n"
    "theme: An animal was blamed for being where its food is.\n---\n",
    "script": "---\npiece: script\ntitle: A newt on film\nobjects: [jar]\nauthor: a-writer\n---\n",
}


@dataclass(frozen=True)
class Example:
    """One example: files by path under the stock workspace, and the (file, line, check) that must be reported."""

    accepted: bool
    line: int
    files: Mapping[str, str]
    expected: frozenset[tuple[str, int, str]]


def read_examples(page: str) -> tuple[Example, ...]:
    """The examples of a page, in order."""
    found: list[Example] = []
    section, block, rows, start = "", None, [], 0  # type: ignore[var-annotated]
    for number, row in enumerate(page.split("\n"), 1):
        if block is None and row.startswith("## "):
            section = row[3:].strip()
        fence = FENCE.match(row)
        if fence and block is None and section in ("Rejected", "Accepted"):
            block, rows, start = fence, [], number
        elif block is not None and row == "```":
            if block.group(2):
                example = _example(section == "Accepted", start, block.group(2), rows)
                if block.group(3) and found:
                    last = found.pop()
                    files = {**last.files, **example.files}
                    example = Example(last.accepted, last.line, files, last.expected | example.expected)
                found.append(example)
            block = None
        elif block is not None:
            rows.append(row)
    return tuple(found)


def _example(accepted: bool, start: int, name: str, rows: list[str]) -> Example:
    path = _path(name)
    text, shift = _complete(path, name, "\n".join(MARK.sub("", row) for row in rows) + "\n")
    expected = set()
    for index, row in enumerate(rows, 1):
        mark = MARK.search(row)
        if mark:
            expected |= {(path, index + shift, check) for check in mark.group(1).split(", ")}
    return Example(accepted, start, {path: text}, frozenset(expected))


def _path(name: str) -> str:
    if name in ("museum.yml", "sources.yml", "glossary.yml", "corrections.yml") or name.startswith("excerpts/"):
        return f"records/{name}"
    if name.startswith("content/"):
        return name
    return f"records/{name}" if "/" in name and not name.startswith("approvals/") else f"records/{RECORD}/{name}"


def _complete(path: str, name: str, text: str) -> tuple[str, int]:
    """The example made whole with what the stock has, and the number of lines put before it."""
    stock = STOCK.joinpath(path)
    if path.endswith(".md") and not text.startswith("---") and not path.startswith("content/"):
        use = next((use for use in FRONT if use in PurePosixPath(name).stem), "page")
        return FRONT[use] + text, FRONT[use].count("\n")
    if path.endswith(".yml") and stock.is_file() and name in ("record.yml", "sources.yml", "museum.yml"):
        given = set(TOP_KEY.findall(text))
        if given:
            text += "".join(part for key, part in _parts(STOCK.joinpath(path).read_text("utf-8")) if key not in given)
    return text, 0


def _parts(text: str) -> list[tuple[str, str]]:
    """A YAML text cut at its top keys."""
    starts = [(m.group(1), m.start()) for m in TOP_KEY.finditer(text)]
    ends = [at for _, at in starts[1:]] + [len(text)]
    return [(key, text[at:end]) for (key, at), end in zip(starts, ends, strict=True)]
