"""Entries of a page: words about a lineage, powers, and what the pages of the demo must show of sums and repeaters."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import pytest

from builder.build import make_outputs
from builder.render.entry import Prose, Sheet, belief_entry, claim_entry, diet_entry, sum_entry
from builder.render.escape import to_markdown
from builder.render.markdown import end_stop
from builder.road import Road, Target
from tests.conftest import TODAY, copy_demo
from tests.render.test_picture import diet, kind


def sheet(**parts: Any) -> Sheet:
    document: Any = {"record": "bat", "cues": [], "diets": [], "sums": [], **parts}
    return Sheet(document, {}, Prose("Desmodus rotundus"))


def belief(lines: list[list[str]], **drawn: list[str]) -> str:
    works = [work for line in lines for work in line[1:]]
    claim: Any = {
        "number": 1, "id": "c", "record": "bat", "statement": "s", "stands": "fails", "evidence": [], "weight": {},
        "belief": "b", "lines_behind": lines,
        "tellers": [{"source": work, "year": "", "draws_on": drawn.get(work, []), "told": True} for work in works],
    }  # fmt: skip
    return str(belief_entry(claim, sheet())["lineage_words"])


def test_words_say_how_many_works_rest_on_how_many() -> None:
    assert belief([["root", "a", "b", "c"]]) == "Three works here tell of it; they rest on one: root."
    assert belief([["a", "a"], ["root", "b", "c"]]) == "Three works here tell of it; they rest on two: a and root."
    assert belief([["a", "a"], ["b", "b"]]) == "Two works here tell of it, none of them known to draw on another."
    assert belief([["a", "a"]]) == ""


def test_works_that_share_an_origin_are_not_called_independent() -> None:
    """Two works can each be given a root of its own, and one of them still draws on the other, or both on a third."""
    assert "none of them" not in belief([["a", "a"], ["x", "b"]], b=["a", "x"])
    assert "none of them" not in belief([["x", "a"], ["y", "b"]], a=["x", "y"], b=["y"])


def test_powers_are_raised() -> None:
    row: Any = {
        "id": "x", "question": "q", "working": "1312 g ÷ 1333 cm^3 ≈ 0.9842 g/cm^3, x^0.5, 2^10",
        "inputs": [{"name": "area", "value": "619 cm^2"}],
    }  # fmt: skip
    made = sum_entry(row, sheet())
    assert made["working"] == "1312 g ÷ 1333 cm³ ≈ 0.9842 g/cm³, x^0.5, 2¹⁰"
    assert made["inputs"] == ["area: 619\u00a0cm²"]


def test_breadth_is_told_in_words() -> None:
    made = diet_entry(diet(kind("a", 0.7), kind("b", 0.3)), sheet())
    assert "as broad as if 1.50 of the 2 groups were eaten in equal parts (Levins' B by mass, 95 % interval 1.20 to 1.90" in (
        made["words"]
    )  # fmt: skip
    assert "Levins" not in diet_entry(diet(kind("a", 1.0)), sheet())["words"]


def test_evidence_leads_to_what_stands_on_the_page_and_to_nothing_else() -> None:
    evidence = [
        {"kind": "calculation", "key": "wild-year", "bears": "for"},
        {"kind": "diet", "key": "gut", "bears": "for", "test": "insects at least 90 % by mass"},
    ]
    claim: Any = {
        "number": 1, "id": "c", "record": "bat", "statement": "s", "stands": "holds", "weight": {}, "evidence": evidence,
    }  # fmt: skip
    here = sheet(sums=[{"id": "wild-year"}], diets=[{"id": "gut", "method": "stomach contents, an invented example"}])
    shown = claim_entry(claim, here)["evidence"]
    assert shown[0].startswith("[the sum “wild year”](#sum-wild-year).")
    assert shown[1].startswith("[our table of stomach contents](#diet): insects at least 90\u00a0% by mass.")
    assert not [row for row in claim_entry(claim, sheet())["evidence"] if "](#" in row]
    claim["record"] = "hyena"
    assert not [row for row in claim_entry(claim, here)["evidence"] if "](#" in row]


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The Markdown of the demo's specimen pages, as drafts."""
    root = copy_demo(tmp_path_factory.mktemp("demo") / "museum")
    road = Road(root, today=TODAY, remember=False, target=Target(True, root / "build/drafts/docs"))
    outputs, _, _ = make_outputs(road, road.walk(), True)
    return {name: data.decode() for name, data in outputs.items() if data and name.startswith("specimens/")}


def test_both_gallons_are_on_the_bats_page(pages: dict[str, str]) -> None:
    """15.45 mL a day, a fifth more in the wild, 365 days: 1.79 US gallons, 1.49 imperial ones."""
    sums = pages["specimens/common-vampire-bat.md"].split("## The sums")[1].split("\n## ")[0]
    for words in ("≈ 1.788\u00a0US gallon", "≈ 1.489\u00a0imperial gallon", "only if the gallon is the US one"):
        assert words in sums


def test_five_repeaters_hang_on_one_figure(pages: dict[str, str]) -> None:
    page = pages["specimens/spotted-hyena.md"]
    assert "Five works here tell of it; they rest on one: an untraced figure of 1,100\u00a0psi." in page
    start = page.index('<figure class="picture lineage"')
    figure = page[start : page.index("</figure>", start) + 9].replace(" data-search-exclude", "")
    arcs = [path.get("d") for path in ElementTree.fromstring(figure).iter("path")]
    assert len(arcs) == 5 and len({str(arc).rsplit(" ", 1)[1] for arc in arcs}) == 1


def test_no_id_of_a_picture_is_given_twice(pages: dict[str, str]) -> None:
    for page in pages.values():
        ids = [part.split('"')[0] for part in page.split('id="')[1:]]
        assert len(ids) == len(set(ids))


def test_no_row_ends_between_a_number_and_its_sign() -> None:
    assert to_markdown("81 % of 5 newts at 20 °C") == "81\u00a0% of 5 newts at 20\u00a0°C"
    assert to_markdown("per cent (%)") == "per cent (%)"


@pytest.mark.parametrize(
    "text, stopped",
    [
        ("Aristotle", "Aristotle."),
        ("draws on [White n.d.](#source-white)", "draws on [White n.d.](#source-white)"),
        ("draws on [White 1789](#source-white)", "draws on [White 1789](#source-white)."),
        ("“Who?”", "“Who?”"),
        ("(p. 3)", "(p. 3)."),
    ],
)
def test_a_sentence_ends_in_one_stop(text: str, stopped: str) -> None:
    assert end_stop(text) == stopped


def test_no_page_of_the_demo_ends_a_sentence_twice(pages: dict[str, str]) -> None:
    for page in pages.values():
        assert not re.search(r"\.\]\([^)]*\)\.(?!\w)", page)
        assert "our diet table gut" not in page
        assert not re.search(r"\. \d+ independent lines", page), "a sentence begins with a word"


def test_scientific_names_in_titles_stand_in_italics(pages: dict[str, str]) -> None:
    """International Code of Zoological Nomenclature, 4th edition, General Recommendation 6."""
    sources = pages["specimens/european-nightjar.md"].split("## Sources")[1]
    assert "(*Caprimulgus europaeus*)" in sources and "(Caprimulgus" not in sources


def test_what_is_kept_back_says_why_before_who_may_ask(pages: dict[str, str]) -> None:
    page = pages["specimens/european-nightjar.md"]
    assert (
        "withheld to protect the place (nightjars still breed there); researchers may ask the museum for them." in page
    )
    assert "because" not in page.split("## What our specimens show")[1].split("\n## ")[0]
