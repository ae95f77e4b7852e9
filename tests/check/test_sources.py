"""Checks of sources beyond their pages: edges of quotations, dates, locators and ways through `draws_on`."""

from __future__ import annotations

import re
import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.check.example import STOCK
from builder.check.sources.incomplete_source import find_missing
from builder.check.sources.locator_beyond_abstract import BEYOND, WITHIN
from builder.check.sources.quote_not_found import find_lost_words
from builder.check.sources.source_without_locator import NOWHERE, WHOLE
from builder.check.sources.stale_source import months_before
from builder.check.sources.withdrawn_source import find_withdrawn
from builder.load import Shared
from builder.model.museum import Museum
from builder.model.source import Source
from builder.problem import Problem
from builder.resolve import Library
from builder.road import Road

TODAY = date(2026, 11, 25)
PASSAGE = "In 1998 the birds – 34 of them – ate ‘moths’, flies and bee-\ntles; no milk\nwas found (see Field 2001)."

words = st.text(alphabet="abcdefgh", min_size=1, max_size=6)
texts = st.lists(words, min_size=4, max_size=20)


def library(**sources: Source) -> Library:
    shared = Shared(Museum(name="x"), sources, {}, {}, {}, frozenset(), ())
    return Library(shared, (), lambda _: None, "records")


def work(**fields: object) -> Source:
    return Source.model_validate({"type": "book", "title": "T", "standing": "first-hand"} | fields)


def problems(workspace: Path, *, today: date = TODAY) -> list[Problem]:
    return list(Road(workspace, today=today, remember=False).walk().problems)


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    return Path(shutil.copytree(STOCK, tmp_path / "stock"))


@pytest.mark.parametrize(
    "quote",
    [
        "the birds - 34 of them - ate 'moths'",
        "the birds—34 of them—ate “moths”".replace("“", "‘").replace("”", "’"),
        "flies and beetles",
        "flies and bee-tles",
        "No milk was found",
        "no milk   was\nfound.",
        "In 1998 the birds … ate 'moths' [...] (see Field 2001)",
        "in 1998 ... no milk",
        "birds … . no milk was found [sic]",
    ],
)
def test_quote_is_found(quote: str) -> None:
    assert find_lost_words(quote, PASSAGE) == ""


@pytest.mark.parametrize(
    "quote, lost",
    [
        ("35 of them", "35 of them"),
        ("no milk … the birds", "the birds"),
        ("the bird", "the bird"),
        ("o milk was found", "o milk was found"),
        ("no MILK was found", "no MILK was found"),
        ("flies beetles", "flies beetles"),
        ("milk was found", ""),
        ("…", "…"),
        ("bee tles", "bee tles"),
    ],
)
def test_quote_is_lost(quote: str, lost: str) -> None:
    assert find_lost_words(quote, PASSAGE) == lost


def test_a_negation_left_out_is_not_found() -> None:
    assert find_lost_words("milk was not found", "In no stomach was milk found; milk was found in none.")


def test_typographic_marks_of_printers_are_evened_out() -> None:
    excerpt = "The ﬁrst ‑ or ﬁfth\u00ad ‑ newt weighed 1.5\u2009g, i.e. 81\u00a0% of “all”.\u2028"
    assert find_lost_words('The first - or fifth - newt weighed 1.5 g, i.e. 81% of "all"', excerpt) == ""


@settings(max_examples=100)
@given(texts, st.data())
def test_any_run_of_words_is_found_and_with_a_gap_too(said: list[str], data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(said) - 2))
    end = data.draw(st.integers(start + 1, len(said)))
    gap = data.draw(st.integers(start, end - 1))
    space = data.draw(st.sampled_from([" ", "\n", "  ", "\u00a0"]))
    excerpt = space.join(said)
    assert find_lost_words(" ".join(said[start:end]), excerpt) == ""
    assert find_lost_words(" ".join(said[start:gap]) + " … " + " ".join(said[gap:end]), excerpt) == ""


