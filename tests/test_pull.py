"""Pull lists: order, cautions, slips, warnings, and that no shelf ever leaves what is for staff."""

from __future__ import annotations

import json
import re
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pypdf
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from builder.cli import main
from builder.compose.caution import DEFERRAL
from builder.compose.pull import span_of
from builder.model.piece import Front, Piece
from builder.model.value import read_moment
from tests.conftest import copy_demo
from tests.test_golden import hold

STORES = ("Room 7, bay 21, tray 4", "Store 5, case 2", "Loft, box 9", "Cold room 1")
ORDER = "storage_order: {scheme: example numbers, families: {Exemplaridae: 40, Priores: 7}}\n"
BIRD = """name: {{scientific: {name}, family: {family}, common: {common}}}
title: A {common}
objects:
  skin: {{catalogue_number: {number}, preparation: study skin, collection: bones, store: "{store}", container: box 3}}
"""
SCRIPT = """---
piece: script
title: Teeth on film
objects: [jar, skull]
held: 2026-12-01 10:40
---
> The jar, close.[^aside]

Look at [the teeth](look:teeth).
"""
TALK = """---
piece: talk
title: A newt in ten minutes
objects: [jar]
theme: An animal was blamed for being where its food is.
slot: 10
held: [2026-12-01 11:00, 2026-12-08 11:00]
---
Look at [the crest](look:crest), then at [the teeth](look:teeth).
"""


def run(*words: object) -> tuple[int, str]:
    done = CliRunner().invoke(main, [str(word) for word in words])
    if done.exception and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done.exit_code, done.output


@pytest.fixture
def store(stock: Path) -> Path:
    """The stock with two birds, a talk and a script of one newt that clash, and a storage order."""
    records = stock / "records"
    museum = records / "museum.yml"
    museum.write_text(re.sub("storage_order: .*\n", ORDER, museum.read_text("utf-8")), "utf-8")
    assert ORDER in museum.read_text("utf-8")
    birds = {
        "old": ("Prior vetus", "Priores", "EX.10", STORES[2]),
        "odd": ("Alius ignotus", "Ignotidae", "EX.9", STORES[3]),
    }
    for record, (name, family, number, place) in birds.items():
        (records / record).mkdir()
        text = BIRD.format(name=name, family=family, common=f"{record} bird", number=number, store=place)
        (records / record / "record.yml").write_text(text, "utf-8")
        label = f"---\npiece: label\ntitle: The {record} bird\nobjects: [skin]\n---\nLook closely.\n"
        (records / record / "label.md").write_text(label, "utf-8")
    (records / "newt/script.md").write_text(SCRIPT, "utf-8")
    (records / "newt/talk.md").write_text(TALK, "utf-8")
    return stock


ALL = ("odd/label", "newt/talk", "newt/script", "old/label")


def listed(store: Path, *pieces: str) -> dict[str, Any]:
    code, said = run("-w", store, "pull", *pieces, "--format", "json", "-o", store.parent / "list.json")
    assert code == 0, said
    made: dict[str, Any] = json.loads((store.parent / "list.json").read_text("utf-8"))["pull_list"]
    return made


def test_a_list_as_text(store: Path, request: pytest.FixtureRequest) -> None:
    out = store.parent / "list.txt"
    code, said = run(
        "-w", store, "pull", *ALL, "--out-by", "2026-12-01 10:00", "--back-by", "2026-12-01 12:30", "-o", out
    )
    assert code == 0, said
    hold("pull/list.txt", out.read_text("utf-8"), accept=request.config.getoption("--accept"))


def test_the_order_is_that_of_the_store(store: Path) -> None:
    made = listed(store, *ALL)
    assert [(row["place"], row["catalogue_number"]) for row in made["rows"]] == [
        ("7", "EX.10"), ("40", "EX.A.1"), ("40", "EX.A.2"), ("", "EX.9"),
    ]  # fmt: skip
    assert "Ignotidae has no number in example numbers: its objects come last." in made["warnings"]
    assert [row["needed_for"] for row in made["rows"]][1] == ["A newt in ten minutes", "Teeth on film"]
    assert listed(store, *reversed(ALL))["rows"][0] == made["rows"][0]


def test_numbers_inside_a_catalogue_number_count(store: Path) -> None:
    record = store / "records/newt/record.yml"
    text = record.read_text("utf-8").replace("EX.A.1\n", "EX.A.10\n").replace("EX.A.2\n", "EX.A.9\n")
    record.write_text(text, "utf-8")
    assert [row["catalogue_number"] for row in listed(store, "newt/script")["rows"]] == ["EX.A.9", "EX.A.10"]


