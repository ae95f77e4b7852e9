"""Documents to Markdown: the pieces of text that templates put in order.

In: the parts of a document. Out: Markdown for Python-Markdown with `attr_list` and `md_in_html`. Every text goes
through `escape`; what is not escaped is written here and nowhere else.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from builder.compose.bibliography import short_citation
from builder.compose.document import BlockData, SentenceData, SourceData
from builder.render.citation import Run
from builder.render.escape import to_attribute, to_html, to_markdown

STANDS = {
    "belief": {
        "holds": "The evidence bears it out.",
        "partly": "It is true in part.",
        "fails": "The evidence speaks against it.",
        "open": "The evidence does not settle it.",
    },
    "answer": {
        "holds": "This bears out what people say.",
        "partly": "What people say is true in part.",
        "fails": "This speaks against what people say.",
        "open": "This does not settle what people say.",
    },
    "statement": {
        "holds": "The evidence bears this out.",
        "partly": "The evidence bears this out in part.",
        "fails": "The evidence speaks against this.",
        "open": "The evidence does not settle this yet.",
    },
}
"""Where something stands, in a sentence: a belief, our answer to one, a statement that answers none."""

STANDING = {
    "first-hand": "own data",
    "review": "a review of other work",
    "popular": "a popular account",
    "historical": "a historical account",
    "hearsay": "hearsay",
}

READ = {"full": "", "abstract": "read in abstract only", "not seen": "known only through other works"}


class Marks:
    """The marks given so far on one page, so that each sentence can be led back to."""

    def __init__(self) -> None:
        self.given: dict[int, int] = {}

    def give(self, claim: int) -> str:
        """The next anchor of a mark of that claim."""
        self.given[claim] = self.given.get(claim, 0) + 1
        return f"mark-{claim}-{self.given[claim]}"


def render_blocks(blocks: Iterable[BlockData], marks: Marks, *, shift: int = 0) -> str:
    """Blocks as Markdown; headings go `shift` levels down."""
    rows: list[str] = []
    last = ""
    for block in blocks:
        text = " ".join(render_sentence(sentence, marks) for sentence in block["sentences"])
        kind = block["kind"]
        if kind == "heading":
            rows.append(f"\n{'#' * min(6, block.get('level', 2) + shift)} {text} {{: data-search-exclude }}\n")
        elif kind == "item":
            number = block.get("number", 0)
            sign = f"{number}." if number else "-"
            rows.append(("" if last == "item" else "\n") + "    " * (block.get("level", 1) - 1) + f"{sign} {text}")
        elif kind == "quote":
            rows.append(f"\n> {text}\n")
        else:
            rows.append(f"\n{text}\n")
        last = kind
    return "\n".join(rows).strip("\n")


def render_sentence(sentence: SentenceData, marks: Marks) -> str:
    """A sentence with its cues and the marks of its claims."""
    text = "".join(_span(span) for span in sentence["spans"])
    links = []
    for number in sentence.get("claims", ()):
        anchor = marks.give(number)
        links.append(
            f'[{number}](#claim-{number}){{: #{anchor} .mark data-search-exclude aria-label="claim {number}" }}'
        )
    return text + "".join(links)


def _span(span: Mapping[str, Any]) -> str:
    raw = span["text"]
    head = raw[: len(raw) - len(raw.lstrip())]
    tail = raw[len(raw.rstrip()) :] if raw.strip() else ""
    text = to_markdown(raw.strip())
    if not text:
        return " " if raw else ""
    for style in span.get("style", "").split():
        text = {"em": f"*{text}*", "strong": f"**{text}**", "code": f"<code>{text}</code>"}[style]
    if "cue" in span:
        text = f"[{text}](#cue-{span['cue']}){{: .cue-link }}"
    elif span.get("target"):
        text = f"[{text}]({_address(span['target'])})"
    return (" " if head else "") + text + (" " if tail else "")


def _address(target: str) -> str:
    """A web address that cannot end the link it stands in."""
    from urllib.parse import quote

    return "<" + quote(target, safe=":/?#@!$&'*+,;=%~-._") + ">"


def render_runs(runs: Sequence[Run], prose: Callable[[str], str] = to_markdown) -> str:
    """Styled runs of a citation; `prose` makes Markdown of what is not styled, with the names it knows in italics."""
    parts = []
    for text, style in runs:
        core = to_markdown(text.strip()) if style else prose(text.strip())
        if core and style in ("em", "strong"):
            core = f"*{core}*" if style == "em" else f"**{core}**"
        elif core and style in ("sup", "sub"):
            core = f"<{style}>{core}</{style}>"
        before = " " if text[:1].isspace() else ""
        after = " " if text[-1:].isspace() and core else ""
        parts.append(before + core + after)
    return "".join(parts).strip()


def render_reference(source: SourceData | None, locator: str = "") -> str:
    """A source in short, linked to its entry, with where in it."""
    if source is None:
        return "an unnamed source"
    text = f"[{to_markdown(short_citation(source['fields']))}](#source-{source['id']})"
    return f"{text}, {to_markdown(locator)}" if locator else text


def address_of(fields: Mapping[str, Any]) -> str:
    """Where a work can be opened: its DOI, else its URL; empty where neither leads anywhere."""
    doi = str(fields.get("DOI", "")).strip()
    if doi.startswith("10."):
        return f"https://doi.org/{doi}"
    url = str(fields.get("URL", "")).strip()
    return url if url.startswith(("https://", "http://")) else ""


def render_address(address: str, fields: Mapping[str, Any]) -> str:
    """A link to the work itself, which tells those who hear links alone what work it is."""
    said = to_attribute(f"Open the work: {short_citation(fields)}")
    return f'[Open the work]({_address(address)}){{: aria-label="{said}" }}'


def render_notices(draft: str, notice: str) -> list[str]:
    """The notice of a draft and the museum's own, where there is one, as raw HTML that no search finds."""
    rows = []
    if draft:
        rows.append(f'<p class="draft" role="note" data-search-exclude>{to_html(draft)}</p>')
    if notice:
        rows.append(f'<p class="invented" data-search-exclude>{to_html(notice)}</p>')
    return rows


def begin_sentence(text: str) -> str:
    """The text with a capital at its beginning."""
    return text[:1].upper() + text[1:]


def end_stop(text: str) -> str:
    """The text with a stop at its end, none where the words of a link that ends it have one already."""
    text = text.rstrip()
    return text if _STOPPED.search(text) else text + "."


_STOPPED = re.compile(r"[.!?…][”’\"]?(?:\]\([^()\s]*\))?$")


__all__ = [
    "READ",
    "STANDING",
    "STANDS",
    "Marks",
    "address_of",
    "begin_sentence",
    "end_stop",
    "render_address",
    "render_blocks",
    "render_notices",
    "render_reference",
    "render_runs",
    "render_sentence",
    "to_html",
    "to_markdown",
]
