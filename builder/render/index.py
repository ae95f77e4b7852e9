"""Render the index pages: specimens, beliefs, sources, glossary, and the reference of all checks.

In: the cards of all pages, what the library holds, the pages of the checks. Out: Markdown files by path.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import chain
from typing import Any

from builder.check.example import MARK
from builder.check.registry import GROUPS, Check
from builder.compose.bibliography import csl_fields
from builder.compose.card import Card
from builder.render.citation import Run
from builder.render.entry import Prose
from builder.render.escape import to_attribute, to_html, to_markdown, to_yaml
from builder.render.markdown import (
    READ,
    STANDING,
    STANDS,
    address_of,
    begin_sentence,
    end_stop,
    render_address,
    render_notices,
    render_runs,
)
from builder.render.page import tidy
from builder.weigh.confidence import say_lines

ABOUT_GROUP = {
    "files": "The files themselves",
    "sources": "Sources",
    "evidence": "What the evidence is worth",
    "wording": "How it is worded",
    "fit": "Whether it fits its use",
    "showing": "What can be shown",
    "privacy": "What must not get out",
    "approval": "Who has signed",
}


def page_head(title: str, description: str, *, search: bool = True) -> str:
    """Front matter and title of a page that is made anew each time."""
    exclude = "" if search else "search:\n  exclude: true\n"
    return (
        f"---\ntitle: {to_yaml(title)}\ndescription: {to_yaml(description)}\n{exclude}---\n# {to_markdown(title)}\n\n"
    )


def notice_rows(notice: str, draft: bool) -> str:
    """The museum's notice, and on drafts that nobody has signed."""
    words = "Draft. No curator has signed these pages; quote nothing from them." if draft else ""
    return "\n".join(render_notices(words, notice)) + "\n\n"


def render_specimens(cards: Sequence[Card], *, notice: str, draft: bool) -> str:
    """The index of specimens, by family and name."""
    text = page_head("Specimens", "Every kind of animal, plant and rock with a page of its own") + notice_rows(
        notice, draft
    )
    families: dict[str, list[Card]] = {}
    for card in sorted(cards, key=lambda card: (card["family"] or "~", card["common"].casefold(), card["record"])):
        families.setdefault(card["family"], []).append(card)
    if not cards:
        text += "No page has been approved yet.\n"
    for family, members in families.items():
        text += f"## {to_markdown(family or 'Others')} {{: data-search-exclude }}\n\n" + _shown(members, "")
    return tidy(text)


def _shown(cards: Iterable[Card], folder: str) -> str:
    """Specimen pages as a list, each with its first picture; `folder` leads to them."""
    text = '<div class="entries shown" markdown="1">\n\n'
    for card in cards:
        name = f" · *{to_markdown(card['scientific'])}*" if card["scientific"] else ""
        address = f"{folder}{card['record']}"
        picture = f'<img src="{to_html(folder + card["picture"])}" alt="">' if card["picture"] else ""
        text += f"- {picture}**[{to_markdown(card['title'])}]({address}.md)**<br>\n"
        text += f"  <small>{to_markdown(card['common'])}{name}</small><br>\n"
        text += f"  {Prose(card['scientific'])(card['summary'])}\n"
    return text + "\n</div>\n\n"


def render_welcome(cards: Iterable[Card], *, most: int = 12) -> str:
    """The end of the home page: the first specimens by name, each with its picture."""
    first = sorted(cards, key=lambda card: (card["common"].casefold(), card["record"]))[:most]
    return f"\n## Start with a specimen {{: data-search-exclude }}\n\n{_shown(first, 'specimens/')}" if first else ""


def render_beliefs(cards: Iterable[Card], *, notice: str, draft: bool) -> str:
    """The index of beliefs: what is so, then what people say, once."""
    text = page_head("Beliefs and what the evidence shows", "What people say about our specimens, and what is known")
    text += notice_rows(notice, draft)
    text += (
        "Each entry says first what is so, then what people say. "
        "The link leads to the evidence. [How this is worked out](how-we-check.md).\n\n"
    )
    found = False
    for card in sorted(cards, key=lambda card: (card["common"].casefold(), card["record"])):
        if not card["beliefs"]:
            continue
        found = True
        text += f"## {to_markdown(card['common'])}\n\n" + '<div class="entries" markdown="1">\n\n'
        for belief in card["beliefs"]:
            lines = say_lines(belief["lines"]) if belief["lines"] else "what is known"
            about = to_attribute(f"See {lines}: {belief['statement'][:120]}")
            text += (
                f"- **{to_markdown(end_stop(belief['statement']))}**<br>\n"
                f'  People say: <span class="said">“{to_markdown(belief["belief"])}”</span> '
                f"{STANDS['belief'][belief['stands']]} "
                f"[See {lines}](specimens/{card['record']}.md#claim-{belief['number']})"
                f'{{: aria-label="{about}" }}.\n'
            )
        text += "\n</div>\n\n"
    if not found:
        text += "No belief has been answered on an approved page yet.\n"
    return tidy(text)


