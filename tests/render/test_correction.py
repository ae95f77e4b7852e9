"""Corrections as the public meets them: the page, the section of a specimen page, and the feed."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree
from datetime import datetime
from pathlib import Path
from typing import Any

import feedparser
import markdown
import pytest
from selectolax.lexbor import LexborHTMLParser

from builder.build import build, make_outputs
from builder.compose.correction import CorrectionData, correction_data
from builder.model.correction import Corrections
from builder.model.museum import Museum
from builder.render.correction import correction_rows, render_corrections
from builder.render.feed import render_feed
from builder.road import Road, Target
from tests.conftest import ROOT, TODAY

ATOM = "{http://www.w3.org/2005/Atom}"
PEOPLE = {"c-keeper": {"name": "Cora Keeper", "role": "curator"}}
MUSEUM = Museum.model_validate({"name": "Example & Sons", "site": "https://museum.example", "people": PEOPLE})
HOSTILE = '<script>alert(1)</script> & "x" {: .y } [a](javascript:b) ]]> *z*'


def entry(**more: Any) -> dict[str, Any]:
    places = [{"where": "Gallery 1", "done": "2026-10-05"}, {"where": "Hall", "do": "tell Nora", "of": "newt/label"}]
    return {
        "piece": "newt/label", "was": "mostly pond snails", "now": "mainly moths", "why": "two rows exchanged",
        "who": "c-keeper", "date": "2026-10-02", "places": places, **more,
    }  # fmt: skip


def rows(pieces: dict[tuple[str, str], tuple[str, str]] | None = None, **entries: Any) -> list[CorrectionData]:
    made = Corrections.model_validate({key.replace("_", "-"): value for key, value in entries.items()})
    return correction_data(made.root, MUSEUM, pieces or {("newt", "label"): ("The newt", "label")})


def test_newest_comes_first_and_only_of_what_is_public() -> None:
    made = rows(a=entry(), b=entry(date="2026-10-09", places=[{"where": "Hall"}]), c=entry(piece="toad/label"))
    assert [row["id"] for row in made] == ["b", "a"]
    assert [row["changed"] for row in made] == ["2026-10-09", "2026-10-05"]


def test_the_page_tells_all_and_keeps_staff_work_and_names() -> None:
    text = render_corrections(rows(a=entry()), frozenset({"newt"}), notice="", draft=False, feed=True)
    for words in ("mostly pond snails", "mainly moths", "two rows exchanged", "the curator, 2 October 2026",
                  "Gallery 1: mended on 5 October 2026", "Hall: still hangs; being mended", "specimens/newt.md",
                  "(corrections.xml)"):  # fmt: skip
        assert words in text
    assert "Nora" not in text and "Keeper" not in text
    assert "specimens/" not in render_corrections(rows(a=entry()), frozenset(), notice="", draft=False, feed=False)


def test_none_is_said_plainly() -> None:
    text = render_corrections([], frozenset(), notice="", draft=False, feed=False)
    assert "There is no correction" in text and "corrections.xml" not in text
    assert "No correction is on record here." in correction_rows([])


def test_no_words_of_an_author_become_markup() -> None:
    places = [{"where": HOSTILE}]
    made = rows({("newt", "label"): (HOSTILE, "label")}, a=entry(was=HOSTILE, now=HOSTILE, why=HOSTILE, places=places))
    for text in (render_corrections(made, frozenset(), notice="", draft=False, feed=False), correction_rows(made)):
        body = text.rpartition("\n---\n")[2]
        html = markdown.markdown(body, extensions=["attr_list", "md_in_html", "tables"])
        tree = LexborHTMLParser(html)
        assert not tree.css("script, em, .y, [href^=javascript]")
        assert [node.text() for node in tree.css("dd")][:3] == [HOSTILE] * 3


def test_the_feed_holds_what_rfc_4287_requires() -> None:
    """RFC 4287, sections 4.1.1 and 4.1.2: what a feed and an entry must contain, each exactly once."""
    made = rows(a=entry(), b=entry(date="2026-10-09", kind="update", places=[{"where": "Hall"}]))
    data = render_feed(made, MUSEUM, draft=False)
    assert data is not None and data == render_feed(made, MUSEUM, draft=False)
    top = ElementTree.fromstring(data)
    assert top.tag == f"{ATOM}feed"
    entries = top.findall(f"{ATOM}entry")
    assert len(entries) == 2
    for holder in (top, *entries):
        for name in ("id", "title", "updated"):
            assert len(holder.findall(f"{ATOM}{name}")) == 1, name
        assert datetime.fromisoformat(holder.findtext(f"{ATOM}updated", "")).tzinfo
        assert holder.findtext(f"{ATOM}id", "").startswith("https://museum.example/corrections")
        links = [
            (link.get("rel", "alternate"), link.get("type"), link.get("hreflang"))
            for link in holder.findall(f"{ATOM}link")
        ]
        assert len(links) == len(set(links)) and any(rel == "alternate" for rel, _, _ in links)
    assert top.findtext(f"{ATOM}author/{ATOM}name") == "Example & Sons", "without it each entry must name one"
    assert len({each.findtext(f"{ATOM}id") for each in entries}) == 2
    assert top.findtext(f"{ATOM}updated") == "2026-10-09T00:00:00+00:00"
    assert [each.findtext(f"{ATOM}updated", "")[:10] for each in entries] == ["2026-10-09", "2026-10-05"]


def test_a_feed_reader_understands_it() -> None:
    made = rows({("newt", "label"): (HOSTILE, "label")}, a=entry(was=HOSTILE))
    data = render_feed(made, MUSEUM.model_copy(update={"licence": "CC BY 4.0 & more"}), draft=True)
    assert data is not None
    read = feedparser.parse(data, sanitize_html=False)
    assert not read.bozo and read.version == "atom10"
    assert read.feed.rights == "CC BY 4.0 & more"
    assert read.feed.title == "Draft: Corrections of Example & Sons"
    assert read.entries[0].title == f"Draft: 2 October 2026: label “{HOSTILE}”"
    assert f"We said: {HOSTILE}" in read.entries[0].content[0].value and read.entries[0].content[0].type == "text/plain"
    assert "Nora" not in data.decode() and "Keeper" not in data.decode()


@pytest.mark.parametrize("site", [None, "museum.example", "file:///x", "http://[", "javascript:x"])
def test_no_feed_without_an_address(site: str | None) -> None:
    assert render_feed(rows(a=entry()), MUSEUM.model_copy(update={"site": site}), draft=False) is None


def test_a_feed_without_entries_needs_no_clock() -> None:
    data = render_feed([], MUSEUM, draft=False)
    assert data is not None and b"<updated>1970-01-01T00:00:00+00:00</updated>" in data
    assert not feedparser.parse(data).bozo


FILE = """2026-10-02-newt-label:
  piece: newt/label
  was: mostly pond snails
  now: mainly moths
  why: two rows exchanged
  who: c-keeper
  date: 2026-10-02
  places:
    - where: Gallery 1
