"""A source that is withdrawn reopens every piece that rests on it, near or far, though no word of the piece changes."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.approve.fingerprint import parts_of, seal_of
from builder.load.yamltext import read_yaml
from builder.road import Road
from tests.conftest import TODAY


@pytest.mark.parametrize("source", ["field-2001", "pond-2010"])
@pytest.mark.parametrize("piece", ["page", "label"])
def test_a_withdrawn_source_changes_the_fingerprint(stock: Path, source: str, piece: str) -> None:
    path = stock / "records/sources.yml"
    text = path.read_text("utf-8")
    before = Road(stock, today=TODAY, remember=False).documents("newt")[piece]
    path.write_text(text.replace(f"{source}:\n", f"{source}:\n  withdrawn: by the journal, 2026\n"), "utf-8")
    assert read_yaml(path.read_text("utf-8")).value[source]["withdrawn"]  # type: ignore[index,call-overload]
    after = Road(stock, today=TODAY, remember=False).documents("newt")[piece]
    rests = source in {row["id"] for row in before["sources"]}
    assert rests or (piece, source) == ("label", "pond-2010")
    assert (seal_of(parts_of(before)) != seal_of(parts_of(after))) == rests
    assert before["blocks"] == after["blocks"]


def test_so_does_one_that_only_stands_behind_a_cited_work(stock: Path) -> None:
    path = stock / "records/sources.yml"
    far = "\nfar-1990:\n  type: book\n  title: Far\n  author: [{family: Far, given: F.}]\n  issued: 1990\n  standing: first-hand\n  draws_on: []\n"
    text = path.read_text("utf-8").replace("draws_on: [field-2001", "draws_on: [far-1990, field-2001", 1) + far
    assert "draws_on: [far-1990" in text
    path.write_text(text, "utf-8")
    before = Road(stock, today=TODAY, remember=False).documents("newt")["page"]
    assert "far-1990" in {row["id"] for row in before["sources"]}
    path.write_text(text + "  withdrawn: by its author, 2026\n", "utf-8")
    after = Road(stock, today=TODAY, remember=False).documents("newt")["page"]
    assert seal_of(parts_of(before)) != seal_of(parts_of(after))