@settings(max_examples=100)
@given(texts, words)
def test_a_word_that_is_not_there_is_lost(said: list[str], other: str) -> None:
    assert find_lost_words(f"{said[0]} z{other}", " ".join(said)) == f"{said[0]} z{other}"


@settings(max_examples=100)
@given(st.text(max_size=60), st.text(max_size=200))
def test_no_text_makes_the_comparison_fail(quote: str, excerpt: str) -> None:
    assert isinstance(find_lost_words(quote, excerpt), str)


@pytest.mark.parametrize(
    "locator", ["abstract", "Abstract", "title and abstract", "p. 93, abstract", "Zusammenfassung"]
)
def test_places_in_an_abstract(locator: str) -> None:
    assert WITHIN.search(locator) and not BEYOND.search(locator)


@pytest.mark.parametrize(
    "locator",
    [
        "p. 93",
        "table 2",
        "abstract and p. 12",
        "abstract; fig. S3",
        "methods, after the abstract",
        "abstract, table IV",
    ],
)
def test_places_beyond_an_abstract(locator: str) -> None:
    assert not WITHIN.search(locator) or BEYOND.search(locator)


@pytest.mark.parametrize("locator", ["?", "passim", "ibid.", "op. cit.", "p.", "various pages", "n/a", "tba", "…", "—"])
def test_locators_that_lead_nowhere(locator: str) -> None:
    assert NOWHERE.fullmatch(locator)


@pytest.mark.parametrize(
    "locator", ["p. 3", "iv", "ch. 2", "12:30", "p. ?12", "fig. 1", "letter XXX", "10.56", "none of p. 3"]
)
def test_locators_that_lead_somewhere(locator: str) -> None:
    assert not NOWHERE.fullmatch(locator) and not WHOLE.fullmatch(locator)


@settings(max_examples=100)
@given(st.dates(date(1990, 1, 1), date(2100, 1, 1)), st.integers(0, 600))
def test_months_before_is_in_the_right_month(day: date, months: int) -> None:
    earlier = months_before(day, months)
    assert (day.year - earlier.year) * 12 + day.month - earlier.month == months
    assert earlier.day == day.day or (earlier.day < day.day and (earlier + timedelta(1)).day == 1)


def test_months_before_the_first_year_is_the_first_day() -> None:
    assert months_before(date(2, 1, 1), 60) == date.min
    assert months_before(date(2024, 3, 31), 1) == date(2024, 2, 29)


def test_way_to_a_withdrawn_source_is_the_shortest() -> None:
    shelf = library(
        a=work(draws_on=["b", "c", "gone"]),
        b=work(draws_on=["d"]),
        c=work(withdrawn="by its author"),
        d=work(draws_on=["a"], withdrawn="by the journal"),
        e=work(draws_on=["e", "f"]),
        f=work(),
    )
    assert find_withdrawn(shelf, "a") == ("a", "c")
    assert find_withdrawn(shelf, "b") == ("b", "d")
    assert find_withdrawn(shelf, "c") == ("c",)
    assert find_withdrawn(shelf, "e") == ()
    assert find_withdrawn(shelf, "gone") == ()


@pytest.mark.parametrize(
    "fields, missing",
    [
        ({"author": "Field, F.", "issued": "2001", "publisher": "P"}, []),
        ({"author": "Field, F.", "issued": "2001", "ISBN": "978-3-16-148410-0"}, ["`publisher`"]),
        ({"issued": "2001", "publisher": "P"}, ["`author` or `editor`"]),
        ({"standing": "popular", "issued": "2001", "publisher": "P"}, []),
        ({"standing": "historical", "archive": "known here only as quoted"}, []),
        ({"standing": "historical"}, ["`DOI`, `ISBN`, `URL`, `publisher` or `archive_location`"]),
        ({"type": "webpage", "standing": "popular", "seen": "2026", "URL": "https://x.example"}, []),
        ({"type": "webpage", "standing": "popular", "URL": "https://x.example"}, ["`issued`"]),
        ({"type": "webpage", "standing": "popular", "seen": "2026", "publisher": "P"}, ["`URL`"]),
        ({"type": "article-journal", "author": "F", "issued": "2001", "container-title": "J", "page": "1"}, []),
        ({"type": "article-journal", "author": "F", "issued": "2001", "DOI": "10.1234/5"}, ["`container-title`"]),
        ({"type": "paper-conference", "author": "F", "issued": "2001", "event-title": "E", "publisher": "P"}, []),
        (
            {
                "type": "manuscript",
                "title": None,
                "author": "F",
                "seen": "2020",
                "archive": "A",
                "archive_location": "3",
            },
            [],
        ),
        ({"type": "personal_communication", "title": None, "author": "F", "issued": "2020-01-02"}, []),
    ],
)
def test_what_an_entry_lacks(fields: dict[str, object], missing: list[str]) -> None:
    assert find_missing(work(**fields)) == missing


