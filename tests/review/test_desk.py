"""The desk of a museum of many records: only what is asked for, or has changed, is composed."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Any

import pytest

from builder.check.example import STOCK
from builder.review import desk as module
from builder.review.desk import Desk, Look
from tests.conftest import TODAY


@pytest.fixture
def root(tmp_path: Path) -> Path:
    top = tmp_path / "museum"
    shutil.copytree(str(STOCK), top)
    shutil.copytree(top / "records/newt", top / "records/other")
    return top


@pytest.fixture
def composed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The records whose pieces were composed, once for each piece."""
    found: list[str] = []
    compose = module.compose

    def told(case: Any, *given: Any) -> Any:
        found.append(case.subject.id)
        return compose(case, *given)

    monkeypatch.setattr(module, "compose", told)
    return found


def rows(look: Look) -> list[module.Row]:
    return [*look.waiting, *look.signed]


def test_a_piece_is_found_without_composing_the_others(root: Path, composed: list[str]) -> None:
    look = Desk(root, today=lambda: TODAY).look()
    piece = look.piece("newt/page")
    assert piece and piece.name == "newt/page" and set(composed) == {"newt"}
    assert look.piece("newt/page") is piece
    assert look.piece("newt/nothing") is None and look.piece("nothing/page") is None


def test_a_list_composes_only_what_changed(root: Path, composed: list[str]) -> None:
    desk = Desk(root, today=lambda: TODAY)
    before = rows(desk.look())
    assert set(composed) == {"newt", "other"}
    composed.clear()
    page = root / "records/other/page.md"
    page.write_text(
        page.read_text("utf-8").replace("title: What an example newt eats", "title: What else it eats"), "utf-8"
    )
    after = rows(desk.look())
    assert set(composed) == {"other"}
    assert [row.title for row in after if row.name == "other/page"] == ["What else it eats"]
    fresh = rows(Desk(root, today=lambda: TODAY).look())
    assert after == fresh != before


def test_rows_kept_still_tell_the_problems_of_shared_files(root: Path, composed: list[str]) -> None:
    desk = Desk(root, today=lambda: TODAY)
    rows(desk.look())
    with (root / "records/sources.yml").open("a", encoding="utf-8") as stream:
        stream.write("lost-1900: {type: book, title: Lost, standing: nonsense}\n")
    composed.clear()
    after = rows(desk.look())
    assert after == rows(Desk(root, today=lambda: TODAY).look())
    assert all(row.errors for row in after)


def test_the_day_of_a_text_is_read_each_time(root: Path, composed: list[str]) -> None:
    desk = Desk(root, today=lambda: TODAY)
    rows(desk.look())
    composed.clear()
    os.utime(root / "records/newt/page.md", (0, 0))
    after = {row.name: row for row in rows(desk.look())}
    assert after["newt/page"].saved.isoformat() == "1970-01-01" and composed == []


def test_a_picture_is_found_in_a_look_that_showed_no_page(root: Path) -> None:
    look = Desk(root, today=lambda: TODAY).look()
    piece = look.piece("newt/page")
    assert piece
    digests = [figure["digest"] for figure in piece.document["figures"]]
    assert digests
    for digest in digests:
        found = Desk(root, today=lambda: TODAY).look().picture(digest)
        assert found and found[1] == "image/svg+xml"
    assert Desk(root, today=lambda: TODAY).look().picture("0" * 64) is None
