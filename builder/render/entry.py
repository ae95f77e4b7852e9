"""The entries of a specimen page: cues, claims, beliefs, objects, sources, each as the words and links of one place.

In: parts of a document and the sheet they stand on. Out: Markdown, or small mappings of it for the template.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from builder.compose.bibliography import short_citation
from builder.compose.diet import DietData
from builder.compose.document import (
    CitationData,
    ClaimData,
    CueData,
    Document,
    EvidenceData,
    ObjectData,
    SourceData,
    SumData,
)
from builder.render.citation import Run
from builder.render.escape import to_markdown
from builder.render.markdown import (
    READ,
    STANDING,
    STANDS,
    Marks,
    address_of,
    begin_sentence,
    end_stop,
    render_address,
    render_reference,
    render_runs,
)
from builder.render.picture import draw_composition, draw_curve, draw_lineage, draw_strategy
from builder.weigh.confidence import say_lines, spell_count

BEARS = {"for": "speaks for it", "against": "speaks against it", "mixed": "speaks both ways"}
SEEN_BY = {
    "eye": "",
    "lens": "Seen with a lens.",
    "x-ray": "Seen by X-ray.",
    "ct": "Seen by CT scan.",
    "literature": "Known from the literature, not seen on our specimens.",
}


class Prose:
    """Plain texts of a record as Markdown, with the scientific names it knows in italics."""

    def __init__(self, *scientific: str) -> None:
        forms: list[str] = []
        for name in scientific:
            words = name.split()
            forms += [name, f"{words[0][0]}. {' '.join(words[1:])}", words[0]] if len(words) > 1 else words
        self._names = re.compile("|".join(rf"\b{re.escape(form)}\b" for form in forms)) if forms else None

    def __call__(self, text: str) -> str:
        """The text as Markdown."""
        if self._names is None:
            return to_markdown(text)
        parts, at = [], 0
        for found in self._names.finditer(text):
            parts.append(to_markdown(text[at : found.start()]) if at < found.start() else "")
            parts.append(f"*{to_markdown(found.group())}*")
            at = found.end()
        parts.append(to_markdown(text[at:]))
        return "".join(parts)


@dataclass(frozen=True)
class Sheet:
    """One page being rendered: its document, its sources by id, the marks given so far, and its prose."""

    document: Document
    sources: Mapping[str, SourceData]
    prose: Prose
    marks: Marks = field(default_factory=Marks)

    def name_of(self, source: str) -> str:
        """A source in short, as plain text."""
        found = self.sources.get(source)
        return short_citation(found["fields"]).removesuffix(" n.d.") if found else source

    def particulars_of(self, source: str) -> str:
        """What tells a source from another by the same author: where it came out, else its title."""
        fields = self.sources[source]["fields"] if source in self.sources else {}
        return str(fields.get("container-title") or fields.get("title") or "")

    def drawn_by(self, source: str) -> list[str]:
        """The ids of the works that a source says it draws on."""
        return self.sources[source].get("draws_on", []) if source in self.sources else []


def diet_entry(diet: DietData, sheet: Sheet) -> dict[str, str]:
    """What a diet table shows: in words, then the pictures."""
    full = diet["examined"] - diet["empty"]
    source = render_reference(sheet.sources.get(diet["source"]), diet.get("locator", ""))
    words = f"{to_markdown(diet['method'][:1].upper() + diet['method'][1:])}: {diet['examined']} samples"
    words += f", of which {diet['empty']} were empty. " if diet["empty"] else ". "
    words += f"All shares are of the {full} with food. Source: {source}."
    if "clusters" in diet:
        words += f" Samples taken together count as one: there are {diet['clusters']} such sets."
    if diet["levins_B"] and len(diet["groups"]) > 1:
        breadth, low, high = diet["levins_B"]
        words += f" The diet is as broad as if {breadth} of the {len(diet['groups'])} groups were eaten in equal parts"
        words += f" (Levins' B by {diet['measure']}, 95 % interval {low} to {high}"
        words += f"; standardised {diet['levins_BA'][0]})." if diet["levins_BA"] else ")."
    if "note" in diet:
        words += f" {end_stop(to_markdown(diet['note']))}"
    return {
        "words": words,
        "composition": draw_composition(diet),
        "strategy": draw_strategy(diet),
        "curve": draw_curve(diet),
    }


def sum_entry(row: SumData, sheet: Sheet) -> dict[str, Any]:
    """A calculation: question, inputs with their sources, working, what we say, what it means."""
    inputs = []
    for given in row["inputs"]:
        text = f"{to_markdown(given['name'])}: {to_markdown(_raise_powers(given['value']))}"
        if "source" in given:
            text += f" ({render_reference(sheet.sources.get(given['source']), given.get('locator', ''))})"
        elif "because" in given:
            text += f" ({to_markdown(given['because'])})"
        inputs.append(text)
    return {
        "id": row["id"],
        "question": row["question"],
        "inputs": inputs,
        "working": _raise_powers(row["working"]),
        "says": row.get("says", ""),
        "means": sheet.prose(row["means"]) if "means" in row else "",
    }


def _lineage_words(claim: ClaimData, sheet: Sheet) -> str:
    """How many works tell of a belief, for or against, and on how many they rest."""
    lines = claim.get("lines_behind", [])
    works = list(dict.fromkeys(work for line in lines for work in line[1:]))
    if len(works) < 2:
        return ""
    roots = [sheet.name_of(line[0]) for line in lines]
    many = spell_count(len(works)).capitalize()
    if len(lines) == 1:
        return f"{many} works here tell of it; they rest on one: {to_markdown(roots[0])}."
    listed = to_markdown(", ".join(roots[:-1]) + " and " + roots[-1])
    drawn = [other for teller in claim.get("tellers", ()) if teller["told"] for other in teller["draws_on"]]
    if len(lines) == len(works) and len(set(drawn)) == len(drawn) and not set(drawn) & set(works):
        return f"{many} works here tell of it, none of them known to draw on another."
    return f"{many} works here tell of it; they rest on {spell_count(len(lines))}: {listed}."


def _raise_powers(text: str) -> str:
    """Whole powers as raised digits: `cm^3` is cm³."""
    return re.sub(r"\^(\d+)(?![\d.])", lambda found: found[1].translate(_RAISED), text)


_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


def identity_line(taxon: Mapping[str, str]) -> str:
    """The names as they stand on a specimen's label, a row for each kind of name."""
    rows = [f"**{to_markdown(taxon['common'])}**"]
    if "scientific" in taxon:
        name = f"*{to_markdown(taxon['scientific'])}*"
        rows.append(f"{name} {to_markdown(taxon['authority'])}" if "authority" in taxon else name)
    ranks = " · ".join(to_markdown(taxon[rank]) for rank in ("family", "order") if rank in taxon)
    say = f"say {to_markdown(taxon['say'])}" if "say" in taxon else ""
    rows += [f"<small>{row}</small>" for row in (ranks, say) if row]
    return "<br>\n".join(rows)


