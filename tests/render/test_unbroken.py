"""What must not part at the end of a row is held together, on pages and on paper, and nothing else changes."""

from __future__ import annotations

import io

import pypdf
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.render.typeset import typeset
from builder.render.unbroken import keep_together
from builder.resolve.fold import fold

# ~ is where a row may not end; the SI Brochure asks for a space before a unit, the rest is common practice, no source
TOGETHER = [
    "The tail measures only 10 to 18~mm.",
    "moths of more than 60~mm wingspan, 1.5~kg a head, 24~hours long, ½~inch thick",
    "81~% of 5 newts at 20~°C, 5~±~1~g",
    "near 54.8°~N, 0.4°~E",
    "C.~europaeus Linnaeus, or Caprimulgus~sp. in flight",
    "Mitchell, L.~J. and Dr~Okafor of St~Albans and St.~Ives",
    "p.~426, pp.~366–367, ch.~XXII, c.~1900, no.~5",
    "Gallery~3, case~7, 9~November 2026, 350~BC",
    "(n~=~130; p~<~0.05) doi~10.1016/S0006",
]
APART = [
    "122 a year",
    "20 in all",
    "34 samples",
    "A bat. The rest.",
    "in 1776 he",
    "the two second eggs",
    "May 5",
    "p.m. 5 on",
]


@pytest.mark.parametrize("wanted", TOGETHER)
def test_together(wanted: str) -> None:
    assert keep_together(wanted.replace("~", " ")).replace("\u00a0", "~") == wanted


@pytest.mark.parametrize("text", APART)
def test_apart(text: str) -> None:
    assert keep_together(text) == text


WORDS = st.lists(
    st.sampled_from(
        ["5", "12", "±", "%", "cm", "kJ/day", "C.", "p.", "Dr", "Mill", "row", "case", "n", "=", "May", "a", "°", "N"]
    )
)


@given(st.text() | WORDS.map(" ".join))
def test_no_word_is_changed_or_moved(text: str) -> None:
    kept = keep_together(text)
    assert kept.replace("\u00a0", " ") == text.replace("\u00a0", " ")
    assert keep_together(kept) == kept, "twice is as good as once"
    assert fold(kept) == fold(text), "what searches for withheld values sees no difference"


def test_on_paper_a_unit_stays_by_its_number_and_is_found() -> None:
    block = {"kind": "paragraph", "sentences": [{"spans": [{"text": "A row of words that end in 24 cm. " * 12}]}]}
    label = {
        "title": "Long", "blocks": [block], "lines": [], "care": "", "credit": "", "notice": "", "code": "", "staff": "",
        "width": 101, "paper": "a4", "sizes": {"title": 28, "text": 18, "small": 16},
    }  # fmt: skip
    pdf = typeset("label", {"labels": [label]}, title="Long", language="en")
    rows = pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text().splitlines()
    assert len(rows) > 10
    assert not [row for row in rows if row.rstrip().endswith("24") or row.startswith("cm")]
    page = pypdfium2.PdfDocument(pdf)[0].get_textpage()  # a reader's own search, as in a browser
    found = page.search("24 cm")
    assert sum(1 for _ in iter(found.get_next, None)) == 12
