"""Citations: our style's own examples, a museum's style, and author text that must stay text."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.compose.bibliography import short_citation
from builder.render.citation import BadStyle, Entries, own_style
from builder.road import Road
from tests.conftest import TODAY

FIELD = {
    "type": "article-journal",
    "title": "What example newts eat",
    "author": [{"family": "Field", "given": "F."}],
    "issued": "2001",
    "container-title": "Journal of Examples",
    "volume": "12",
    "issue": "3",
    "page": "101-110",
    "DOI": "10.1234/x",
}

# The examples printed in docs/citations.md; what each must look like is there too.
EXAMPLES = [
    (FIELD, "Field, F., 2001. What example newts eat. *Journal of Examples* 12 (3): 101–110. doi 10.1234/x."),
    (
        {**FIELD, "author": [{"family": "A", "given": "B."}, {"family": "C", "given": "D."}, {"literal": "A Museum"}]},
        "A, B., C, D. and A Museum, 2001. What example newts eat. *Journal of Examples* 12 (3): 101–110. doi 10.1234/x.",
    ),
    (
        {
            "type": "book",
            "title": "Newts",
            "editor": [{"family": "Wilson", "given": "D. E."}],
            "issued": "2019-05",
            "publisher": "Lynx",
            "publisher-place": "Barcelona",
            "ISBN": "978-84-16728-19-0",
        },
        "Wilson, D. E. (ed.), May 2019. *Newts*. Lynx, Barcelona. ISBN 978-84-16728-19-0.",
    ),
    (
        {
            "type": "webpage",
            "title": "On newts",
            "author": [{"literal": "A Museum"}],
            "URL": "https://museum.example/n",
        },
        "A Museum. On newts. https://museum.example/n.",
    ),
    (
        {"type": "book", "title": "History of Animals", "author": [{"literal": "Aristotle"}], "issued": "-0350"},
        "Aristotle, 350 BC. *History of Animals*.",
    ),
    (
        {"type": "manuscript", "title": "Notes", "archive": "The archive", "archive_location": "box 4"},
        "Notes. The archive, box 4.",
    ),
    ({"type": "book", "title": "Two years", "issued": "1964/2008", "publisher": "P"}, "*Two years*, 1964–2008. P."),
]


def as_text(runs: tuple[tuple[str, str], ...]) -> str:
    return "".join(f"*{text}*" if style == "em" else text for text, style in runs)


@pytest.mark.parametrize("fields, expected", EXAMPLES)
def test_examples_of_the_style(fields: dict[str, object], expected: str) -> None:
    assert as_text(Entries(own_style()).entry(fields)) == expected


@pytest.mark.parametrize("fields, expected", EXAMPLES)
def test_examples_are_documented(fields: dict[str, object], expected: str) -> None:
    page = (Path(__file__).parents[2] / "docs/citations.md").read_text("utf-8")
    assert f"- {expected}\n" in page


def test_author_text_is_never_markup() -> None:
    text = as_text(Entries(own_style()).entry({**FIELD, "title": "<i>x</i> & <script>y</script> <b>"}))
    assert "<i>x</i> & <script>y</script> <b>." in text


def test_each_entry_is_formatted_once() -> None:
    entries = Entries(own_style())
    first = entries.entry(FIELD)
    again = Entries(own_style(), entries.known)
    again._format = None  # type: ignore[assignment,method-assign] # formatting again would fail
    assert again.entry(dict(reversed(FIELD.items()))) == first


def test_short_citations() -> None:
    assert short_citation(FIELD) == "Field 2001"
    assert short_citation({**FIELD, "author": [{"family": "A"}, {"family": "B"}]}) == "A and B 2001"
    assert (
        short_citation({**FIELD, "author": [{"family": "A"}, {"family": "B"}, {"family": "C"}]}) == "A and others 2001"
    )
    assert short_citation({"title": "Untold", "type": "book"}) == "Untold n.d."
    assert short_citation({"author": [{"literal": "Aristotle"}], "issued": "-0350"}) == "Aristotle 350 BC"
    assert (
        short_citation({"author": [{"family": "Beethoven", "non-dropping-particle": "van"}], "issued": "1800"})
        == "van Beethoven 1800"
    )


def test_a_style_that_is_none() -> None:
    for style in (b"", b"<x/>", b"not xml", b"<style xmlns='http://purl.org/net/xbiblio/csl'/>"):
        with pytest.raises(BadStyle):
            Entries(style).entry(FIELD)


def test_a_museum_names_its_own_style(stock: Path) -> None:
    museum = stock / "records/museum.yml"
    museum.write_text(museum.read_text("utf-8") + "citation_style: house.csl\n", "utf-8")
    problems = Road(stock, today=TODAY, remember=False).walk().problems
    assert [(p.check, p.place and p.place.file) for p in problems] == [("unknown-reference", "records/museum.yml")]
    (stock / "records/house.csl").write_text("<x/>", "utf-8")
    problems = Road(stock, today=TODAY, remember=False).walk().problems
    assert [p.check for p in problems] == ["wrong-shape"]
    house = own_style().replace(b'prefix="doi "', b'prefix="DOI: "')
    (stock / "records/house.csl").write_bytes(house)
    road = Road(stock, today=TODAY, remember=False)
    assert road.walk().problems == ()
    assert "DOI: 10.1234/x." in as_text(road.entries.entry(FIELD))