"""


def outputs_of(root: Path, *, draft: bool) -> dict[str, bytes | None]:
    road = Road(root, today=TODAY, remember=False, target=Target(draft, root / "build/docs"))
    return make_outputs(road, road.walk(), draft)[0]


def test_nothing_is_said_of_a_piece_that_nobody_signed(stock: Path) -> None:
    (stock / "records/corrections.yml").write_text(FILE, "utf-8")
    made = outputs_of(stock, draft=False)
    assert b"There is no correction" in (made["corrections.md"] or b"")
    assert not any(b"mostly pond snails" in (data or b"") for data in made.values())
    draft = outputs_of(stock, draft=True)
    for name in ("corrections.md", "specimens/newt.md"):
        assert b"mostly pond snails" in (draft[name] or b"")


def test_a_new_correction_makes_the_page_anew_and_the_site_leads_to_the_feed(stock: Path) -> None:
    museum = stock / "records/museum.yml"
    museum.write_text(museum.read_text("utf-8") + "site: https://museum.example\n", "utf-8")
    (stock / "content/how-we-check.md").write_text("# How we check\n", "utf-8")
    settings = (ROOT / "mkdocs.yml").read_text("utf-8").replace("records: demo_specimens", "records: records")
    (stock / "mkdocs.yml").write_text(settings, "utf-8")
    first = build(stock, today=TODAY, draft=True)
    assert first.site, first.problems
    site = stock / "build/drafts/site"
    assert "No correction is on record here" in (site / "specimens/newt.html").read_text("utf-8")
    (stock / "records/corrections.yml").write_text(FILE, "utf-8")
    built = build(stock, today=TODAY, draft=True)
    assert built.site and not built.problems
    page = (site / "specimens/newt.html").read_text("utf-8")
    assert "mostly pond snails" in page and "still hangs; being mended" in page
    links = LexborHTMLParser(page).css("link[type='application/atom+xml']")
    assert [link.attributes["href"] for link in links] == ["../corrections.xml"]
    assert len(feedparser.parse((site / "corrections.xml").read_bytes()).entries) == 1


@pytest.mark.parametrize("day", ["2026-02-30", "2026-10", "yesterday", "2026-10-02?", "9999-99-99", "0000-01-01"])
def test_a_day_that_cannot_be_read_stops_no_draft(stock: Path, day: str) -> None:
    museum = stock / "records/museum.yml"
    museum.write_text(museum.read_text("utf-8") + "site: https://museum.example\n", "utf-8")
    text = FILE.replace("date: 2026-10-02", f"date: {day}")
    second = FILE.replace("2026-10-02-newt-label:", "other:") + f"      done: {day}\n"
    (stock / "records/corrections.yml").write_text(text + second, "utf-8")
    made = outputs_of(stock, draft=True)
    assert (made["corrections.md"] or b"").count(b"mostly pond snails") == 2
    assert json.loads(made["data/newt.json"] or b"")
    read = feedparser.parse(made["corrections.xml"])
    assert [each.updated[:10] for each in read.entries] == ["2026-10-02"], "the one whose own day can be read"
