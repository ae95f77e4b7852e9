"""Render a piece as linked data: what it is, what it is about, what it cites, who reviewed it, what was corrected.

In: a document and what is known of its approval. Out: JSON-LD in terms of schema.org, one file for a page or script.
Where the terms ask for a person, the public gets a role: no name of staff enters.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from builder.compose.bibliography import OTHERS
from builder.compose.correction import CorrectionData
from builder.compose.document import Document
from builder.compose.running import Running
from builder.model.museum import Museum
from builder.render.escape import to_plain
from builder.render.feed import site_of
from builder.render.markdown import address_of
from builder.weigh.licence import terms_address

WORKS = {
    "article-journal": "ScholarlyArticle", "article-newspaper": "NewsArticle", "article-magazine": "Article",
    "article": "Article", "book": "Book", "chapter": "Chapter", "dataset": "Dataset", "thesis": "Thesis",
    "report": "Report", "webpage": "WebPage", "post-weblog": "BlogPosting", "map": "Map", "motion_picture": "Movie",
}  # fmt: skip
"""Types of CSL 1.0.2 as classes of schema.org; any other is a CreativeWork."""
DAY = re.compile(r"\d{4}(?:-\d{2}(?:-\d{2})?)?")


def page_linked(
    document: Document,
    museum: Museum,
    address: str,
    reviews: Sequence[tuple[str, str]],
    corrections: Iterable[CorrectionData],
    *,
    draft: bool,
) -> bytes:
    """A specimen page. `address` is its path in the site, `reviews` role and date of each approval that counts."""
    folder = f"{site_of(museum)}specimens/{document['record']}/" if site_of(museum) else ""
    pictures = [
        _filled({
            "@type": "ImageObject", "name": figure.get("caption", ""), "description": figure["alt"],
            "license": _licence(figure.get("licence", "")), "creditText": figure.get("credit", ""),
            "contentUrl": folder + figure["file"] if folder else "",
        })
        for figure in document["figures"]
    ]  # fmt: skip
    return _write(
        {"@context": "https://schema.org", "@type": "WebPage"}
        | _work(document, museum, address, draft=draft)
        | {"image": pictures}
        | _reviewed(reviews)
        | _corrected(list(corrections), reviews)
    )


def script_linked(
    document: Document,
    museum: Museum,
    running: Running,
    reviews: Sequence[tuple[str, str]],
    corrections: Iterable[CorrectionData],
    *,
    draft: bool,
) -> bytes:
    """The film that a script is for. The times are those worked out from the script, not those of a cut."""
    clips = [
        _filled({
            "@type": "Clip", "name": beat.title or "Opening", "position": beat.index + 1, "startOffset": beat.starts,
            "endOffset": beat.starts + beat.seconds,
        })
        for beat in running.beats
    ]  # fmt: skip
    own = f"documents/{document['record']}--{document['piece']}"
    site = site_of(museum)
    tracks = {"caption": f"{site}{own}--captions.vtt"} if site else {}
    caption = {
        name: {"@type": "MediaObject", "contentUrl": url, "encodingFormat": "text/vtt"} for name, url in tracks.items()
    }
    made = (
        {"@context": "https://schema.org", "@type": "VideoObject"}
        | _work(document, museum, "", draft=draft)
        | {"duration": f"PT{running.seconds}S", "hasPart": clips}
        | caption
        | _corrected(list(corrections), reviews)
    )
    return _write(made)


def _work(document: Document, museum: Museum, address: str, *, draft: bool) -> dict[str, Any]:
    house: dict[str, Any] = {"@type": "Organization", "name": museum.name}
    house |= _filled({"url": site_of(museum), "description": museum.notice or ""})
    url = site_of(museum) + address if address and site_of(museum) else ""
    return {
        "@id": url,
        "url": url,
        "name": document["title"],
        "description": document["summary"],
        "inLanguage": document["language"],
        "creativeWorkStatus": "Draft" if draft else "Published",
        "author": house,
        "publisher": house,
        "license": _licence(museum.licence or ""),
        "about": described_taxon(document["taxon"]),
        "citation": [cited_work(source["fields"]) for source in document["sources"]],
    }


def described_taxon(taxon: Mapping[str, str], *, above: bool = True) -> dict[str, Any]:
    """What a record is about, with the family `above` it."""
    family = taxon.get("family", "")
    parent = {"@type": "Taxon", "name": family, "taxonRank": "family"} if family and above else {}
    common, scientific = taxon.get("common", ""), taxon.get("scientific", "")
    if not scientific:
        return _filled({"@type": "Thing", "name": common})
    rank = "species" if re.fullmatch(r"[A-Z][a-z-]+ [a-z-]+", scientific) else ""
    return _filled(
        {"@type": "Taxon", "name": scientific, "alternateName": common, "taxonRank": rank, "parentTaxon": parent}
    )


def cited_work(fields: Mapping[str, Any], *, flat: bool = False) -> dict[str, Any]:
    """A source. A body's name stays text, since it may be of a person as well.

    A `flat` one holds text alone, for a graph in which nothing stands inside another.
    """
    authors: list[Any] = []
    for name in fields.get("author", ()):
        if "literal" in name:
            authors += [name["literal"]] if name["literal"].lower() not in OTHERS else []
        else:
            particle = name.get("non-dropping-particle", "")
            family = " ".join(filter(None, (particle, name.get("family", ""))))
            given = name.get("given", "")
            person = _filled({"@type": "Person", "familyName": family, "givenName": given})
            authors.append(f"{given} {family}".strip() if flat else person)
    issued, doi = str(fields.get("issued", "")), str(fields.get("DOI", "")).strip()
    holder = fields.get("container-title", "")
    journal = str(fields.get("type", "")).startswith("article")
    whole = {"@type": "Periodical" if journal else "CreativeWork", "name": holder, "issn": fields.get("ISSN", "")}
    return _filled(
        {
            "@type": WORKS.get(str(fields.get("type", "")), "CreativeWork"),
            "name": fields.get("title", ""),
            "author": authors,
            "datePublished": issued if DAY.fullmatch(issued) else "",
            "isPartOf": _filled(whole) if holder and not flat else {},
            "pagination": fields.get("page", "") if journal else "",
            "isbn": fields.get("ISBN", "") if fields.get("type") == "book" else "",
            "identifier": doi if flat or not doi else {"@type": "PropertyValue", "propertyID": "DOI", "value": doi},
            "url": address_of(fields),
        }
    )


def _reviewed(reviews: Sequence[tuple[str, str]]) -> dict[str, Any]:
    roles = dict.fromkeys(role for role, _ in reviews)
    return {
        "lastReviewed": max((day for _, day in reviews), default=""),
        "reviewedBy": [{"@type": "Person", "jobTitle": role} for role in roles],
    }


def _corrected(corrections: Sequence[CorrectionData], reviews: Sequence[tuple[str, str]]) -> dict[str, Any]:
    days = [day for _, day in reviews] + [row["date"] for row in corrections]
    made = [
        {
            "@type": "CorrectionComment",
            "text": f"We said: {row['was']} We say now: {row['now']} Why: {row['why']}",
            "dateCreated": row["date"],
            "dateModified": row["changed"],
        }
        for row in corrections
    ]
    return {"dateModified": max(days, default=""), "correction": made}


def _licence(name: str) -> Any:
    """The address of its terms, which is what others look for; else its words."""
    return terms_address(name) or ({"@type": "CreativeWork", "name": name} if name else "")


def _filled(entries: dict[str, Any]) -> dict[str, Any]:
    """What has a value."""
    return {key: value for key, value in entries.items() if value not in ("", [], {}, None)}


def _write(made: dict[str, Any]) -> bytes:
    return (to_plain(json.dumps(_filled(made), ensure_ascii=False, indent=1)) + "\n").encode()
