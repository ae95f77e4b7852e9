"""Pictures: well-formed, named, told in numbers beside, true to their data, and deaf to hostile labels."""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.compose.document import TellerData
from builder.render.picture import draw_composition, draw_curve, draw_lineage, draw_strategy
from tests.test_contrast import contrast, palette

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
    whiskers = [re.findall(r"-?\d+(?:\.\d+)?", str(path.get("d"))) for path in list(figure.iter("path"))[1:]]
    low, high = float(whiskers[0][0]), float(whiskers[0][2])
    assert low == pytest.approx(8 + 0.6 * 292, abs=0.06) and high == pytest.approx(8 + 0.9 * 292, abs=0.06)
    for words in ("75 %", "25 %", "60–90"):
        assert words in texts(figure)


def test_every_number_of_the_plot_is_in_its_table() -> None:
    figure = parse(draw_strategy(diet(kind("moths", 0.7, 0.9), kind("beetles", 0.3, 0.4))))
    rows = [[" ".join("\n".join(cell.itertext()).split()) for cell in row] for row in figure.iter("tr")][1:]
    assert rows == [
        ["1", "moths", "90 % 10–90", "70 % 56–84"],
        ["2", "beetles", "40 % 10–90", "30 % 24–36"],
    ]
    assert len(list(figure.iter("circle"))) == 2


def test_the_curve_says_whether_the_list_is_complete() -> None:
    said = texts(parse(draw_curve(diet(kind("a", 0.5), kind("b", 0.5)))))
    assert "The list of prey is not complete: about 5.3 kinds expected, 4 seen." in said
    rows = [[cell.text for cell in row] for row in parse(draw_curve(diet(kind("a", 1.0)))).iter("tr")]
    assert rows[1:] == [["1", "1.5"], ["2", "2.4"], ["5", "3.4"], ["10", "4"], ["in all", "5.3"]]


def test_the_curve_ends_at_what_was_seen() -> None:
    """The axis runs to 1.08 times the number expected over 180 units: 4 of 5.724 kinds stand 125.8 above the foot."""
    svg = parse(draw_curve(diet(kind("a", 1.0)))).find("svg")
    assert svg is not None
    points = str(next(svg.iter("polyline")).get("points")).split()
    assert points[-1] == "336,82.2" and points[0] == "73.2,160.8"
    ticks = {text.text: text.get("y") for text in svg.iter("text") if text.get("dy")}
    assert ticks == {"5.3": "41.3", "4": "82.2", "0": "208"}
    assert "10" in {text.text for text in svg.iter("text")}


def test_without_an_estimate_the_curve_says_so() -> None:
    data = diet(kind("a", 1.0)) | {"kinds_expected": ""}
    figure = parse(draw_curve(data))
    assert "cannot be told from these samples" in texts(figure) and "Chao2" not in texts(figure)
    assert not [path for path in figure.iter("path") if path.get("stroke-dasharray")]


def lineage(*rows: tuple[str, str, list[str], bool]) -> list[TellerData]:
    return [{"source": s, "year": y, "draws_on": d, "told": t} for s, y, d, t in rows]


def test_five_repeaters_hang_on_one_root() -> None:
    tellers = lineage(("root", "", [], False), *((f"page-{n}", "2010", ["root"], True) for n in range(5)))
    figure = parse(draw_lineage("bite", "strong bite", tellers, lambda source: source.upper()))
    ends = [re.findall(r"\d+", str(arc.get("d")))[1::6] for arc in figure.iter("path")]
    assert ends == [[str(22 + 46 * row), "22"] for row in range(1, 6)], "from the ring of each to the root's"
    cells = [[cell.text for cell in row] for row in figure.iter("tr")]
    assert cells[1] == ["undated", "ROOT", "–"] and cells[2] == ["2010", "PAGE-0", "ROOT"]
    assert [c.get("fill") for c in figure.iter("circle")] == ["none", None, None, None, None, None]
    assert "PAGE-3" in texts(figure) and "undated" in texts(figure)


def test_two_works_that_owe_each_other_nothing_are_no_picture() -> None:
    assert draw_lineage("x", "b", lineage(("a", "1863", [], True), ("b", "2008", [], True)), str) == ""
    works = lineage(("a", "1863", [], True), ("b", "2008", ["a"], True))
    between = {"a": ["a"], "b": ["unshown"]}
    assert "left out" in draw_lineage("x", "b", works, str, drawn_by=lambda work: between[work])
    assert "left out" not in draw_lineage("x", "b", works, str, drawn_by=lambda work: ["a"])
    assert draw_lineage("x", "b", lineage(("a", "1863", [], True), ("b", "2008", ["a"], True)), str)


def test_the_caption_explains_only_what_is_there() -> None:
    dated = lineage(("a", "1863", [], True), ("b", "1900", [], True), ("c", "2008", [], True))
    assert "curve" not in draw_lineage("x", "b", dated, str) and "ring" not in draw_lineage("x", "b", dated, str)


def test_a_year_is_told_once() -> None:
    works = lineage(("a", "1863", [], True), ("b", "2008", ["a"], True))
    names = {"a": "Bates 1863", "b": "Schutt 2008"}
    figure = parse(draw_lineage("x", "b", works, names.__getitem__))
    assert [str(text.text) for text in figure.iter("text")] == ["Bates", "1863", "Schutt", "2008"]
    cells = [[cell.text for cell in row] for row in figure.iter("tr")]
    assert cells[2] == ["2008", "Schutt", "Bates 1863"], "what it drew on has no column of years"


def test_one_teller_is_no_picture() -> None:
    assert draw_lineage("x", "b", lineage(("a", "1900", [], True)), str) == ""
    assert draw_strategy(diet(kind("a", 1.0))) == ""


