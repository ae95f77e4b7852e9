"""The packet: one file that asks nothing of anybody, runs nothing, and holds neither store nor private names."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import yaml

from builder.review.desk import Desk
from builder.review.packet import make_packet
from builder.review.page import style_sheet
from builder.review.passage import find_passage
from tests.conftest import TODAY, copy_demo

FETCHING = {"src", "href", "action", "poster", "srcset", "data", "xlink:href", "formaction"}
HARM = "<script>alert(1)</script>"


class Parts(HTMLParser):
    """Elements and attributes of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.pairs: list[tuple[str, str]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.pairs += [(name, value or "") for name, value in attrs]


def packet_of(root: Path, *, name: str = "") -> str:
    look = Desk(root, today=lambda: TODAY).look()
    return make_packet(look, [piece for piece in look.pieces.values() if name in piece.name])


def withheld(root: Path) -> set[str]:
    """Every place in the store, and every name or place that the demo's records keep back."""
    found = set()
    for file in root.rglob("record.yml"):
        for thing in yaml.safe_load(file.read_text("utf-8"))["objects"].values():
            found |= {thing["store"]} if "store" in thing else set()
            for role in ("collector", "donor"):
                if str(thing.get(role, {}).get("show", "no")) not in ("True", "yes"):
                    found |= {thing[role]["name"]} if role in thing else set()
            place = thing.get("locality", {})
            if place.get("show") == "withheld":
                found |= {place["text"]}
    return found


def test_it_is_one_file_for_all_pieces(tmp_path: Path) -> None:
    root = copy_demo(tmp_path / "museum")
    text = packet_of(root)
    parts = Parts(text)
    assert not {"script", "link", "iframe", "object", "embed", "form", "base"} & set(parts.tags)
    assert not [name for name, _ in parts.pairs if name.startswith("on")]
    for name, value in parts.pairs:
        assert name not in FETCHING or value.startswith(("#", "data:image/")), (name, value[:80])
    style = re.findall(r"<style>(.*?)</style>", text, re.DOTALL)
    assert len(style) == 1 and style[0] == style_sheet() and "@import" not in style[0], (
        "whole, and not as HTML escapes it"
    )
    assert not re.findall(r"url\((?!['\"]?data:|['\"]?#)[^)]*\)", style[0])
    assert text.count("<img ") > 3 and text == packet_of(root), "the same pieces give the same text"


def test_nothing_withheld_is_in_it(tmp_path: Path) -> None:
    root = copy_demo(tmp_path / "museum")
    values, text = withheld(root), packet_of(root)
    assert len(values) > 5, "the demo keeps back too little for this test"
    assert [value for value in sorted(values) if value in text] == []


def test_what_an_author_writes_is_text(tmp_path: Path) -> None:
    root = copy_demo(tmp_path / "museum")
    file = root / "demo_specimens/european-nightjar/record.yml"
    text = file.read_text("utf-8")
    statement = re.search(r"statement: (?!>)(.+)", text)
    assert statement
    file.write_text(text.replace(statement[0], f"statement: 'A {HARM} \"><img src=x onerror=y>'", 1), "utf-8")
    made = packet_of(root, name="nightjar/page")
    parts = Parts(made)
    assert "&lt;script&gt;alert(1)" in made and "script" not in parts.tags
    assert ("src", "x") not in parts.pairs and not [name for name, _ in parts.pairs if name.startswith("on")]


def marked(quote: str, excerpt: str) -> tuple[list[str], str]:
    found = find_passage(quote, excerpt)
    return [text for text, quoted in found.stretches if quoted], found.found


def test_the_quoted_words_are_marked_in_the_passage() -> None:
    """Invented sentences; the signs are those that printers and typists exchange."""
    text = "The bird’s mouth – wide open – took\nmoths. Its eyes are large."
    assert marked("bird's mouth - wide open - took moths", text) == ([text[4:41]], "all")
    assert marked("The bird […] Its eyes", text) == (["The bird", "Its eyes"], "all")
    assert marked("The bird … a whale of a time", text) == (["The bird"], "part")
    assert marked("a whale of a time in the sea", text) == ([], "none")
    assert marked("", text) == ([], "none")
    assert "".join(piece for piece, _ in find_passage("Its eyes", text).stretches) == text


def test_a_long_passage_is_cut_around_the_quotation_and_says_so() -> None:
    text = "before " * 400 + "the very words " + "after " * 400
    found = find_passage("the very words", text)
    whole = "".join(piece for piece, _ in found.stretches)
    assert found.cut and found.found == "all" and len(whole) < 900 and whole in text
    assert not find_passage("the very words", "Here the very words stand.").cut