def test_warnings_name_what_is_wrong_and_what_shows_it(store: Path) -> None:
    warnings = listed(store, "newt/script", "newt/talk")["warnings"]
    assert warnings == [
        "“Teeth on film” is a script; filming skull EX.A.2 (Bone collection) is forbidden: loan agreement.",
        "“A newt in ten minutes” points at the teeth: whole animal (EtOH) EX.A.1 hides it (mouth closed when it was "
        "fixed). It shows on skull EX.A.2.",
        "Wanted twice: whole animal (EtOH) EX.A.1 for “Teeth on film” (2026-12-01 10:40) and “A newt in ten minutes” "
        "(2026-12-01 11:00).",
    ]


def test_a_clash_with_a_piece_that_is_not_listed_is_told(store: Path) -> None:
    assert any(row.startswith("Wanted twice") for row in listed(store, "newt/talk")["warnings"])
    script = store / "records/newt/script.md"
    script.write_text(script.read_text("utf-8").replace("2026-12-01 10:40", "2026-12-01 09:00"), "utf-8")
    assert not any(row.startswith("Wanted twice") for row in listed(store, "newt/talk")["warnings"])


def test_what_is_not_recorded_is_not_safe(store: Path) -> None:
    (row,) = listed(store, "old/label")["rows"]  # a study skin that says nothing of arsenic
    assert [one["basis"] for one in row["cautions"]] == ["unknown"]
    assert "treat it as present" in row["cautions"][0]["what"]
    record = store / "records/old/record.yml"
    record.write_text(
        record.read_text("utf-8").replace("study skin", "plaster cast").replace(f', store: "{STORES[2]}"', ""), "utf-8"
    )
    made = listed(store, "old/label")
    assert "ask the curator" in made["rows"][0]["warning"]
    assert made["warnings"] == [
        "No shelf is recorded for plaster cast EX.10.", "No hazard is recorded for plaster cast EX.10; it may have one.",
    ]  # fmt: skip


def test_a_pdf_says_on_every_page_that_it_is_for_staff(store: Path) -> None:
    code, said = run("-w", store, "pull", *ALL, "--format", "pdf")
    path = store / "build/staff/pull-4-pieces.pdf"
    assert code == 0 and path.is_file(), said
    reader = pypdf.PdfReader(path)
    pages = [" ".join(page.extract_text().split()) for page in reader.pages]
    assert len(pages) >= 2 and all("STAFF ONLY: not for the public" in page for page in pages)
    text = " ".join(pages)
    assert text.count(" ".join(DEFERRAL.split())) == 5  # under the cautions and on each slip
    listing = text[text.index("To fetch") :]
    places = [listing.index(number) for number in ("EX.10", "EX.A.1", "EX.A.2", "EX.9")]
    assert places == sorted(places)
    for shelf in STORES:
        assert text.count(shelf) == 2, shelf  # on the list and on its slip
    assert [text.count(f"Removal slip {number}") for number in (1, 2, 3, 4, 5)] == [1, 1, 1, 1, 0]
    assert reader.metadata and reader.metadata.title == "Pull list for 4 pieces"
    assert reader.root_object["/MarkInfo"]["/Marked"] and reader.root_object["/Lang"] == "en-GB"  # type: ignore[index]
    before = path.read_bytes()
    assert run("-w", store, "pull", *ALL, "--format", "pdf")[0] == 0 and path.read_bytes() == before


def test_author_text_stays_text_in_the_pdf(store: Path) -> None:
    record = store / "records/old/record.yml"
    text = record.read_text("utf-8").replace(f'"{STORES[2]}"', "'#import \"x.typ\": * $ <b>x</b> \\evil'")
    record.write_text(text.replace("container: box 3", f"container: {'w' * 300}"), "utf-8")
    assert run("-w", store, "pull", "old/label", "--format", "pdf", "-o", store.parent / "x.pdf")[0] == 0
    shown = "".join("".join(page.extract_text().split()) for page in pypdf.PdfReader(store.parent / "x.pdf").pages)
    assert '#import"x.typ":*$<b>x</b>\\evil' in shown and "w" * 300 in shown