def test_names_that_are_the_same_are_told_apart() -> None:
    figure = parse(
        draw_lineage("x", "b", lineage(("a", "", [], True), ("b", "", ["a"], True)), lambda source: "Crotch")
    )
    assert "Crotch (2)" in texts(figure)
    places = {"a": "Popular Science Review", "b": "Littell's Living Age"}
    told = draw_lineage(
        "x",
        "b",
        lineage(("a", "", [], True), ("b", "", ["a"], True)),
        lambda source: "Crotch",
        particulars_of=places.__getitem__,
    )
    assert "Crotch, Popular Science Review" in texts(parse(told)) and "(2)" not in told


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
    figure = parse(draw_composition(diet(*kinds)))
    bars, whiskers = list(figure.iter("rect")), list(figure.iter("path"))[1:]
    assert len(bars) == len(whiskers) == len(kinds) == len(list(figure.iter("tr"))) - 1
    for each, bar, whisker in zip(kinds, bars, whiskers, strict=True):
        value, low, high = (Decimal(text) for text in each["measures"]["W"])
        ends = re.match(r"M(\S+) \S+H([^M]+)M", str(whisker.get("d")))
        assert ends
        assert abs(Decimal(str(bar.get("width"))) - value * 292) <= Decimal("0.05")
        assert abs(Decimal(ends[1]) - 8 - low * 292) <= Decimal("0.05")
        assert abs(Decimal(ends[2]) - 8 - high * 292) <= Decimal("0.05")
        for share in (value, low, high):
            assert _told(share) in texts(figure)


def _told(share: Decimal) -> str:
    """Per cent to a tenth, and to a hundredth where a tenth would be nothing. Adding what is due rounds half up."""
    hundredths = int(share * 10000)
    if 0 < hundredths < 10:
        return f"0.0{hundredths}"
    whole, rest = divmod((hundredths + 5) // 10, 10)
    return f"{whole}.{rest}" if rest else f"{whole}"


def test_little_is_not_nothing() -> None:
    said = texts(parse(draw_composition(diet(kind("moths", 0.9996), kind("mites", 0.0004)))))
    assert "0.04 %" in said and "100 %" in said


def test_a_long_label_is_wrapped_above_its_bar_and_stands_whole_in_the_table() -> None:
    name = "larvae of moths and butterflies, with what remains of their silk and of the leaves in them, all together"
    figure = parse(draw_composition(diet(kind(name, 0.7), kind("ℵ" * 200, 0.3))))
    labels = [str(text.text) for text in figure.iter("text")]
    assert max(map(len, labels)) <= 44 and labels[1].endswith("…")
    assert name in texts(figure)
    tops = [float(str(bar.get("y"))) for bar in figure.iter("rect")]
    assert tops[1] - tops[0] >= 15 * 2 + 15


def test_numbers_of_near_points_do_not_cover_one_another() -> None:
    kinds = [kind(f"k{n}", 0.02 + n / 100, 0.05 + n / 200) for n in range(4)]
    figure = parse(draw_strategy(diet(*kinds)))
    spots = [
        (float(str(text.get("x"))), float(str(text.get("y"))))
        for text in figure.iter("text")
        if text.get("font-weight") == "600"
    ]
    assert len(spots) == 4
    assert all(abs(a - c) >= 16 or abs(b - d) >= 12 for (a, b), (c, d) in combinations(spots, 2))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_bars_and_whiskers_can_be_told_apart(scheme: str) -> None:
    """WCAG 2.2, success criterion 1.4.11 (AA): 3 to 1, the half-clear bar on paper and the whisker on the bar."""
    colours = palette(scheme)
    opacity = {
        float(str(bar.get("fill-opacity"))) for bar in parse(draw_composition(diet(kind("a", 1.0)))).iter("rect")
    }
    assert len(opacity) == 1
    (share,) = opacity
    ink, paper = (bytes.fromhex(colours[name][1:]) for name in ("ink", "paper"))
    bar = "#" + "".join(f"{round(share * i + (1 - share) * p):02x}" for i, p in zip(ink, paper, strict=True))
    assert contrast(bar, colours["paper"]) >= 3 and contrast(colours["ink"], bar) >= 3


def test_shares_that_stand_below_one_another_are_told_to_the_same_tenth() -> None:
    said = [str(text.text) for text in parse(draw_composition(diet(kind("a", 0.794), kind("b", 0.05)))).iter("text")]
    assert "79.4\u00a0%" in said and "5.0\u00a0%" in said
    said = [str(text.text) for text in parse(draw_composition(diet(kind("a", 0.75), kind("b", 0.25)))).iter("text")]
    assert "75\u00a0%" in said and "25\u00a0%" in said


def test_the_numbers_of_a_plot_are_named_below_it() -> None:
    figure = parse(draw_strategy(diet(kind("large moth", 0.7, 0.9), kind("beetle", 0.3, 0.4))))
    caption = figure.find("figcaption")
    assert caption is not None and str(caption.text).startswith("1\u00a0large moth, 2\u00a0beetle. ")


def test_a_lineage_without_any_date_does_not_say_oldest_first() -> None:
    none, one = (
        lineage(("a", "", [], True), ("b", "", ["a"], True)),
        lineage(("a", "", [], True), ("b", "1900", ["a"], True)),
    )
    undated, dated = draw_lineage("x", "b", none, str), draw_lineage("x", "b", one, str)
    assert "Oldest first" in dated and "Oldest first" not in undated and "no date is known" in undated
    shown = [str(text.text) for text in parse(undated).iter("text")]
    assert shown == ["a", "b"], "a column of nothing but `undated` is left out"
