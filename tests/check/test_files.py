"""Checks of files beyond their pages: what no Markdown page can show, such as bytes that are no text, links and sizes."""

from __future__ import annotations

import os
import shutil
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.check.example import STOCK
from builder.load.shape import shape
from builder.load.workspace import TEXT_LIMIT, NotAWorkspace, read_workspace
from builder.load.yamltext import path_in_file, read_yaml
from builder.model.record import Record
from builder.problem import Problem
from builder.road import Road

TODAY = date(2026, 11, 25)
RECORD = "records/newt/record.yml"


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    return Path(shutil.copytree(STOCK, tmp_path / "stock"))


def report(workspace: Path, *, only: list[str] | None = None) -> list[Problem]:
    return list(Road(workspace, today=TODAY, remember=False).walk(only).problems)


def lines(found: list[Problem]) -> list[tuple[str, int, str]]:
    return [(p.place.file, p.place.line, p.check) for p in found if p.place]


@pytest.mark.parametrize(
    "data, line, words",
    [
        (b"title: caf\xe9\n", 1, "byte 11 (0xE9) is not UTF-8 text"),
        (b"title: x\nsummary: \xff\n", 2, "byte 19 (0xFF) is not UTF-8 text"),
        ("title: x\n".encode("utf-16"), 1, "the file is in UTF-16, not UTF-8"),
        (b"title: x\nsummary: a\0b\n", 2, "the file holds zero bytes: it is not text"),
        (b"\0" * 40, 1, "the file holds zero bytes: it is not text"),
        (b"title: x\nsummary: a\x07b\n", 2, "the text holds a character that YAML does not allow"),
        (b"", 1, "the file is empty"),
        (b"# only a remark\n", 1, "the file is empty"),
        (b"title: " + b"[" * 5000, 1, "nested more than 24 deep"),
        (b"{" * 5000, 1, "nested more than 24 deep"),
    ],
)
def test_a_record_that_is_no_text(stock: Path, data: bytes, line: int, words: str) -> None:
    (stock / RECORD).write_bytes(data)
    found = report(stock)
    assert lines(found) == [(RECORD, line, "unreadable-file")]
    assert found[0].message == words


@pytest.mark.parametrize("name", ["newt/page.md", "newt/gut.csv", "museum.yml", "sources.yml", "glossary.yml"])
def test_every_other_text_is_held_to_the_same(stock: Path, name: str) -> None:
    (stock / "records" / name).write_bytes(b"caf\xe9")
    assert (f"records/{name}", 1, "unreadable-file") in lines(report(stock))


def test_an_excerpt_that_is_no_text_is_not_said_to_be_missing(stock: Path) -> None:
    (stock / "records/excerpts/field-2001.txt").write_bytes("moths".encode("utf-16"))
    assert lines(report(stock)) == [("records/excerpts/field-2001.txt", 1, "unreadable-file")]


def test_a_mark_of_byte_order_and_foreign_row_ends_are_no_fault(stock: Path) -> None:
    for file in (RECORD, "records/newt/page.md", "records/sources.yml", "records/newt/gut.csv"):
        data = (stock / file).read_bytes()
        (stock / file).write_bytes(b"\xef\xbb\xbf" + data.replace(b"\n", b"\r\n"))
    assert lines(report(stock)) == []


