"""Additions to what a person wrote: nothing of it moves, twins are named, and what is added can be read."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.check.example import STOCK
from builder.load.entry import Entry
from builder.load.shape import shape
from builder.load.yamltext import read_yaml
from builder.model.record import Record
from builder.model.source import Sources
from builder.road import Road
from builder.skeleton.addition import add_leads, add_sources, scalar
from tests.conftest import TODAY

SOURCES = STOCK.joinpath("records/sources.yml").read_text("utf-8")
RECORD = STOCK.joinpath("records/newt/record.yml").read_text("utf-8")


def sources(text: str) -> Sources:
    model, problems, _ = shape(read_yaml(text).value, Sources)
    assert not problems and model is not None
    return model


def entry(row: int = 1, **fields: object) -> Entry:
    plain = {name.replace("_", "-"): value for name, value in fields.items()}
    return Entry(f"key{row}", row, {"type": "book", **plain})


def test_sources_are_appended_and_nothing_moves() -> None:
    text = (
        "# my sources\n\n" + SOURCES.replace("  volume: 12\n", "  volume: 12   # twelve\n") + "\n# the end, no newline"
    )
    new = entry(title='Newts: a "new" look, #2', author=[{"family": "O'Neil, Jr", "given": "P."}], issued="1999")
    addition = add_sources(text, sources(SOURCES).root, [new], today="2026-11-25")
    assert addition.text.startswith(text + "\n") and addition.skipped == ()
    read = sources(addition.text).root[addition.added[0]]
    assert read.title == 'Newts: a "new" look, #2'
    assert read.author[0].family == "O'Neil, Jr" and read.standing == "popular"


@pytest.mark.parametrize(
    "twin, why",
    [
        (entry(title="Other", DOI="10.1234/EXAMPLE.2001.12"), "DOI"),
        (entry(title="Other", ISBN="3-16-148410-X"), "ISBN"),
        (entry(title="what example NEWTS eat.", issued="2001-05"), "title and year"),
    ],
)
def test_twins_are_named_and_not_added(twin: Entry, why: str) -> None:
    """3-16-148410-X is the ten-digit form of ISO 2108's example 978-3-16-148410-0."""
    addition = add_sources(SOURCES, sources(SOURCES).root, [twin], today="2026-11-25")
    assert addition.text == SOURCES and addition.added == ()
    assert why in addition.skipped[0][1]


def test_twins_within_the_import() -> None:
    both = [entry(1, title="A", DOI="10.1/a"), entry(2, title="A again", DOI="10.1/A")]
    addition = add_sources("", {}, both, today="2026-11-25")
    assert len(addition.added) == 1 and addition.skipped[0][0] == 2


def test_leads_go_behind_the_last_claim() -> None:
    table = "statement,source,locator,finds\nNewts sleep in mud.,pond-2010,p. 13,mud in winter\n,,,\nNewts: shy?,,,\n"
    addition = add_leads(RECORD, {}, table)
    assert addition.added == ("newts-sleep-in-mud", "newts-shy")
    model, problems, _ = shape(read_yaml(addition.text).value, Record)
    assert not problems and model is not None
    assert model.claims["newts-sleep-in-mud"].lead and model.claims["newts-shy"].statement == "Newts: shy?"
    assert list(model.claims)[-2:] == list(addition.added)
    before, after = RECORD.split("calculations:")
    assert addition.text.startswith(before.rstrip("\n")) and addition.text.endswith("calculations:" + after)


def test_leads_in_records_of_other_forms() -> None:
    head = "name: {common: x}\ntitle: y\n"
    for text in (
        head,
        head + "claims: {}\n",
        head + "claims:\n",
        head + "claims:\n    a:\n        lead: true\n        statement: z\n# end\n",
    ):
        addition = add_leads(text, {}, "belief\nIt flies.\n")
        model, problems, _ = shape(read_yaml(addition.text).value, Record)
        assert not problems and model is not None and model.claims["it-flies"].belief == "It flies.", text
    with pytest.raises(ValueError, match="one line"):
        add_leads(head + "claims: {a: {lead: true, statement: z}}\n", {}, "belief\nIt flies.\n")


def test_tables_that_are_wrong() -> None:
    assert add_leads(RECORD, {}, "what\nx\n").skipped[-1][1].startswith("the table has neither")
    twice = add_leads(RECORD, {"it-flies": 1}, "statement\nIt flies\n")
    assert twice.text == RECORD and "already" in twice.skipped[0][1]
    assert add_leads(RECORD, {}, "").added == ()


@given(st.text(max_size=60))
@settings(max_examples=100, deadline=None)
def test_any_text_survives_as_a_scalar(text: str) -> None:
    plain = " ".join(text.split())
    if not plain or any(
        ord(c) < 32 or 0x7F <= ord(c) < 0xA0 or 0xD800 <= ord(c) < 0xE000 or ord(c) in (0xFEFF, 0xFFFE, 0xFFFF)
        for c in plain
    ):
        return
    for flow in (False, True):
        written = f"a: [{{b: {scalar(text, flow=True)}}}]" if flow else f"a: {scalar(text)}"
        tree = read_yaml(written + "\n")
        assert not tree.faults
        value = tree.value["a"]  # type: ignore[index,call-overload]
        assert (value[0]["b"] if flow else value) == plain  # type: ignore[index,call-overload]


def test_an_import_is_checked_like_anything_else(stock: Path) -> None:
    path = stock / "records/sources.yml"
    addition = add_sources(
        path.read_text("utf-8"),
        sources(SOURCES).root,
        [entry(title="New", publisher="P", issued="2001")],
        today="2026-11-25",
    )
    path.write_text(addition.text, "utf-8")
    problems = Road(stock, today=TODAY, remember=False).walk().problems
    assert {p.check for p in problems} <= {"unused-entry", "stale-source", "incomplete-source"}
