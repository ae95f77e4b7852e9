"""Render a specimen page: the order of its sections and the words between them.

In: a page document and the entries of its sources. Out: one Markdown file, `specimens/<record>.md`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from builder.compose.document import (
    BlockData,
    CitationData,
    ClaimData,
    CueData,
    Document,
    EvidenceData,
    ObjectData,
    SourceData,
)
from builder.render.citation import Run
from builder.render.escape import to_html, to_markdown, to_yaml
from builder.render.markdown import (
    READ,
    STANDING,
    STANDS,
    Marks,
    end_stop,
    render_blocks,
    render_reference,
    render_runs,
)

BEARS = {"for": "speaks for it", "against": "speaks against it", "mixed": "speaks both ways"}
SEEN_BY = {
    "eye": "",
    "lens": "Seen with a lens.",
    "x-ray": "Seen by X-ray.",
    "ct": "Seen by CT scan.",
    "literature": "Known from the literature, not seen on our specimens.",
}


@cache
def environment() -> Environment:
    """The templates, with the filters that make text safe. Autoescape is off: every text is escaped by its filter."""
    made = Environment(
        loader=PackageLoader("builder.render", "templates"),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        autoescape=False,
    )
    made.filters.update(md=to_markdown, html=to_html, yaml=to_yaml)
    return made


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
    document: Document, entries: Mapping[str, Sequence[Run]], *, draft: bool, problems: Sequence[str] = ()
) -> str:
    """The Markdown of a specimen page. `entries` are the formatted sources by id, `problems` are told on drafts."""
    marks = Marks()
    sources = {source["id"]: source for source in document["sources"]}
    own = _own_sections(document["blocks"])
    opening = render_blocks(own.pop("", []), marks)
    parts = {key: render_blocks(own.pop(title, []), marks, shift=1) for key, title in PLACES.items()}
    for title, blocks in own.items():
        heading = f"### {to_markdown(title)}\n\n"
        parts["shows"] += f"\n\n{heading}{render_blocks(blocks, marks, shift=1)}"
    questions = [
        {"ask": question["ask"], "answer": render_blocks(question["answer"], marks)}
        for question in document["questions"]
    ]
    claims = [_claim(claim, document, sources, marks) for claim in document["claims"]]
    beliefs = [_belief(claim, sources) for claim in document["claims"] if claim.get("belief")]
    values = {
        "doc": {"notice": "", "care": "", **document},
        "draft": draft,
        "problems": list(problems) if draft else [],
        "identity": _identity(document["taxon"]),
        "opening": opening,
        "figures": [_figure(document, figure) for figure in document["figures"]],
        "cues": [_cue(cue, sources) for cue in document["cues"]],
        "parts": parts,
        "claims": claims,
        "beliefs": beliefs,
        "explained": [belief for belief in beliefs if belief["why"]],
        "told": [belief for belief in beliefs if belief["history"]],
        "objects": [_object(thing) for thing in document["objects"]],
        "questions": questions,
        "terms": document["terms"],
        "sources": [_source(source, entries, sources) for source in document["sources"]],
        "checked": "No curator has signed this page yet." if draft else "",
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


def _identity(taxon: Mapping[str, str]) -> str:
    parts = [f"**{to_markdown(taxon['common'])}**"]
    if "scientific" in taxon:
        name = f"*{to_markdown(taxon['scientific'])}*"
        parts.append(f"{name} {to_markdown(taxon['authority'])}" if "authority" in taxon else name)
    parts += [to_markdown(taxon[rank]) for rank in ("family", "order") if rank in taxon]
    if "say" in taxon:
        parts.append(f"say {to_markdown(taxon['say'])}")
    return " · ".join(parts)


def _figure(document: Document, figure: Any) -> dict[str, Any]:
    cues = [
        {"number": cue["number"], "left": _percent(cue["x"]), "top": _percent(cue["y"])}
        for cue in document["cues"]
        if cue.get("figure") == figure["id"]
    ]
    rights = " · ".join(filter(None, (figure.get("credit"), figure.get("licence"))))
    return {
        "id": figure["id"],
        "src": f"{document['record']}/{figure['file']}",
        "alt": figure["alt"],
        "caption": figure.get("caption", ""),
        "rights": rights,
        "cues": cues,
    }


def _percent(share: str) -> str:
    return f"{(Decimal(share) * 100).normalize():f}"


def _cue(cue: CueData, sources: Mapping[str, SourceData]) -> dict[str, Any]:
    where = f"Shows on the {_listed(cue['visible_on'])}." if cue["visible_on"] else "Shows on none of our specimens."
    return {
        "number": cue["number"],
        "term": cue["term"],
        "say": cue.get("say", ""),
        "look_for": end_stop(to_markdown(cue["look_for"])),
        "where": " ".join(filter(None, (where, SEEN_BY[cue["seen_by"]]))),
        "sources": "; ".join(
            render_reference(sources.get(citation["source"]), citation.get("locator", ""))
            for citation in cue["sources"]
        ),
    }


def _listed(names: Sequence[str]) -> str:
    shown = [to_markdown(name) for name in names]
    return shown[0] if len(shown) == 1 else ", ".join(shown[:-1]) + " and " + shown[-1]


def _claim(claim: ClaimData, document: Document, sources: Mapping[str, SourceData], marks: Marks) -> dict[str, Any]:
    verdict = STANDS["answer" if claim.get("belief") else "statement"][claim["stands"]]
    if claim.get("belief"):
        verdict = verdict.replace("what people say", "[what people say](#what-people-say)").replace(
            "What people say", "[What people say](#what-people-say)"
        )
    weight = claim["weight"]
    if weight and weight.get("lines"):
        count = len(weight["lines"])
        lines = "One line of evidence" if count == 1 else f"{count} independent lines of evidence"
        verdict += f" {lines}; {weight['confidence']} confidence."
    if claim["record"] != document["record"]:
        verdict += f" This claim belongs to the page [{claim['record']}]({claim['record']}.md)."
    back = " ".join(
        f'[↑{index}](#mark-{claim["number"]}-{index}){{: aria-label="back to sentence {index}" }}'
        for index in range(1, marks.given.get(claim["number"], 0) + 1)
    )
    return {
        "number": claim["number"],
        "statement": claim["statement"],
        "verdict": verdict,
        "back": back,
        "evidence": [_evidence(row, document, sources) for row in claim["evidence"]],
        "words": " ".join(to_markdown(words) for words in weight.get("words", ())),
        "wanted": to_markdown(end_stop("; ".join(weight.get("wanted", ())))) if weight.get("wanted") else "",
    }


def _evidence(row: EvidenceData, document: Document, sources: Mapping[str, SourceData]) -> str:
    if row["kind"] == "source":
        head = render_reference(sources.get(row["key"]), row.get("locator", ""))
    elif row["kind"] == "anatomy":
        number = next((cue["number"] for cue in document["cues"] if cue["id"] == row["key"]), None)
        head = f"[what our specimens show](#cue-{number})" if number else "what a specimen shows"
    elif row["kind"] == "diet":
        head = f"our diet table `{row['key']}`: {to_markdown(row.get('test', ''))}".replace("`", "")
    else:
        head = f"the sum “{to_markdown(row['key'].replace('-', ' '))}”"
    text = f"{head}: {end_stop(to_markdown(row['finds']))}" if "finds" in row else f"{head}."
    if "quote" in row:
        text += f" In its words: “{to_markdown(row['quote'])}”."
    if "reports" in row:
        text += f" It reports {to_markdown(row['reports'])}."
    notes = [BEARS[row["bears"]]]
    if "basis" in row:
        notes.insert(0, row["basis"])
    if "n" in row:
        notes.insert(1, f"n = {row['n']}")
    return f"{text} <small>({'; '.join(notes)})</small>"


def _belief(claim: ClaimData, sources: Mapping[str, SourceData]) -> dict[str, Any]:
    def refer(citation: CitationData) -> str:
        return render_reference(sources.get(citation["source"]), citation.get("locator", ""))

    history = []
    for step in claim.get("history", ()):
        year = step.get("year")
        when = "" if year is None else f"**{year}** " if year > 0 else f"**{-year} BC** "
        history.append(f"{when}{end_stop(to_markdown(step['told']))} <small>({refer(step)})</small>")
    return {
        "number": claim["number"],
        "belief": claim.get("belief", ""),
        "verdict": STANDS["belief"][claim["stands"]],
        "held_by": "; ".join(refer(citation) for citation in claim.get("held_by", ())),
        "why": end_stop(claim["why"]) if "why" in claim else "",
        "history": history,
    }


def _object(thing: ObjectData) -> dict[str, Any]:
    rows = []
    if thing["shows"]:
        rows.append(f"Shows {_listed(thing['shows'])}.")
    rows += [f"Cannot show the {to_markdown(part)}: {end_stop(to_markdown(why))}" for part, why in thing["hides"]]
    rows.append(f"Collection: {to_markdown(thing['collection'])}.")
    if "identified" in thing:
        rows.append(f"Identified by {end_stop(to_markdown(thing['identified']))}")
    if "place" in thing:
        rows.append(end_stop(to_markdown(thing["place"])))
    rows += [end_stop(to_markdown(text[:1].upper() + text[1:])) for text in thing.get("people", ())]
    rows += [to_markdown(text) for text in thing.get("withheld", ())]
    rows += [to_markdown(thing[name]) for name in ("note", "caution") if name in thing]  # type: ignore[literal-required]
    heading = f"{to_markdown(thing['preparation'][:1].upper() + thing['preparation'][1:])}, {to_markdown(thing['catalogue_number'])}"
    return {"heading": heading, "rows": rows}


def _source(
    source: SourceData, entries: Mapping[str, Sequence[Run]], sources: Mapping[str, SourceData]
) -> dict[str, str]:
    about = [STANDING[source["standing"]]]
    if READ.get(source["read"]):
        about.append(READ[source["read"]])
    draws = source.get("draws_on")
    if draws is None:
        about.append("what it drew on is not known")
    elif draws:
        about.append("draws on " + "; ".join(render_reference(sources.get(other)) for other in draws))
    text = "; ".join(about)
    if "withdrawn" in source:
        text += f". Withdrawn: {to_markdown(source['withdrawn'])}"
    return {"id": source["id"], "entry": render_runs(entries.get(source["id"], ())), "about": end_stop(text)}