def test_a_file_over_the_limit_is_refused_and_not_said_to_be_missing(stock: Path) -> None:
    (stock / "records/newt/gut.csv").write_bytes(
        b"sample,prey,group,count\n" + b"s,moth,insects,1\n" * (TEXT_LIMIT // 16)
    )
    found = report(stock)
    assert lines(found)[0] == ("records/newt/gut.csv", 1, "unreadable-file")
    assert "2,097,152" in found[0].message
    assert "unknown-reference" not in {p.check for p in found}


def test_a_link_out_of_the_workspace_is_refused_one_within_is_followed(stock: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.md").write_text("---\npiece: page\ntitle: A secret\n---\nA secret.[^aside]\n", "utf-8")
    (stock / "records/newt/handout.md").symlink_to(tmp_path / "secret.md")
    (stock / "records/newt/copy.md").symlink_to("page.md")
    found = report(stock)
    assert [row for row in lines(found) if "copy.md" not in row[0]] == [
        ("records/newt/handout.md", 1, "unreadable-file")
    ]
    assert "secret" not in "".join(p.message for p in found)


@pytest.mark.parametrize("name", ["toad", "excerpts", "museum.yml", "sources.yml"])
def test_no_record_and_nothing_shared_comes_from_elsewhere(stock: Path, tmp_path: Path, name: str) -> None:
    here, there = stock / "records" / name, tmp_path / "elsewhere" / name
    shutil.copytree(stock / "records", tmp_path / "elsewhere")
    shutil.copytree(stock / "records/newt", tmp_path / "elsewhere/toad")
    if here.is_dir():
        shutil.rmtree(here)
    here.unlink(missing_ok=True)
    here.symlink_to(there)
    told = [p for p in report(stock) if p.check == "unreadable-file"]
    assert [(p.place and p.place.file, p.message) for p in told] == [
        (f"records/{name}", f"`{name}` is a link that leads out of the workspace")
    ]


@pytest.mark.parametrize("name", ["records", "content"])
def test_no_whole_folder_comes_from_elsewhere(stock: Path, tmp_path: Path, name: str) -> None:
    (stock / name).rename(tmp_path / "moved")
    (stock / name).symlink_to(tmp_path / "moved")
    with pytest.raises(NotAWorkspace, match=f"`{name}` is a link that leads out of the workspace"):
        read_workspace(stock)


def test_a_link_to_itself_or_to_nothing_is_a_problem(stock: Path) -> None:
    (stock / "records/newt/a.md").symlink_to("a.md")
    (stock / "records/newt/b.md").symlink_to("nowhere.md")
    assert {(file, check) for file, _, check in lines(report(stock))} == {
        ("records/newt/a.md", "unreadable-file"),
        ("records/newt/b.md", "unreadable-file"),
    }


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_not_waited_for(stock: Path) -> None:
    os.mkfifo(stock / "records/newt/pipe.md")
    assert lines(report(stock)) == [("records/newt/pipe.md", 1, "unreadable-file")]


def test_folders_that_are_no_records(stock: Path) -> None:
    for name in ("frog", "Two Toads", "eft-"):
        shutil.copytree(stock / "records/newt", stock / "records" / name)
    (stock / "records/frog/record.yml").unlink()
    (stock / "records/empty").mkdir()
    assert lines(report(stock)) == [
        ("records/Two Toads", 1, "unreadable-file"),
        ("records/eft-", 1, "unreadable-file"),
        ("records/frog", 1, "unreadable-file"),
    ]


@pytest.mark.parametrize("name", ["museum.yml", "sources.yml"])
def test_a_shared_file_that_is_not_there(stock: Path, name: str) -> None:
    (stock / "records" / name).unlink()
    assert (f"records/{name}", 1, "unreadable-file") in lines(report(stock))


def test_no_glossary_is_no_fault(stock: Path) -> None:
    (stock / "records/glossary.yml").unlink()
    assert "unreadable-file" not in {p.check for p in report(stock)}


def test_a_broken_record_hides_nothing_of_another_and_makes_nothing_unused(stock: Path) -> None:
    shutil.copytree(stock / "records/newt", stock / "records/toad")
    (stock / RECORD).write_text("title: [\n", "utf-8")
    text = (stock / "records/toad/record.yml").read_text("utf-8")
    (stock / "records/toad/record.yml").write_text(text.replace("stands: holds", "stands: hols", 1), "utf-8")
    sources = stock / "records/sources.yml"
    sources.write_text(sources.read_text("utf-8") + "idle: {type: book, title: T, standing: popular}\n", "utf-8")
    found = lines(report(stock))
    assert (RECORD, 2, "unreadable-file") in found
    assert any(file == "records/toad/record.yml" and check == "wrong-shape" for file, _, check in found)
    assert "unused-entry" not in {check for _, _, check in found}


def test_sources_are_called_unused_only_when_all_records_were_read(stock: Path) -> None:
    sources = stock / "records/sources.yml"
    sources.write_text(sources.read_text("utf-8") + "idle: {type: book, title: T, standing: popular}\n", "utf-8")
    assert [p.message for p in report(stock)] == [
        "no record uses the source `idle`, and no source that is used draws on it"
    ]
    assert report(stock, only=["newt"]) == []


def test_places_stay_true_behind_an_entry_that_was_cut_out(stock: Path) -> None:
    rows = (stock / RECORD).read_text("utf-8").split("\n")
    first = next(i for i, row in enumerate(rows) if "finds: moths made up" in row)
    rows[first] = rows[first].replace("bears: for", "bears: fore")
    rows[first + 1] = rows[first + 1].replace("pond-2010", "pond-2011")
    (stock / RECORD).write_text("\n".join(rows), "utf-8")
    found = {(line, check) for file, line, check in lines(report(stock)) if file == RECORD}
    assert {(first + 1, "wrong-shape"), (first + 2, "unknown-reference")} <= found


def test_one_slip_is_one_problem(stock: Path) -> None:
    text = (stock / RECORD).read_text("utf-8")
    (stock / RECORD).write_text(text.replace("  crest:\n    term: crest\n", "  crest:\n    terms: crest\n"), "utf-8")
    found = [p for p in report(stock) if p.check in ("wrong-shape", "unknown-reference", "unused-entry")]
    assert [p.message for p in found] == ["`terms` is not a key that `crest` can have; did you mean `term`?"]


def test_repeated_key_shows_both_places(stock: Path) -> None:
    text = (stock / RECORD).read_text("utf-8")
    (stock / RECORD).write_text(text + "title: Again\n", "utf-8")
    (found,) = report(stock)
    assert found.place and found.place.line == text.count("\n") + 1
    ((label, first),) = found.also
    assert label == "first given here" and text.split("\n")[first.line - 1].startswith("title:")


def test_catalogue_number_shows_both_places(stock: Path) -> None:
    text = (stock / RECORD).read_text("utf-8").replace("collection: bones", "collection: jars")
    (stock / RECORD).write_text(text.replace("EX.A.2", "ex.a.1"), "utf-8")
    found = next(p for p in report(stock) if p.check == "wrong-shape")
    rows = (stock / RECORD).read_text("utf-8").split("\n")
    assert found.place and "ex.a.1" in rows[found.place.line - 1]
    assert "EX.A.1" in rows[found.also[0][1].line - 1]


@pytest.mark.parametrize("name", ["UPPER.SVG", "spare.png", "more/spare.csv"])
def test_a_picture_or_table_that_the_record_does_not_name(stock: Path, name: str) -> None:
    file = stock / "records/newt" / name
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(b"x")
    assert [p.check for p in report(stock)] == ["unused-entry"]


plain = st.recursive(
    st.sampled_from(["", "x", "yes", "0.5", "-1", "2026-11", "head.svg", "holds", "newt", "\u202e"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["jar", "Jar 1", "term", "lead", "evidence", "source", "diet", "at"]), inner, max_size=3
        )
    ),
    max_leaves=12,
)
records = st.dictionaries(
    st.sampled_from(["name", "title", *Record.model_fields, "clams", "Objects"]), plain, max_size=6
)


@settings(max_examples=100)
@given(records)
def test_whatever_tree_a_record_is_it_is_read_or_its_faults_are_told(tree: dict[str, object]) -> None:
    record, problems, broken = shape(tree, Record)
    assert record is not None or problems
    assert bool(problems) or not broken
    for problem in problems:
        assert problem.message and problem.mend and problem.check == "wrong-shape"
        assert not any(number in problem.message for number in ("`0`", "`1`", "`2`")) or "`0" in repr(tree)
        here: object = tree
        for part in problem.path:
            assert isinstance(here, dict | list)
            here = here[part]  # type: ignore[index, call-overload]


@settings(max_examples=100)
@given(st.lists(st.integers(0, 7), unique=True), st.integers(0, 5))
def test_numbers_behind_those_taken_out_are_those_of_the_file(out: list[int], index: int) -> None:
    left = [number for number in range(20) if number not in out]
    assert path_in_file(("list", index), {("list",): out}) == ("list", left[index])


@settings(max_examples=100)
@given(st.text(alphabet="ab:-[]{}&*!|>'\"%@`#\t\n ,?0", max_size=40))
def test_no_text_makes_the_reading_of_yaml_fail(text: str) -> None:
    tree = read_yaml(text)
    assert all(fault.message and fault.mend and fault.spot.line >= 1 for fault in tree.faults)
    assert tree.find_spot(("a", 0, "b")).line >= 1
