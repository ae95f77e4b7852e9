"""Render a specimen page: the order of its sections and the words between them.

In: a page document and the entries of its sources. Out: one Markdown file, `specimens/<record>.md`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from builder.compose.document import (
    BlockData,
    Document,
)
from builder.render.citation import Run
from builder.render.entry import (
    Prose,
    Sheet,
    belief_entry,
    claim_entry,
    cue_row,
    diet_entry,
    figure_entry,
    identity_line,
    object_entry,
    source_entry,
    sum_entry,
)
from builder.render.environment import environment
from builder.render.escape import to_markdown, to_yaml
from builder.render.markdown import (
    render_blocks,
    render_notices,
)


def tidy(text: str) -> str:
    """One blank line at most between paragraphs, and one line end at the end."""
    rows: list[str] = []
    for row in text.split("\n"):
        row = row.rstrip()
        if row or (rows and rows[-1]):
            rows.append(row)
    return "\n".join(rows).strip("\n") + "\n"


def render_broken(name: str, problems: Sequence[str]) -> str:
    """The Markdown of a draft page that cannot be made: only what to mend."""
    rows = "\n".join(f"- {to_markdown(problem)}" for problem in problems)
    head = f"---\ntitle: {to_yaml(name)}\nrobots: noindex\n---\n# {to_markdown(name)}\n\n"
    return tidy(f"{head}This record cannot be read yet. What to mend:\n\n{rows}\n")


def render_page(
    document: Document,
    entries: Mapping[str, Sequence[Run]],
    *,
    draft: bool,
    problems: Sequence[str] = (),
    checked: str = "",
    corrections: str = "",
    linked: str = "",
) -> str:
    """The Markdown of a specimen page. `entries` are the formatted sources by id, `problems` are told on drafts.

    `checked` says who signed it and when, `corrections` in Markdown what was put right; `linked` is the
    path of its linked data, from the top of the site.
    """
    sources = {source["id"]: source for source in document["sources"]}
    sheet = Sheet(document, sources, Prose(document["taxon"].get("scientific", "")))
    marks = sheet.marks
    own = _own_sections(document["blocks"])
    opening = render_blocks(own.pop("", []), marks)
    parts = {key: render_blocks(own.pop(title, []), marks, shift=1) for key, title in PLACES.items()}
    for title, blocks in own.items():
        heading = f"### {to_markdown(title)} {{: data-search-exclude }}\n\n"
        parts["shows"] += f"\n\n{heading}{render_blocks(blocks, marks, shift=1)}"
    questions = [
        {"ask": question["ask"], "answer": render_blocks(question["answer"], marks)}
        for question in document["questions"]
    ]
    claims = [claim_entry(claim, sheet) for claim in document["claims"]]
    beliefs = [belief_entry(claim, sheet) for claim in document["claims"] if claim.get("belief")]
    values = {
        "doc": {"care": "", **document},
        "draft": draft,
        "notices": "\n".join(
            render_notices(
                "Draft. No curator has signed this page; nothing on it may be quoted." if draft else "",
                document.get("notice", ""),
            )
        ),
        "problems": list(problems) if draft else [],
        "identity": identity_line(document["taxon"]),
        "opening": opening,
        "figures": [figure_entry(document, figure) for figure in document["figures"]],
        "cues": [cue_row(cue, sheet) for cue in document["cues"]],
        "parts": parts,
        "claims": claims,
        "diets": [diet_entry(diet, sheet) for diet in document["diets"]],
        "sums": [sum_entry(row, sheet) for row in document["sums"]],
        "beliefs": beliefs,
        "explained": [belief for belief in beliefs if belief["why"]],
        "told": [belief for belief in beliefs if belief["history"] or belief["picture"]],
        "objects": [object_entry(thing) for thing in document["objects"]],
        "questions": questions,
        "terms": document["terms"],
        "sources": [source_entry(source, entries, sources, sheet.prose) for source in document["sources"]],
        "checked": to_markdown(checked or "No curator has signed this page yet."),
        "corrections": corrections,
        "linked": linked,
    }
    return tidy(environment().get_template("page.md.jinja").render(values))


PLACES = {
    "shows": "What the evidence shows",
    "says": "What people say",
    "explains": "What explains it instead",
    "came": "Where the idea came from",
}
"""Sections of the page that an author may begin: text under one of these headings stands at the head of that section,
so that a belief and its explanation are told in one place. All other sections belong to what the evidence shows."""


def _own_sections(blocks: Sequence[BlockData]) -> dict[str, list[BlockData]]:
    """The author's blocks by the title of their section; the opening is under the empty title."""
    titles = {title.casefold(): title for title in PLACES.values()}
    found: dict[str, list[BlockData]] = {"": []}
    here = found[""]
    for block in blocks:
        if block["kind"] == "heading" and block.get("level", 2) <= 2:
            title = "".join(span["text"] for sentence in block["sentences"] for span in sentence["spans"])
            here = found.setdefault(titles.get(title.casefold(), title), [])
        else:
            here.append(block)
    return found