def render_sources(
    sources: Mapping[str, Any],
    entries: Mapping[str, Sequence[Run]],
    cards: Iterable[Card],
    *,
    notice: str,
    draft: bool,
) -> str:
    """The list of all sources that published pages rest on, with where each is used."""
    used: dict[str, list[tuple[Card, list[int]]]] = {}
    for card in sorted(cards, key=lambda card: (card["common"].casefold(), card["record"])):
        for key, numbers in card["sources"].items():
            used.setdefault(key, []).append((card, numbers))
    text = page_head("Sources", "Every work our pages rest on", search=False) + notice_rows(notice, draft)
    text += "Works that our pages rest on, and the works that these drew on.\n\n"
    prose = Prose(*sorted({card["scientific"] for card, _ in chain(*used.values()) if card["scientific"]}))
    rows = []
    for key, places in used.items():
        source = sources.get(key)
        if source is None:
            continue
        read = source.read if source.seen else "not seen"
        about = "; ".join(filter(None, (STANDING[source.standing], READ.get(read, ""))))
        links = ", ".join(
            f"[{to_markdown(card['common'])}](specimens/{card['record']}.md#source-{key})" for card, _ in places
        )
        entry = render_runs(entries.get(key, ()), prose)
        fields = csl_fields(source)
        address = address_of(fields)
        links += f". {render_address(address, fields)}." if address else "."
        withdrawn = f" **Withdrawn:** {to_markdown(end_stop(source.withdrawn))}" if source.withdrawn else ""
        sort = re.sub(r"\W+", " ", "".join(text for text, _ in entries.get(key, ()))).casefold()
        said = f"{begin_sentence(end_stop(about))} On: {links}"
        rows.append((sort, key, f'- <span id="{key}"></span>{entry} <small>{said}</small>{withdrawn}\n'))
    listed = "".join(row for _, _, row in sorted(rows))
    text += (
        f'<div class="works" markdown="1">\n\n{listed}\n</div>\n'
        if listed
        else "No approved page rests on a source yet.\n"
    )
    return tidy(text)


def render_glossary(glossary: Mapping[str, str], *, notice: str) -> str:
    """All terms with their plain meanings."""
    text = page_head("Glossary", "Words of the trade in plain words") + notice_rows(notice, False)
    for term, meaning in sorted(glossary.items(), key=lambda pair: pair[0].casefold()):
        text += f"- **{to_markdown(term)}**: {to_markdown(end_stop(meaning))}\n"
    return tidy(text)


def render_check(check: Check) -> str:
    """The page of one check: the same text as `vouchered explain`, its examples marked."""
    grade = (
        "An error: it stops publication." if check.severity == "error" else "A warning: it does not stop publication."
    )
    waive = "It can be waived with a reason." if check.waivable else "It cannot be waived."
    body, rows, inside = check.page.split("\n"), [], False
    for row in body[1:]:
        fence = re.match(r"^```(\w*) ?([\w./-]*)", row)
        if row.startswith("```"):
            if not inside and fence and fence.group(2):
                rows.append(f"`{fence.group(2)}`\n")
            rows.append(f"```{fence.group(1)}" if fence and not inside and fence.group(1) else "```")
            inside = not inside
        elif inside:
            found = MARK.search(row)
            rows.append(MARK.sub("", row) + (f"  ← {found.group(1)}" if found else ""))
        else:
            rows.append(re.sub(r"^(## (?:Why it matters|Rejected|Accepted))$", r"\1 {: data-search-exclude }", row))
    head = f"---\ntitle: {to_yaml(check.name)}\ndescription: {to_yaml(f'What the check {check.name} asks')}\n---\n"
    return tidy(f"{head}# {check.name}\n\n{grade} {waive} [All checks](index.md).\n\n" + "\n".join(rows))


def render_checks(checks: Sequence[Check]) -> str:
    """The reference of all checks, by group."""
    text = page_head("Reference of checks", "What is asked of every sentence before it is published")
    text += "Each check has a page with what it asks, why, and examples that are tried at every change.\n\n"
    for group in GROUPS:
        members = [check for check in checks if check.group == group]
        if not members:
            continue
        text += f"## {ABOUT_GROUP[group]} {{: data-search-exclude }}\n\n"
        for check in members:
            what = check.page.partition("## What it checks")[2].partition("\n## ")[0].strip().split("\n\n")[0]
            what = re.sub(r":$", ".", what)  # the list behind a colon stands on the check's own page
            text += f"- [{check.name}]({check.name}.md) ({check.severity}): {' '.join(what.split())}\n"
        text += "\n"
    return tidy(text)
