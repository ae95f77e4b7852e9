"""Any text at all, anywhere: problems, never an exception, and every other record is still checked."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder import report
from builder.build import make_outputs
from builder.check.example import STOCK
from builder.load.workspace import NotAWorkspace
from builder.road import Road, Target
from tests.conftest import TODAY

FILES = (
    "mkdocs.yml", "records/museum.yml", "records/sources.yml", "records/glossary.yml", "records/excerpts/field-2001.txt",
    "records/newt/record.yml", "records/newt/page.md", "records/newt/label.md", "records/newt/gut.csv",
    "records/newt/head.svg", "content/index.md",
)  # fmt: skip
SIGNS = st.sampled_from(
    ["a", ":", " ", "\n", "- ", "[", "]", "{", "}", "'", '"', "#", "&", "*", "!", "|", ">", "%", "---\n", "claims:\n", "  milk:\n",
     "[^a]", "look:", "](", "## ", "\t", "\0", "\ufeff", "\u202e", "\u2028", "😀", "é", "1", "-", ",", "\r\n", "1e999", "~", "…", "“"]
)  # fmt: skip
TEXTS = st.one_of(
    st.lists(SIGNS, max_size=40).map("".join).map(lambda text: text.encode("utf-8", "replace")), st.binary(max_size=120)
)
ODD = (
    "",
    "~",
    "null",
    "[]",
    "{}",
    "-1",
    "1e999",
    "0x10",
    "9" * 400,
    "yes",
    "2026-02-30",
    "é" * 50,
    '"\\u202e"',
    "[[[[[[",
    "*a",
    "&a b",
    "!!int 3",
    "a: b: c",
    "\u202etext",
    "'",
)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workspace that is put back after each trial, with a second record that must be checked whatever happens."""
    root = tmp_path_factory.mktemp("fuzz") / "museum"
    shutil.copytree(str(STOCK), root)
    shutil.copytree(root / "records/newt", root / "records/other")
    return root


def walk(root: Path) -> None:
    """The whole road up to the tree; nothing may raise but the word that there is no workspace."""
    try:
        road = Road(root, today=TODAY, remember=False, target=Target(True, root / "build/drafts/docs"))
    except NotAWorkspace:
        return
    verdict = road.walk()
    make_outputs(road, verdict, True)
    told = report.as_text(verdict.problems, verdict.summary, road.workspace.read_line, road.titles(verdict))
    assert told and report.as_json(verdict.problems, verdict.summary) and report.as_sarif(verdict.problems, "1")
    for problem in verdict.problems:
        assert problem.message and problem.mend and problem.severity is not None and problem.place is not None
        assert problem.place.line >= 1 and problem.place.column >= 1


def tried(root: Path, name: str, data: bytes) -> None:
    path = root / name
    before = path.read_bytes()
    try:
        path.write_bytes(data)
        walk(root)
    finally:
        path.write_bytes(before)


@pytest.mark.parametrize("name", FILES)
@given(data=TEXTS)
@settings(max_examples=5, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_bytes_in_any_file(place: Path, name: str, data: bytes) -> None:
    tried(place, name, data)


@pytest.mark.parametrize("name", FILES)
def test_spoilt_files(place: Path, name: str) -> None:
    """Lines deleted, doubled, swapped; values changed for odd ones; the tail cut off."""
    dice = random.Random(name)
    rows = (place / name).read_text("utf-8").split("\n")
    for _ in range(6):
        spoilt = list(rows)
        for _ in range(dice.choice([1, 1, 2, 5])):
            at = dice.randrange(len(spoilt))
            how = dice.choice(["delete", "double", "swap", "odd", "odd", "cut", "indent"])
            if how == "delete" and len(spoilt) > 1:
                del spoilt[at]
            elif how == "double":
                spoilt.insert(at, spoilt[at])
            elif how == "swap":
                other = dice.randrange(len(spoilt))
                spoilt[at], spoilt[other] = spoilt[other], spoilt[at]
            elif how == "cut":
                spoilt = spoilt[: at + 1]
            elif how == "indent":
                spoilt[at] = "   " + spoilt[at]
            else:
                head, colon, _ = spoilt[at].partition(": ")
                spoilt[at] = head + colon + dice.choice(ODD)
        tried(place, name, "\n".join(spoilt).encode())


def test_a_broken_record_hides_no_other(place: Path) -> None:
    page = place / "records/other/page.md"
    before = page.read_text("utf-8")
    page.write_text(before + "\nNobody vouches for this one.\n", "utf-8")
    record = place / "records/newt/record.yml"
    whole = record.read_bytes()
    try:
        for data in (b"", b"\xff\xfe\x00", b"name: [", b"- a\n- b\n", b"name: {common: x}\n", b"\0" * 50):
            record.write_bytes(data)
            problems = Road(place, today=TODAY, remember=False).walk().problems
            assert any(p.check == "sentence-without-claim" and p.place and "other" in p.place.file for p in problems), (
                data
            )
            assert any(p.place and p.place.file == "records/newt/record.yml" for p in problems), data
    finally:
        record.write_bytes(whole)
        page.write_text(before, "utf-8")


def test_huge_and_deep(place: Path) -> None:
    record = "records/newt/record.yml"
    for data in (
        b"a: " + b"[" * 5000,
        b"x" * (2 * 1024 * 1024 + 1),
        b"claims:\n" + b"".join(b"  c%d: {lead: true, statement: s}\n" % n for n in range(3000)),
        b"title: " + b"a" * 200_000,
    ):
        tried(place, record, data)
    tried(
        place,
        "records/newt/page.md",
        ("---\npiece: page\ntitle: t\n---\n" + "> " * 3000 + "deep\n" + "*" * 5000 + "\n" + "[" * 5000).encode(),
    )
    tried(place, "records/newt/gut.csv", b"sample,prey,count\n" + b"s,p,1\n" * 5_000)