def test_a_claim_is_due_on_its_day_and_not_before(stock: Path) -> None:
    record = stock / "records/newt/record.yml"
    text = record.read_text("utf-8").replace(
        "    statement: Example newts drink no milk.\n", "    recheck: 2027-03\n", 1
    )
    record.write_text(
        text.replace("    why: They", "    statement: Example newts drink no milk.\n    why: They"), "utf-8"
    )
    assert not [p for p in problems(stock, today=date(2027, 2, 28)) if p.check == "recheck-due"]
    assert [p.message for p in problems(stock, today=date(2027, 3, 1)) if p.check == "recheck-due"] == [
        "claim `milk` was to be looked at again by 2027-03"
    ]


def test_a_circle_of_many_is_told_once_with_every_step(stock: Path) -> None:
    entry = "  type: book\n  title: T\n  author: A, B\n  issued: 2000\n  publisher: P\n  standing: review\n"
    ring = "".join(f"r{n}:\n{entry}  draws_on: [r{(n + 1) % 9}]\n" for n in range(9))
    sources = stock / "records/sources.yml"
    sources.write_text(sources.read_text("utf-8") + ring, "utf-8")
    told = [p for p in problems(stock) if p.check == "circular-sources"]
    assert len(told) == 1
    assert re.findall(r"`(r\d)`", told[0].message) == [f"r{n}" for n in range(9)] + ["r0"]
    assert len(told[0].also) == 8 and len({place.line for _, place in told[0].also}) == 8


def test_a_calculation_that_only_leads_name_asks_nothing_of_its_sources(stock: Path) -> None:
    record = stock / "records/newt/record.yml"
    text = record.read_text("utf-8").replace("source: pond-2010, locator: p. 11", "source: half-known")
    held = text.replace("      - {calculation: nightly, bears: against}\n", "")
    held = held.replace("    lead: true\n", "    lead: true\n    evidence: [{calculation: nightly, bears: for}]\n")
    sources = stock / "records/sources.yml"
    sources.write_text(sources.read_text("utf-8") + "half-known: {type: book, standing: first-hand}\n", "utf-8")
    names = {"incomplete-source", "stale-source", "source-without-locator"}
    record.write_text(held, "utf-8")
    assert names.isdisjoint(p.check for p in problems(stock))
    record.write_text(text, "utf-8")
    assert names <= {p.check for p in problems(stock)}


def test_what_was_cut_out_of_an_entry_is_not_said_to_lack(stock: Path) -> None:
    sources = stock / "records/sources.yml"
    text = sources.read_text("utf-8").replace("title: Newts reviewed", "titel: Newts reviewed")
    sources.write_text(text.replace("publisher: Example Press", "publisher: [Example, Press]"), "utf-8")
    assert {p.check for p in problems(stock)} == {"wrong-shape"}


def test_a_place_in_sources_is_the_one_in_the_file(stock: Path) -> None:
    sources = stock / "records/sources.yml"
    sources.write_text("# a row put before all\n" + sources.read_text("utf-8").replace("2026-05-14", "2019"), "utf-8")
    told = [p for p in problems(stock) if p.check == "stale-source"]
    rows = sources.read_text("utf-8").split("\n")
    assert len(told) == 4
    assert all(p.place and rows[p.place.line - 1].endswith("seen: 2019") for p in told)
