"""Linked data of pages and scripts: terms that schema.org has, facts that are known, names that stay behind."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from rdflib import Graph, namespace

from builder.build import make_outputs
from builder.compose.document import Document
from builder.model.museum import Museum
from builder.render.linked import page_linked
from builder.road import Road, Target
from tests.conftest import ROOT, TODAY, copy_demo

MUSEUM = Museum.model_validate({"name": "Example", "site": "https://museum.example", "notice": "All invented."})
CORRECTED: Any = {
    "id": "a", "record": "newt", "piece": "page", "title": "T", "use": "page", "kind": "mistake", "was": "36",
    "now": "34", "why": "counted twice", "role": "curator", "date": "2026-11-02", "changed": "2026-11-09",
    "open": False, "places": [],
}  # fmt: skip


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Any]]:
    root = copy_demo(tmp_path_factory.mktemp("linked"))
    road = Road(root, today=TODAY, remember=False, target=Target(True, root / "build/drafts/docs"))
    outputs = make_outputs(road, road.walk(["european-nightjar"]), True)[0]
    return {name: json.loads(data or b"") for name, data in outputs.items() if name.startswith("data/")}


def document_of(root: Path) -> Document:
    return Road(root, today=TODAY, remember=False).documents("newt")["page"]


def entries(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, dict):
        yield value
        for inner in value.values():
            yield from entries(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from entries(inner)


def test_every_class_and_property_is_one_of_schema_org(demo: dict[str, dict[str, Any]]) -> None:
    """The vocabulary is that of schema.org as rdflib carries it (`rdflib.namespace.SDO`, a closed list)."""
    names = set()
    for entry in entries(list(demo.values())):
        names |= {key for key in entry if not key.startswith("@")} | {entry["@type"]}
    assert {"WebPage", "Taxon", "CorrectionComment", "VideoObject", "Clip", "ScholarlyArticle"} <= names
    assert not [name for name in sorted(names) if name not in namespace.SDO]


def test_the_file_is_json_ld(demo: dict[str, dict[str, Any]]) -> None:
    """Read by rdflib's JSON-LD parser; the context is put in by hand, since a test asks no host for it."""
    for made in demo.values():
        assert made["@context"] == "https://schema.org"
        text = json.dumps({**made, "@context": {"@vocab": "https://schema.org/"}})
        graph = Graph().parse(data=text, format="json-ld")
        kinds = set(graph.objects(None, namespace.RDF.type))
        assert namespace.SDO.Taxon in kinds and (namespace.SDO.WebPage in kinds or namespace.SDO.VideoObject in kinds)


def test_a_page_of_the_demo_says_what_is_known(demo: dict[str, dict[str, Any]]) -> None:
    page = demo["data/european-nightjar.json"]
    assert page["url"] == "https://museum.example/specimens/european-nightjar.html"
    assert page["inLanguage"] == "en-GB" and page["creativeWorkStatus"] == "Draft"
    assert page["about"]["name"] == "Caprimulgus europaeus" and page["about"]["taxonRank"] == "species"
    assert page["about"]["parentTaxon"] == {"@type": "Taxon", "name": "Caprimulgidae", "taxonRank": "family"}
    assert "invented museum" in page["publisher"]["description"]
    assert any(work.get("identifier", {}).get("propertyID") == "DOI" for work in page["citation"])
    assert page["correction"][0]["dateCreated"] == "2026-11-02"
    assert page["license"] == "https://creativecommons.org/licenses/by/4.0/"
    assert all(picture["license"].startswith("https://") for picture in page["image"])
    assert page["lastReviewed"] and [one["jobTitle"] for one in page["reviewedBy"]] == ["curator of birds"]
    assert '"others"' not in json.dumps(demo)
    assert "Brackwater" not in json.dumps(demo)


def test_the_clips_of_a_film_follow_one_another(demo: dict[str, dict[str, Any]]) -> None:
    film = demo["data/european-nightjar--script.json"]
    ends = [0] + [clip["endOffset"] for clip in film["hasPart"]]
    assert [clip["startOffset"] for clip in film["hasPart"]] == ends[:-1]
    assert film["duration"] == f"PT{ends[-1]}S" and len(ends) > 2
    assert film["caption"]["contentUrl"].endswith("documents/european-nightjar--script--captions.vtt")


def test_reviews_are_told_by_role_and_day(stock: Path) -> None:
    reviews = [("curator of newts", "2026-03-01"), ("conservator", "2026-04-02")]
    data = page_linked(document_of(stock), MUSEUM, "specimens/newt.html", reviews, [CORRECTED], draft=False)
    page = json.loads(data)
    assert page["creativeWorkStatus"] == "Published" and page["lastReviewed"] == "2026-04-02"
    assert [one["jobTitle"] for one in page["reviewedBy"]] == ["curator of newts", "conservator"]
    assert page["dateModified"] == "2026-11-02"
    assert "We said: 36 We say now: 34" in page["correction"][0]["text"]
    assert data == page_linked(document_of(stock), MUSEUM, "specimens/newt.html", reviews, [CORRECTED], draft=False)


def test_without_a_site_nothing_has_an_address(stock: Path) -> None:
    museum = MUSEUM.model_copy(update={"site": None})
    page = json.loads(page_linked(document_of(stock), museum, "specimens/newt.html", [], [], draft=True))
    assert "url" not in page and "@id" not in page and "contentUrl" not in json.dumps(page)


def test_the_head_of_a_page_leads_to_it() -> None:
    theme = (ROOT / "builder/publish/theme/main.html").read_text("utf-8")
    assert 'type="application/ld+json"' in theme and "page.meta.linked" in theme
