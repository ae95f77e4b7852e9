"""Prose pages of the site: Markdown by the museum, passed on with its raw HTML refused.

In: the bytes of a page in the prose folder. Out: its Markdown, with the museum's notice and the mark of a draft, and
the problems. Prose is about the museum and the site; what it says of specimens belongs in a record.
"""

from __future__ import annotations

from markdown_it import MarkdownIt

from builder.load.workspace import decode
from builder.problem import Place, Problem
from builder.render.markdown import render_notices

PARSER = MarkdownIt("commonmark").enable("table")


def render_prose(path: str, data: bytes, *, notice: str, draft: bool) -> tuple[str, list[Problem]]:
    """The page as it goes into the tree; `path` names it in problems."""
    text, fault = decode(data)
    if fault:
        place = Place(path, fault.place.line if fault.place else 1)
        return "", [Problem(fault.check, fault.message, fault.mend, place=place)]
    head, body, offset = "", text, 0
    if text.startswith("---\n") and "\n---\n" in text[3:]:
        end = text.index("\n---\n", 3) + 5
        head, body = text[:end], text[end:]
        offset = head.count("\n")
    problems = []
    for token in PARSER.parse(body):
        inner = [token, *(token.children or ())]
        raw = next((t for t in inner if t.type in ("html_block", "html_inline")), None)
        if raw and not raw.content.strip().startswith("<!--"):
            line = offset + (token.map[0] if token.map else 0) + 1
            shown = raw.content.strip().split("\n")[0][:40]
            mend = "write it in Markdown; raw HTML is not taken"
            problems.append(Problem("wrong-shape", f"`{shown}` is raw HTML", mend, place=Place(path, line)))
    notices = render_notices("Draft of the site. Its specimen pages are not signed." if draft else "", notice)
    return head + _after_title(body, notices), problems


def _after_title(body: str, notices: list[str]) -> str:
    rows = body.strip("\n").split("\n")
    if not notices:
        return "\n".join(rows) + "\n"
    block = ["", *("\n".join((row, "")) for row in notices)]
    at = 1 if rows and rows[0].startswith("# ") else 0
    return "\n".join([*rows[:at], *block, *rows[at:]]) + "\n"