def figure_entry(document: Document, figure: Any) -> dict[str, Any]:
    """A figure with its rights and the cues that point into it."""
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


def cue_row(cue: CueData, sheet: Sheet) -> dict[str, Any]:
    """A thing to look at: its term, where it shows, its sources."""
    where = f"Shows on the {_listed(cue['visible_on'])}." if cue["visible_on"] else "Shows on none of our specimens."
    return {
        "number": cue["number"],
        "term": cue["term"],
        "say": cue.get("say", ""),
        "look_for": end_stop(sheet.prose(cue["look_for"])),
        "where": " ".join(filter(None, (where, SEEN_BY[cue["seen_by"]]))),
        "sources": "; ".join(
            render_reference(sheet.sources.get(citation["source"]), citation.get("locator", ""))
            for citation in cue["sources"]
        ),
    }


def _listed(names: Sequence[str]) -> str:
    shown = [to_markdown(name) for name in names]
    return shown[0] if len(shown) == 1 else ", ".join(shown[:-1]) + " and " + shown[-1]


def claim_entry(claim: ClaimData, sheet: Sheet) -> dict[str, Any]:
    """A claim: statement, where it stands, what vouches for it, and the way back to the text."""
    verdict = STANDS["answer" if claim.get("belief") else "statement"][claim["stands"]]
    if claim.get("belief"):
        verdict = verdict.replace("what people say", "[what people say](#what-people-say)").replace(
            "What people say", "[What people say](#what-people-say)"
        )
    weight = claim["weight"]
    if weight and weight.get("lines"):
        verdict += f" {say_lines(len(weight['lines'])).capitalize()}; {weight['confidence']} confidence."
    if claim["record"] != sheet.document["record"]:
        verdict += f" This claim belongs to the page [{claim['record']}]({claim['record']}.md)."
    back = " ".join(
        f'[↑{index}](#mark-{claim["number"]}-{index}){{: aria-label="back to sentence {index}" }}'
        for index in range(1, sheet.marks.given.get(claim["number"], 0) + 1)
    )
    return {
        "number": claim["number"],
        "statement": sheet.prose(claim["statement"]),
        "verdict": verdict,
        "back": back,
        "evidence": [_evidence(row, sheet, claim["record"]) for row in claim["evidence"]],
        "words": " ".join(to_markdown(words) for words in weight.get("words", ())),
        "wanted": to_markdown(end_stop("; ".join(weight.get("wanted", ())))) if weight.get("wanted") else "",
    }