@pytest.mark.parametrize(
    "where",
    [
        "site/x.txt",
        "build/docs/x.txt",
        "build/drafts/site/x.pdf",
        "content/x.md",
        "records/newt/x.txt",
        "site/../site/a/b.json",
    ],
)
def test_nothing_is_written_where_the_public_comes(store: Path, where: str) -> None:
    code, said = run("-w", store, "pull", "newt/talk", "-o", store / where)
    assert code == 2 and "may become public" in said
    assert not (store / where).exists()


def test_a_link_into_the_site_is_followed_and_refused(store: Path) -> None:
    (store / "site").mkdir()
    (store.parent / "elsewhere").symlink_to(store / "site")
    assert run("-w", store, "pull", "newt/talk", "-o", store.parent / "elsewhere/x.txt")[0] == 2


def test_what_a_person_wrote_is_not_lost(store: Path) -> None:
    mine = store.parent / "mine.txt"
    mine.write_text("my notes", "utf-8")
    code, said = run("-w", store, "pull", "newt/talk", "-o", mine)
    assert code == 2 and "nothing was written" in said and mine.read_text("utf-8") == "my notes"
    for ending in ("txt", "json", "pdf"):
        own = store.parent / f"own.{ending}"
        assert run("-w", store, "pull", "newt/talk", "-o", own)[0] == 0
        assert run("-w", store, "pull", "newt/script", "-o", own)[0] == 0, ending  # our own list may be made anew


@pytest.mark.parametrize(
    "words, told",
    [
        (("newt/tolk",), "did you mean `talk`"), (("nwet/talk",), "did you mean `newt`"), (("newt",), "name its piece too"),
        (("newt/talk", "--out-by", "half ten"), "is no time"), (("newt/talk", "--out-by", "2026-02-30"), "is no time"),
        (("newt/talk", "--out-by", "25:00"), "is no time"), ((), "Missing argument"),
        (("newt/talk", "--out-by", "12:00", "--back-by", "11:00"), "is not after"),
    ],
)  # fmt: skip
def test_bad_words_are_told(store: Path, words: tuple[str, ...], told: str) -> None:
    code, said = run("-w", store, "pull", *words)
    assert code == 2 and told in " ".join(said.split()), said


def test_a_record_beyond_use_is_told(store: Path) -> None:
    (store / "records/old/record.yml").write_text("name: [", "utf-8")
    code, said = run("-w", store, "pull", "old/label")
    assert code == 2 and "`vouchered check` says why" in said


def test_a_piece_without_objects_takes_what_shows_its_cues(store: Path) -> None:
    talk = store / "records/newt/talk.md"
    talk.write_text(talk.read_text("utf-8").replace("objects: [jar]\n", ""), "utf-8")
    made = listed(store, "newt/talk")
    assert [row["object"] for row in made["rows"]] == ["jar", "skull"]
    assert made["warnings"][0].startswith("“A newt in ten minutes” names no object; listed are")


def test_a_bad_day_is_a_problem_with_its_place(store: Path) -> None:
    talk = store / "records/newt/talk.md"
    talk.write_text(
        talk.read_text("utf-8").replace("[2026-12-01 11:00, 2026-12-08 11:00]", "2026-13-01 11:00"), "utf-8"
    )
    code, said = run("-w", store, "check")
    assert code == 1 and "`2026-13-01 11:00` is on no calendar or clock" in said and "talk.md:7:" in said


def test_the_shelves_of_the_demo_stand_in_no_public_file(tmp_path: Path) -> None:
    root = copy_demo(tmp_path / "demo")
    pieces = sorted(
        path.relative_to(root / "demo_specimens").as_posix() for path in root.glob("demo_specimens/*/label.md")
    )
    code, said = run("-w", root, "pull", *pieces, "--format", "pdf")
    assert code == 0, said
    assert [path.relative_to(root).as_posix() for path in root.rglob("pull-*")] == [
        f"build/staff/pull-{len(pieces)}-pieces.pdf"
    ]


@given(st.text(max_size=20))
def test_any_text_is_a_moment_or_none(text: str) -> None:
    assert read_moment(text) is None or len(text) in (10, 16)


@given(st.datetimes(), st.decimals(min_value="0.01", max_value=10**12, places=2) | st.none(), st.booleans())
def test_no_day_and_no_slot_is_too_much(when: datetime, slot: Decimal | None, with_hour: bool) -> None:
    front = Front.model_construct(piece="talk", title="T", slot=slot)
    start, end = span_of(Piece("t", front, ()), f"{when:%Y-%m-%d %H:%M}".rjust(16, "0")[: 16 if with_hour else 10])
    assert start < end
