"""Characters that the packaged fonts have, and what becomes of the rest."""

from __future__ import annotations

import unicodedata

import pytest
import typst

from builder.render.glyph import SIGNS, printable, printable_characters, unprintable
from builder.render.typeset import _fonts


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain", "plain"),
        ("Cafe\u0301", "Café"),  # composed: NFC, Unicode Standard Annex 15
        ("turned \u202eround", "turned [U+202E]round"),
        ("a\u200bb", "a[U+200B]b"),
        ("null\0", "null[U+0000]"),
        ("tab\tline\n", "tab line "),
        ("夜", "[U+591C]"),
        ("\ud800", "[U+D800]"),
        ("😀", "[U+1F600]"),
        ("♀\ufe0e ♂", "♀ ♂"),
        ("12\u202fmm", "12\u202fmm"),
    ],
)
def test_what_cannot_be_printed_is_shown_by_number(text: str, shown: str) -> None:
    assert printable(text) == shown


def test_the_characters_of_the_trade_are_there() -> None:
    """Signs of measurement, of sex, of sound-spelling and of European names."""
    assert not unprintable("µ° ± × − – ½ ′ ″ ♀ ♂ ʃ ə ˈ ß ł ő ž ṭ α Ω Ж † § € ☐ ☑ ⚠ ✓")
    assert unprintable("夜 moth 夜") == ("夜",)


def test_every_character_said_to_be_printable_is_printed() -> None:
    """PDF/UA-1 (ISO 14289-1, 7.21.8) forbids a glyph that is missing, and the compiler refuses it: so it is the judge."""
    known = sorted(printable_characters() - {0xAD})
    marks = [c for c in known if unicodedata.category(chr(c)).startswith("M")]
    plain = [c for c in known if c not in marks]
    assert len(known) > 1200 and set(map(ord, SIGNS)) <= set(plain)
    text = " ".join(map(chr, plain)) + " " + " ".join(f"e{chr(c)}" for c in marks)
    for face in ("regular", "italic"):
        made = typst.compile(
            {"main.typ": f'#set document(title: "x")\n#set text(font: ("Atkinson Hyperlegible", "Source Sans Pro"), style: "{"normal" if face == "regular" else "italic"}")\n#read("t.txt")'.encode(), "t.txt": text.encode()},
            font_paths=_fonts(), ignore_system_fonts=True, pdf_standards=["ua-1"],
        )  # fmt: skip
        assert made
