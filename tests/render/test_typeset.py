"""PDFs read back: text, tags, title, language, marks, no path, no clock, the same bytes; hostile text stays text."""

from __future__ import annotations

import io
import os
import re
import tempfile
from pathlib import Path
from typing import Any

import pikepdf
import pypdf
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import builder
from builder.render import typeset as module
from builder.render.typeset import BadSheet, typeset

TRIAL = b"""#import "common.typ": *
#show: sheet.with(paper: "a5")
= #data.head
#for text in data.texts [#par(text)]
#sentences(data.said, cues: true)
#picture("egg.svg", alt: "One egg", width: 20mm)
"""
EGG = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><ellipse cx="2" cy="1.5" rx="2" ry="1.5"/></svg>'
HOSTILE = (
    '#import "x.typ": *', "#panic(1)", "$x^2$ *b* _i_ `c`", "<label> @ref // c /* d", '\\ " \' ~ -- ---', "#{", "]]]",
    "= head", "+ item", "<script>alert(1)</script>", "\u202eevil\u202c", "😀 夜 \0 \ud800", "w" * 300, "A" * 40 + " tail",
)  # fmt: skip


@pytest.fixture(autouse=True)
def trial(monkeypatch: pytest.MonkeyPatch) -> None:
    packaged = module._template
    monkeypatch.setattr(module, "_template", lambda name: TRIAL if name == "trial" else packaged(name))


def make(*texts: str, **settings: Any) -> bytes:
    span = [{"text": "See "}, {"text": "the shell", "style": "em", "cue": 2}, {"text": ".", "style": ""}]
    data = {"head": "An egg", "texts": list(texts), "said": [{"spans": span}]}
    asked = {"title": "A trial", "language": "en-GB", "pictures": {"egg.svg": EGG}}
    return typeset("trial", data, **(asked | settings))


def read(pdf: bytes) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def test_text_comes_back_in_order() -> None:
    text = " ".join(read(make("First words.", "Second words.")).split())
    assert re.search("An egg First words. Second words. See the shell ?2 ?.", text), text


def test_it_is_tagged_titled_and_in_its_language() -> None:
    """ISO 14289-1 (PDF/UA-1), 5 and 7.1: the claim, the tags, the title shown, the language; alt of 7.3."""
    pdf = pikepdf.open(io.BytesIO(make("Words.")))
    root = pdf.Root
    assert root.MarkInfo.Marked and root.Lang == "en-GB" and root.ViewerPreferences.DisplayDocTitle
    with pdf.open_metadata() as metadata:
        assert metadata["dc:title"] == "A trial" and metadata["pdfuaid:part"] == "1"
    kinds: list[str] = []
    alts: list[str] = []

    def walk(node: Any) -> None:
        if isinstance(node, pikepdf.Array):
            for part in node:
                walk(part)
        elif isinstance(node, pikepdf.Dictionary):
            if "/S" in node:
                kinds.append(str(node.S))
            if "/Alt" in node:
                alts.append(str(node.Alt))
            if "/K" in node:
                walk(node.K)

    walk(root.StructTreeRoot.K)
    assert {"/H1", "/P", "/Figure"} <= set(kinds) and alts == ["One egg"]


@pytest.mark.parametrize(
    ("language", "lang"), [("en-GB", "en-GB"), ("fr", "fr"), ("mi-NZ", "mi-NZ"), ("zh-Hant-TW", "zh-TW"), ("?!", "und")]
)
def test_a_language_that_cannot_be_read_is_undetermined(language: str, lang: str) -> None:
    assert pikepdf.open(io.BytesIO(make("Words.", language=language))).Root.Lang == lang


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_shown_as_text(text: str) -> None:
    pdf = make(text, title=text, notice=text)
    shown = squeezed(read(pdf))
    assert squeezed(module.printable(text)) in shown
    assert "\u202e" not in shown and "\u200b" not in shown


@pytest.mark.parametrize("text", ["w" * 300, "https://example.org/" + "a" * 200, "é" * 90])
def test_nothing_runs_off_the_paper(text: str) -> None:
    page = pypdfium2.PdfDocument(make(text))[0]
    words = page.get_textpage()
    boxes = [words.get_charbox(index) for index in range(words.count_chars())]
    assert len(boxes) > len(text) and max(right for _, _, right, _ in boxes) < page.get_width() - 20


@given(st.text(st.characters(codec=None), max_size=60))
@settings(max_examples=120, deadline=None)
def test_any_text_whatever_can_be_set(text: str) -> None:
    assert make(text, text[::-1], title=f"t{text}", notice=text).startswith(b"%PDF-1.7")


def test_marks_and_notice_stand_on_every_page() -> None:
    pdf = make(*["Words. " * 60] * 30, draft=True, staff=True, notice="An invented museum.")
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    assert len(pages) > 2
    for number, page in enumerate(pages, start=1):
        text = page.extract_text()
        assert "DRAFT: not approved" in text and "STAFF ONLY" in text and "An invented museum." in text
        assert f"{number} of {len(pages)}" in text
    assert pypdf.PdfReader(io.BytesIO(pdf)).metadata.title == "A trial (draft)"  # type: ignore[union-attr]
    plain = read(make("Words."))
    assert "DRAFT" not in plain and "STAFF" not in plain


def test_the_same_bytes_each_time_without_clock_or_path(monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> None:
    first = make("Words.")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    monkeypatch.setenv("LC_ALL", "tr_TR.UTF-8")
    assert make("Words.") == first
    reader = pypdf.PdfReader(io.BytesIO(first))
    assert not {"/CreationDate", "/ModDate", "/Author"} & set(reader.metadata or {})
    whole = b"".join(_streams(first)) + first
    assert not re.search(rb"xmp:(Create|Modify)Date", whole)
    for folder in (Path(builder.__file__).parent, Path.home(), tmp_path, Path(tempfile.gettempdir())):
        assert f"{folder}{os.sep}".encode() not in whole, folder


def _streams(pdf: bytes) -> list[bytes]:
    found = []
    for thing in pikepdf.open(io.BytesIO(pdf)).objects:
        if isinstance(thing, pikepdf.Stream):
            try:
                found.append(thing.read_bytes())
            except pikepdf.PdfError:
                found.append(thing.read_raw_bytes())
    return found


def test_fonts_are_embedded_and_ours() -> None:
    fonts = {}
    for page in pypdf.PdfReader(io.BytesIO(make("Words Ж ♀."))).pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            inner = font["/DescendantFonts"][0].get_object()
            fonts[inner["/BaseFont"]] = set(inner["/FontDescriptor"])
    names = " ".join(fonts)
    assert "AtkinsonHyperlegible" in names and "SourceSansPro" in names
    assert all({"/FontFile2", "/FontFile3"} & keys for keys in fonts.values())


def test_our_own_faults_are_told_apart() -> None:
    with pytest.raises(ValueError, match="title"):
        make(title=" ")
    with pytest.raises(BadSheet, match=r"trial\.typ"):
        typeset("trial", {}, title="x", language="en")
    with pytest.raises(BadSheet, match=r"alt"):
        module._compile("x", {"main.typ": b'#set document(title: "x")\n#image("e.svg")', "e.svg": EGG})
