"""Render the pages for those who use pieces: educators with a group, presenters with a camera.

In: the cards of all pieces that go out, each with its files. Out: Markdown files of the site. Talks stand by length and
then by audience, since a group and a slot are what an educator comes with.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from builder.compose.card import UseCard
from builder.render.escape import to_attribute, to_markdown
from builder.render.index import notice_rows, page_head
from builder.render.page import tidy
from builder.weigh.reading import silent_seconds

LENGTHS = ((5, "Up to 5 minutes"), (10, "Up to 10 minutes"), (20, "Up to 20 minutes"))
LONGER, UNTIMED = "Longer", "No set length"


class Download(NamedTuple):
    """A file that goes with a piece: its path from the top of the site, and what a reader gets."""

    path: str
    title: str


Shelf = Sequence[tuple[UseCard, Sequence[Download]]]
"""Cards of pieces, each with its files."""


def render_educators(shelf: Shelf, pages: frozenset[str], *, notice: str, draft: bool) -> str:
    """Talks by length and audience with their cue cards, then labels. `pages` are the records that have a page."""
    text = page_head("For educators", "Talks that fit your slot, with cue cards, and labels to hang")
    text += notice_rows(notice, draft)
    text += (
        "Everything here is told from the same claims as the specimen pages, so that a talk, a label and a page never "
        "differ. To fit a talk into fewer minutes, ask us for cards of its own length.\n\n"
    )
    talks = [row for row in shelf if row[0]["kind"] == "talk"]
    for title in (*(title for _, title in LENGTHS), LONGER, UNTIMED):
        members = [row for row in talks if _length(row[0]) == title]
        if members:
            text += f"## Talks: {title[:1].lower()}{title[1:]} {{: data-search-exclude }}\n\n" + _entries(
                members, pages
            )
    labels = [row for row in shelf if row[0]["kind"] == "label"]
    if labels:
        text += "## Labels {: data-search-exclude }\n\n" + _entries(labels, pages)
    if not talks and not labels:
        text += "No talk or label has been approved yet.\n"
    return tidy(text)


def render_presenters(shelf: Shelf, pages: frozenset[str], *, notice: str, draft: bool) -> str:
    """Scripts with their tracks and texts. `pages` are the records that have a page."""
    text = page_head("For presenters", "Scripts whose every claim is sourced, with captions and transcripts")
    text += notice_rows(notice, draft)
    text += (
        "A script says on the left what is seen and on the right what is spoken. Captions, chapters and transcript are "
        "drafted from it: correct them to what was said once the film is cut. The claims by time tell which claim "
        "stands behind each second that is spoken; the description text goes below the film, and the linked data into "
        "the page that shows it.\n\n"
    )
    scripts = [row for row in shelf if row[0]["kind"] == "script"]
    if scripts:
        text += "## Scripts {: data-search-exclude }\n\n" + _entries(scripts, pages)
    else:
        text += "No script has been approved yet.\n"
    return tidy(text)


def _length(card: UseCard) -> str:
    if not card["minutes"]:
        return UNTIMED
    return next((title for most, title in LENGTHS if float(card["minutes"]) <= most), LONGER)


def _entries(rows: Iterable[tuple[UseCard, Sequence[Download]]], pages: frozenset[str]) -> str:
    text = '<div class="entries" markdown="1">\n\n'
    for card, files in sorted(rows, key=_order):
        about = ", ".join(filter(None, _facts(card)))
        text += f"- **{to_markdown(card['title'])}**<br>\n"
        if card["theme"]:
            text += f"  {to_markdown(card['theme'])}<br>\n"
        animal = to_markdown(card["common"])
        if card["record"] in pages:
            animal = f"[{animal}](specimens/{card['record']}.md)"
        text += f"  <small>{animal}{': ' if about else ''}{to_markdown(about)}</small>"
        for download in files:
            said = to_attribute(f"{download.title}: {card['title']}")
            text += f'<br>\n  [{to_markdown(download.title)}]({download.path}){{: aria-label="{said}" }}'
        text += "\n"
    return text + "\n</div>\n\n"


def _order(row: tuple[UseCard, Sequence[Download]]) -> tuple[float, str, str, str]:
    card = row[0]
    return (float(card["minutes"] or 0), card["audience"].casefold(), card["common"].casefold(), card["piece"])


def _facts(card: UseCard) -> Iterable[str]:
    if card["minutes"]:
        yield f"{card['minutes']} minutes" if card["minutes"] != "1" else "1 minute"
    yield card["audience"]
    if card["kind"] == "label":
        yield f"{card['words']} words"
        yield f"{silent_seconds(card['words']):.0f} seconds to read"
    yield "; ".join(card["hangs_at"])