def _evidence(row: EvidenceData, sheet: Sheet, record: str) -> str:
    """One piece of evidence. What stands on this page is linked; what belongs to another record is named."""
    here = record == sheet.document["record"]
    if row["kind"] == "source":
        head = render_reference(sheet.sources.get(row["key"]), row.get("locator", ""))
    elif row["kind"] == "anatomy":
        number = next((cue["number"] for cue in sheet.document["cues"] if here and cue["id"] == row["key"]), None)
        head = f"[what our specimens show](#cue-{number})" if number else "what a specimen shows"
    elif row["kind"] == "diet":
        method = next((diet["method"] for diet in sheet.document["diets"] if here and diet["id"] == row["key"]), "")
        what = to_markdown(re.split("[,;:(]", method)[0].strip())
        name = f"[our table of {what}](#diet)" if what else f"the diet table “{_as_words(row['key'])}”"
        head = f"{name}: {to_markdown(row.get('test', ''))}"
    else:
        name = f"the sum “{_as_words(row['key'])}”"
        shown = here and any(each["id"] == row["key"] for each in sheet.document["sums"])
        head = f"[{name}](#sum-{row['key']})" if shown else name
    text = f"{head}: {end_stop(sheet.prose(row['finds']))}" if "finds" in row else f"{head}."
    if "quote" in row:
        text += f" In its words: “{to_markdown(row['quote'])}”."
    if "reports" in row:
        text += f" It reports {to_markdown(row['reports'])}."
    notes = [BEARS[row["bears"]]]
    if "basis" in row:
        notes.insert(0, row["basis"])
    if "n" in row:
        notes.insert(1, f"n\u00a0=\u00a0{row['n']}")
    return f"{text} <small>({'; '.join(notes)})</small>"


def _as_words(key: str) -> str:
    return to_markdown(key.replace("-", " ").replace("_", " "))


def belief_entry(claim: ClaimData, sheet: Sheet) -> dict[str, Any]:
    """A belief: who told it, where it stands, what explains it, its history."""

    def refer(citation: CitationData) -> str:
        return render_reference(sheet.sources.get(citation["source"]), citation.get("locator", ""))

    history = []
    for step in claim.get("history", ()):
        year = step.get("year")
        when = "" if year is None else f"**{year}** " if year > 0 else f"**{-year} BC** "
        history.append(f"{when}{end_stop(sheet.prose(step['told']))} <small>({refer(step)})</small>")
    return {
        "number": claim["number"],
        "belief": sheet.prose(claim.get("belief", "")),
        "verdict": STANDS["belief"][claim["stands"]],
        "held_by": "; ".join(refer(citation) for citation in claim.get("held_by", ())),
        "lineage_words": _lineage_words(claim, sheet),
        "picture": draw_lineage(
            claim["id"],
            claim.get("belief", ""),
            claim.get("tellers", ()),
            sheet.name_of,
            particulars_of=sheet.particulars_of,
            drawn_by=sheet.drawn_by,
        ),
        "why": end_stop(sheet.prose(claim["why"])) if "why" in claim else "",
        "history": history,
    }


def object_entry(thing: ObjectData) -> dict[str, Any]:
    """An object: what it shows, what it cannot, where it comes from as far as that is told."""
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
    rows += [to_markdown(thing[name]) for name in ("note", "caution") if name in thing]
    preparation = thing["preparation"][:1].upper() + thing["preparation"][1:]
    heading = f"{to_markdown(preparation)}, {to_markdown(thing['catalogue_number'])}"
    return {"heading": heading, "rows": rows}


def source_entry(
    source: SourceData, entries: Mapping[str, Sequence[Run]], sources: Mapping[str, SourceData], prose: Prose
) -> dict[str, str]:
    """A source: its entry, what it is worth, what it drew on."""
    about = [begin_sentence(STANDING[source["standing"]])]
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
    address = address_of(source["fields"])
    if address:
        text = f"{end_stop(text)} {render_address(address, source['fields'])}"
    return {"id": source["id"], "entry": render_runs(entries.get(source["id"], ()), prose), "about": end_stop(text)}
