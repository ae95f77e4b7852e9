"""What stands behind a sentence, in words: its claims with their evidence, lines and confidence, and what was read.

In: a document, the excerpts of its sources and their formatted entries. Out: plain values for the templates, which make
every one of them safe.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from builder.compose.bibliography import short_citation
from builder.compose.document import CitationData, ClaimData, Document, EvidenceData, SourceData
from builder.render.citation import Run
from builder.render.entry import BEARS, SEEN_BY
from builder.render.markdown import READ, STANDING, STANDS, address_of, end_stop
from builder.review.passage import Passage, find_passage
from builder.weigh.confidence import say_lines

SAID = {"experiment": "an experiment", "measurement": "a measurement", "observation": "an observation",
        "specimen": "a specimen", "review": "a review", "account": "an account"}  # fmt: skip


@dataclass(frozen=True)
class Behind:
    """A document with what the curator may look up beside it: excerpts by source, full entries by source."""

    document: Document
    excerpts: Mapping[str, str]
    entries: Mapping[str, tuple[Run, ...]]

    @property
    def sources(self) -> dict[str, SourceData]:
        """The sources of the document by id."""
        return {source["id"]: source for source in self.document["sources"]}

    def name_of(self, source: str) -> str:
        """A source in short."""
        found = self.sources.get(source)
        return short_citation(found["fields"]).removesuffix(" n.d.") if found else source

    def reference(self, source: str, locator: str = "") -> dict[str, str]:
        """A source in short, with where in it and what kind of source it is."""
        found = self.sources.get(source)
        about = [STANDING[found["standing"]], READ.get(found["read"], "")] if found else []
        return {
            "id": source if found else "",
            "name": self.name_of(source),
            "locator": locator,
            "about": "; ".join(filter(None, about)),
            "withdrawn": found.get("withdrawn", "") if found else "",
        }

    def passage(self, source: str, quote: str) -> Passage | None:
        """What was read, with the quoted words marked; None where no excerpt is kept."""
        excerpt = self.excerpts.get(source)
        return find_passage(quote, excerpt) if excerpt else None


def claim_view(claim: ClaimData, behind: Behind) -> dict[str, Any]:
    """A claim: statement, belief, where it stands, evidence, lines and confidence in words."""
    weight = claim["weight"]
    count = len(weight.get("lines", ())) if weight else 0
    worth = ""
    if count:
        worth = f"{say_lines(count)}; {weight['confidence']} confidence"
    return {
        "number": claim["number"],
        "name": f"{claim['record']}.{claim['id']}",
        "foreign": claim["record"] if claim["record"] != behind.document["record"] else "",
        "statement": claim["statement"],
        "belief": claim.get("belief", ""),
        "verdict": STANDS["answer" if claim.get("belief") else "statement"][claim["stands"]],
        "worth": worth or "no evidence",
        "evidence": [evidence_view(row, behind) for row in claim["evidence"]],
        "words": list(weight.get("words", ())),
        "wanted": list(weight.get("wanted", ())),
        "why": claim.get("why", ""),
        "held_by": [citation_view(row, behind) for row in claim.get("held_by", ())],
        "history": [citation_view(row, behind) for row in claim.get("history", ())],
    }


def evidence_view(row: EvidenceData, behind: Behind) -> dict[str, Any]:
    """One piece of evidence: what it is, what it finds, its words and the passage they come from."""
    made: dict[str, Any] = {
        "finds": row.get("finds", ""),
        "quote": row.get("quote", ""),
        "passage": None,
        "source": None,
    }
    document = behind.document
    if row["kind"] == "source":
        made["source"] = behind.reference(row["key"], row.get("locator", ""))
        made["passage"] = behind.passage(row["key"], row.get("quote", ""))
    elif row["kind"] == "anatomy":
        cue = next((cue for cue in document["cues"] if cue["id"] == row["key"]), None)
        made["head"] = f"What our specimens show: {cue['term']}" if cue else f"The anatomy note {row['key']}"
    elif row["kind"] == "diet":
        made["head"] = f"The diet table {row['key']}: {row.get('test', '')}"
    else:
        made["head"] = f"The calculation {row['key'].replace('-', ' ')}"
    notes = [SAID.get(row["basis"], row["basis"])] if "basis" in row else []
    notes += [f"n\u00a0=\u00a0{row['n']}"] if "n" in row else []
    notes += [f"reports {row['reports']}"] if "reports" in row else []
    made["notes"] = "; ".join([*notes, BEARS[row["bears"]]])
    return made


def citation_view(row: CitationData, behind: Behind) -> dict[str, Any]:
    """A source that a belief or an anatomy note names, with what it tells and the passage."""
    year = row.get("year")
    return {
        "source": behind.reference(row["source"], row.get("locator", "")),
        "year": "" if year is None else str(year) if year > 0 else f"{-year} BC",
        "told": row.get("told", ""),
        "finds": row.get("finds", ""),
        "quote": row.get("quote", ""),
        "passage": behind.passage(row["source"], row["quote"]) if "quote" in row else None,
    }


def cue_view(cue: Any, behind: Behind) -> dict[str, Any]:
    """A thing to look at: on which objects it shows, and what vouches for it."""
    where = f"Shows on {_listed(cue['visible_on'])}." if cue["visible_on"] else "Shows on none of our specimens."
    return {
        "number": cue["number"],
        "id": cue["id"],
        "term": cue["term"],
        "look_for": end_stop(cue["look_for"]),
        "where": " ".join(filter(None, (where, SEEN_BY[cue["seen_by"]]))),
        "sources": [citation_view(row, behind) for row in cue["sources"]],
    }


def source_view(source: SourceData, behind: Behind) -> dict[str, Any]:
    """A source with its full entry, its worth, what it drew on and, where one is kept, the whole excerpt."""
    draws = source.get("draws_on")
    about = [STANDING[source["standing"]], READ.get(source["read"], "")]
    if draws is None:
        about.append("what it drew on is not known")
    elif draws:
        about.append("draws on " + ", ".join(behind.name_of(other) for other in draws))
    return {
        "id": source["id"],
        "entry": [{"text": text, "style": style} for text, style in behind.entries.get(source["id"], ())],
        "name": behind.name_of(source["id"]),
        "about": end_stop("; ".join(filter(None, about))).capitalize(),
        "withdrawn": source.get("withdrawn", ""),
        "address": address_of(source["fields"]),
        "excerpt": behind.passage(source["id"], ""),
    }


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
