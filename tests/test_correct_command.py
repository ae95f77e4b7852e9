"""`correct` as a person meets it: what it writes, what it lists, what it refuses, and that it loses nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.resolve.hang import find_hangs
from builder.resolve.reference import Node
from builder.road import Road
from tests.conftest import TODAY
from tests.test_cli import run

GIVEN = ("--was", "mainly snails", "--now", "mainly moths", "--why", "two rows exchanged", "--who", "c-keeper")
ON = ("--date", "2026-10-02")
FILE = "records/corrections.yml"


def test_a_correction_lists_every_place_and_is_ticked_to_its_end(stock: Path) -> None:
    label = stock / "records/newt/label.md"
    label.write_text(label.read_text("utf-8").replace("kind:", "hangs_at: [Gallery 1, Hall]\nkind:"), "utf-8")
    code, said = run("-w", stock, "correct", "newt/label", *GIVEN, *ON)
    assert code == 0, said
    assert said.splitlines() == [
        "added `2026-10-02-newt-label` to records/corrections.yml; it stays open until each place is ticked:",
        "  [ ] 1. Gallery 1 (newt/label): cover it up at once; reprint, and hang the new one",
        "  [ ] 2. Hall (newt/label): cover it up at once; reprint, and hang the new one",
        "  [ ] 3. web page, example newt (newt/page): mend the page, have it approved, publish",
        "Next: vouchered correct --tick 2026-10-02-newt-label/1",
    ]
    assert run("-w", stock, "check")[0] == 0
    for place, words in (("2", "2 more to tick"), ("web", "1 more to tick"), ("gallery 1", "every place is ticked")):
        code, said = run("-w", stock, "correct", "--tick", f"2026-10-02-newt-label/{place}", "--date", "2026-10-05")
        assert code == 0 and words in said
    code, said = run("-w", stock, "correct")
    assert code == 0 and "closed" in said and said.endswith("1 correction, 0 open\n") and "[ ]" not in said
    assert run("-w", stock, "check")[0] == 0


def test_words_that_still_stand_are_pointed_at(stock: Path) -> None:
    given = ("--was", "Example newts eat mainly moths.", "--now", "snails", "--why", "x", "--who", "c-keeper")
    code, said = run("-w", stock, "correct", stock / "records/newt/label.md", *given, *ON)
    assert code == 0 and "records/newt/label.md:8: still says so" in said


def test_without_marked_words_only_its_own_places_are_listed(stock: Path) -> None:
    given = ("--was", "catalogue number EX.B", "--now", "EX.A", "--why", "x", "--who", "c-keeper")
    code, said = run("-w", stock, "correct", "newt/label", *given, *ON)
    assert (
        code == 0
        and "only its own places are listed" in said
        and "1. wherever the label “The example newt” hangs" in said
    )
    assert "web page" not in said


@pytest.mark.parametrize(
    "words, told",
    [
        (("newt/lable", *GIVEN), "did you mean `label`?"),
        (("nwt/label", *GIVEN), "did you mean `newt`?"),
        (("newt", *GIVEN), "name its piece too; there are label, page"),
        (("newt/label", *GIVEN[:6]), "give --who"),
        (("newt/label", *GIVEN[:7], "c-kepper"), "did you mean `c-keeper`?"),
        (("newt/label", *GIVEN, "--claim", "mots"), "did you mean `moths`?"),
        (("newt/label", *GIVEN, "--claim", "frog.moths"), "there is no claim `frog.moths`"),
        (("newt/label", *GIVEN, "--date", "yesterday"), "does not match"),
        (("newt/label", "--was", "a\x07b", *GIVEN[2:]), "U+0007"),
        (("--tick", "nothing/1"), "there is no correction `nothing`"),
        (("newt/label", "--tick", "a/1"), "give it alone"),
        (GIVEN, "name the piece"),
        (("../newt/label", *GIVEN), "there is no record"),
    ],
)
def test_what_is_refused_writes_nothing(stock: Path, words: tuple[str, ...], told: str) -> None:
    code, said = run("-w", stock, "correct", *words)
    assert code == 2 and told in " ".join(said.split()), said
    assert not (stock / FILE).exists()


def test_ticks_that_are_refused_write_nothing(stock: Path) -> None:
    run("-w", stock, "correct", "newt/label", *GIVEN, *ON)
    before = (stock / FILE).read_bytes()
    key = "2026-10-02-newt-label"
    for words, told in (
        (("--tick", key), "say which place"),
        (("--tick", f"{key}/9"), "names no single place"),
        (("--tick", f"{key}/1", "--date", "2026-10-01"), "lies before the correction"),
    ):
        code, said = run("-w", stock, "correct", *words)
        assert code == 2 and told in " ".join(said.split()), said
    assert (stock / FILE).read_bytes() == before
    assert run("-w", stock, "correct", "--tick", f"{key}/1", "--date", "2026-10-02")[0] == 0
    code, said = run("-w", stock, "correct", "--tick", f"{key}/1", "--date", "2026-10-03")
    assert code == 2 and "already" in said
    code, said = run("-w", stock, "correct", "newt/label", *GIVEN, "--date", "2026-10-09")
    assert code == 2 and f"already, as `{key}`" in " ".join(said.split())


@pytest.mark.parametrize(
    "data", [b"a: [1\n", b"\xff\xfea", b"- a\n", b"a: {piece: newt/label}\n", b"a:\n", "a: 1\n".encode("utf-16")]
)
def test_a_file_with_problems_is_left_alone(stock: Path, data: bytes) -> None:
    (stock / FILE).write_bytes(data)
    for words in (("newt/label", *GIVEN), ("--tick", "a/1"), ()):
        code, said = run("-w", stock, "correct", *words)
        assert code == 2 and "mend it first" in " ".join(said.split()), said
    assert (stock / FILE).read_bytes() == data
    code, said = run("-w", stock, "check")
    assert code == 1 and FILE in said


def test_windows_line_ends_stay(stock: Path) -> None:
    run("-w", stock, "correct", "newt/label", *GIVEN, *ON)
    path = stock / FILE
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    before = path.read_bytes()
    run("-w", stock, "correct", "newt/page", *GIVEN, *ON)
    run("-w", stock, "correct", "--tick", "2026-10-02-newt-page/1", "--date", "2026-10-03")
    after = path.read_bytes()
    assert after.startswith(before) and after.count(b"\n") == after.count(b"\r\n") > before.count(b"\n")
    assert run("-w", stock, "check")[0] == 0


def test_a_claim_reaches_every_piece_that_rests_on_it_in_other_records_too(stock: Path) -> None:
    other = stock / "records/frog"
    other.mkdir()
    record = (stock / "records/newt/record.yml").read_text("utf-8").replace("EX.A", "EX.F")
    (other / "record.yml").write_text(record, "utf-8")
    for name in ("gut.csv", "head.svg"):
        (other / name).write_bytes((stock / "records/newt" / name).read_bytes())
    front = "---\npiece: {}\ntitle: Frogs\nobjects: [jar]\nauthor: a-writer\nslot: 10\nhangs_at: {}\n---\n"
    (other / "talk.md").write_text(front.format("talk", "Hall") + "Newts eat moths.[^newt.moths]\n", "utf-8")
    (other / "label.md").write_text(front.format("label", "Case") + "Frogs eat moths.[^moths]\n", "utf-8")
    road = Road(stock, today=TODAY, remember=False)
    subjects = {name: subject for name in road.workspace.folders if (subject := road.subject(name))}
    found = find_hangs(subjects, "newt", "label", [Node("claim", "newt", "moths")])
    assert [(hang.record, hang.piece, hang.where) for hang in found] == [
        ("newt", "label", "wherever the label “The example newt” hangs"),
        ("frog", "talk", "Hall"),
        ("newt", "page", "web page, example newt"),
    ]
