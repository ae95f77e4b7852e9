"""Pictures: well-formed, named, told in numbers beside, true to their data, and deaf to hostile labels."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.compose.document import TellerData
from builder.render.picture import draw_composition, draw_curve, draw_lineage, draw_strategy

HOSTILE = '<script>alert(1)</script> & "quotes" \u202e {{ 7*7 }} `x` </svg>'


def kind(name: str, share: float, occurrence: float = 0.5) -> dict[str, Any]:
    spread = [f"{share:.4f}", f"{share * 0.8:.4f}", f"{min(1, share * 1.2):.4f}"]
    return {
        "name": name,
        "samples": 5,
        "measures": {"FO": [f"{occurrence:.4f}", "0.1000", "0.9000"], "W": spread, "abundance": spread},
    }


def diet(*kinds: dict[str, Any]) -> Any:
    return {
        "id": "gut", "method": "m", "source": "s", "examined": 12, "empty": 2, "measure": "mass", "groups": list(kinds),
        "prey": list(kinds), "levins_B": ["1.50", "1.20", "1.90"], "levins_BA": ["0.20", "0.10", "0.30"],
        "vacuity": ["0.1667", "0.0470", "0.4480"], "kinds_seen": 4, "kinds_expected": "5.3", "complete": False,
        "curve": [["1", "1.50"], ["2", "2.40"], ["5", "3.40"], ["10", "4.00"]],
    }  # fmt: skip


def parse(text: str) -> ElementTree.Element:
    return ElementTree.fromstring(text.replace(" data-search-exclude", ""))


def texts(figure: ElementTree.Element) -> str:
    return " ".join("".join(figure.itertext()).split())


@pytest.mark.parametrize("draw", [draw_composition, draw_strategy, draw_curve])
def test_each_is_named_described_and_told_in_numbers(draw: Any) -> None:
    figure = parse(draw(diet(kind("moths", 0.7, 0.9), kind("beetles", 0.3, 0.4))))
    svg = figure.find("svg")
    assert svg is not None and svg.get("role") == "img"
    labels = str(svg.get("aria-labelledby")).split()
    assert [element.get("id") for element in (svg.find("title"), svg.find("desc")) if element is not None] == labels
    assert figure.find("details/table/tbody/tr/th") is not None
    assert all(element.text for element in svg.iter("text") if not list(element))


def test_bars_are_as_long_as_their_shares() -> None:
    figure = parse(draw_composition(diet(kind("moths", 0.75), kind("beetles", 0.25))))
    lengths = [float(str(bar.get("width"))) for bar in figure.iter("rect")]
    assert lengths == [0.75 * 292, 0.25 * 292]
    whiskers = [re.findall(r"-?\d+(?:\.\d+)?", str(path.get("d"))) for path in figure.iter("path")]
    low, high = float(whiskers[0][0]), float(whiskers[0][2])
    assert low == pytest.approx(8 + 0.6 * 292, abs=0.06) and high == pytest.approx(8 + 0.9 * 292, abs=0.06)
    for words in ("75 %", "25 %", "60–90"):
        assert words in texts(figure)


def test_every_number_of_the_plot_is_in_its_table() -> None:
    figure = parse(draw_strategy(diet(kind("moths", 0.7, 0.9), kind("beetles", 0.3, 0.4))))
    rows = [[cell.text for cell in row] for row in figure.iter("tr")][1:]
    assert rows == [["1", "moths", "90 %", "70 %"], ["2", "beetles", "40 %", "30 %"]]
    assert len(list(figure.iter("circle"))) == 2


def test_the_curve_says_whether_the_list_is_complete() -> None:
    said = texts(parse(draw_curve(diet(kind("a", 0.5), kind("b", 0.5)))))
    assert "The list of prey is not complete." in said and "about 5.3 expected" in said


def lineage(*rows: tuple[str, str, list[str], bool]) -> list[TellerData]:
    return [{"source": s, "year": y, "draws_on": d, "told": t} for s, y, d, t in rows]


def test_five_repeaters_hang_on_one_root() -> None:
    tellers = lineage(("root", "", [], False), *((f"page-{n}", "2010", ["root"], True) for n in range(5)))
    figure = parse(draw_lineage("bite", "strong bite", tellers, lambda source: source.upper()))
    assert len(list(figure.iter("path"))) == 5
    assert [c.get("fill") for c in figure.iter("circle")] == ["none", None, None, None, None, None]
    assert "PAGE-3" in texts(figure) and "undated" in texts(figure)


def test_one_teller_is_no_picture() -> None:
    assert draw_lineage("x", "b", lineage(("a", "1900", [], True)), str) == ""
    assert draw_strategy(diet(kind("a", 1.0))) == ""


def test_names_that_are_the_same_are_told_apart() -> None:
    figure = parse(
        draw_lineage("x", "b", lineage(("a", "", [], True), ("b", "", ["a"], True)), lambda source: "Crotch")
    )
    assert "Crotch (2)" in texts(figure)


def test_hostile_labels_stay_text() -> None:
    for text in (
        draw_composition(diet(kind(HOSTILE, 0.7), kind("b", 0.3))),
        draw_strategy(diet(kind(HOSTILE, 0.7), kind("b", 0.3))),
        draw_lineage("x", HOSTILE, lineage(("a", "", [], True), ("b", "1900", ["a"], True)), lambda source: HOSTILE),
    ):
        figure = parse(text)
        assert not list(figure.iter("script")) and "7*7" in texts(figure)


@given(st.lists(st.floats(0.001, 1.0), min_size=2, max_size=12), st.lists(st.floats(0, 1), min_size=12, max_size=12))
@settings(max_examples=60, deadline=None)
def test_any_diet_stays_within_its_frame(shares: list[float], occurrences: list[float]) -> None:
    whole = sum(shares)
    kinds = [kind(f"kind {n}", share / whole, occurrences[n]) for n, share in enumerate(shares)]
    for text in (draw_composition(diet(*kinds)), draw_strategy(diet(*kinds))):
        figure = parse(text)
        svg = figure.find("svg")
        assert svg is not None
        width, height = (float(number) for number in str(svg.get("viewBox")).split()[2:])
        for circle in figure.iter("circle"):
            assert 0 <= float(str(circle.get("cx"))) <= width and 0 <= float(str(circle.get("cy"))) <= height
        for bar in figure.iter("rect"):
            assert float(str(bar.get("x"))) + float(str(bar.get("width"))) <= width
        assert text == "\n".join(row for row in text.split("\n") if row.strip())
