"""Render corrections: the page of all of them, and the section of a specimen page.

In: corrections as plain data, newest first, of pieces that are public. Out: Markdown.
"""

from __future__ import annotations

from collections.abc import Sequence

from builder.compose.correction import CorrectionData
from builder.render.escape import to_html, to_markdown
from builder.render.index import notice_rows, page_head
from builder.render.page import tidy
from builder.weigh.date import date_in_words

FEED = "corrections.xml"
"""The feed of corrections, from the top of the site."""

KINDS = {"mistake": "We were wrong", "update": "More is known now"}


def render_corrections(
    rows: Sequence[CorrectionData], pages: frozenset[str], *, notice: str, draft: bool, feed: bool
) -> str:
    """The page of all corrections. `pages` are the records that have a page; `feed` says whether there is one."""
    text = page_head("Corrections", "What we said, what we say now, and where it is mended")
    text += notice_rows(notice, draft)
    text += (
        "When something that we published was wrong, or is known better since, we say so here: what we said, what we "
        "say now and why, and each place where the words hung.\n\n"
    )
    if feed:
        text += f"[Follow the corrections in a feed reader]({FEED}) (Atom).\n\n"
    if not rows:
        text += "There is no correction of anything that stands in public today.\n"
    for row in rows:
        text += f"## {to_markdown(heading_of(row))} {{: #{row['id']} data-search-exclude }}\n\n{_entry(row)}\n"
        if row["record"] in pages:
            about = to_markdown(row["title"]) if row["use"] == "page" else "the specimen page"
            text += f"\nSee [{about}](specimens/{row['record']}.md).\n"
        text += "\n"
    return tidy(text)


def correction_rows(rows: Sequence[CorrectionData]) -> str:
    """The corrections of one record, for its page in the folder of specimens."""
    if not rows:
        return "No correction is on record here. [All corrections](../corrections.md)"
    text = ""
    for row in rows:
        text += f"### {to_markdown(heading_of(row))} {{: data-search-exclude }}\n\n{_entry(row)}\n\n"
    return text + "[All corrections](../corrections.md)"


def heading_of(row: CorrectionData) -> str:
    """The day of a correction and the piece it is about."""
    return f"{date_in_words(row['date'])}: {row['use']} “{row['title']}”"


def tell_place(where: str, done: str) -> str:
    """One place where the words hung, and whether they are mended there."""
    return f"{where}: mended on {date_in_words(done)}" if done else f"{where}: still hangs; being mended"


def tell_kind(row: CorrectionData) -> str:
    """Whether it was wrong, or the world has changed."""
    return KINDS[row["kind"]]


def _entry(row: CorrectionData) -> str:
    pairs = [
        ("We said", row["was"], "said"),
        ("We say now", row["now"], "now"),
        (tell_kind(row), row["why"], ""),
        ("Decided by", f"{tell_role(row)}, {date_in_words(row['date'])}", ""),
    ]
    text = '<dl class="correction">\n'
    for term, words, kind in pairs:
        mark = f' class="{kind}"' if kind else ""
        text += f"<dt>{to_html(term)}</dt><dd{mark}>{to_html(' '.join(words.split()))}</dd>\n"
    items = "".join(f"<li>{to_html(tell_place(place['where'], place.get('done', '')))}</li>" for place in row["places"])
    return f"{text}<dt>Where it hung</dt><dd><ul>{items}</ul></dd>\n</dl>\n"


def tell_role(row: CorrectionData) -> str:
    """Who decided it, by role."""
    return f"the {row['role']}" if row["role"] else "the museum"
