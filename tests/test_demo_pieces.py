"""The pieces of the demo: each animal has what a museum carries, each talk fits, and each slip in one is caught."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest

from builder.check.case import Case
from builder.check.fit.over_time import part_of
from builder.load.workspace import find_root
from builder.road import Road
from builder.weigh.slot import choose_parts, room_seconds
from tests.conftest import ROOT, TODAY, copy_demo

RECORDS = sorted(path.parent.name for path in (ROOT / "demo_specimens").glob("*/record.yml"))
SCRIPTS = ("common-vampire-bat", "european-nightjar")
SPEECH = Decimal("0.75")  # the demo's own house rule, of a talk's slot


@pytest.fixture(scope="module")
def road() -> Road:
    return Road(find_root(ROOT), today=TODAY, remember=False)


def case_of(road: Road, record: str) -> Case:
    case = road.case(record)
    assert case is not None
    return case


def test_there_are_seven() -> None:
    assert len(RECORDS) == 7


@pytest.mark.parametrize("record", RECORDS)
def test_each_animal_has_a_page_a_label_and_a_talk(road: Road, record: str) -> None:
    pieces = case_of(road, record).pieces.values()
    uses = sorted(piece.front.piece for piece in pieces)
    assert uses == ["label", "page", "script", "talk"] if record in SCRIPTS else uses == ["label", "page", "talk"]
    assert all(piece.front.hangs_at and piece.front.audience for piece in pieces)
    assert case_of(road, record).record.questions


@pytest.mark.parametrize("record", RECORDS)
def test_each_talk_fits_its_slot_and_can_be_brought_into_ten_minutes_and_into_five(road: Road, record: str) -> None:
    case = case_of(road, record)
    (talk,) = (piece for piece in case.pieces.values() if piece.front.piece == "talk")
    parts = [part_of(talk, beat, case.rules) for beat in talk.beats]
    assert talk.front.slot is not None and talk.front.theme and talk.front.author
    whole = sum(part.seconds for part in parts)
    assert whole <= room_seconds(talk.front.slot, share=SPEECH)
    assert parts[0].firm and parts[-1].firm, "it opens and closes, whatever is left out"
    for minutes in (Decimal(10), Decimal(5)):
        room = room_seconds(minutes, share=SPEECH)
        kept = choose_parts(parts, room)
        assert sum(parts[index].seconds for index in kept) <= room
        assert len(kept) >= 3
    assert len(kept) < len(parts), "five minutes must cost it something, or the talk is a short one"


@pytest.mark.parametrize(
    "path", sorted((ROOT / "demo_specimens").glob("*/*.svg")), ids=lambda p: f"{p.parent.name}-{p.stem}"
)
def test_each_drawing_says_what_it_is(path: Path) -> None:
    text = path.read_text("utf-8")
    assert re.search(r"<title id=.*</title>", text) and re.search(
        r"<desc id=.*Schematic, not a photograph\.</desc>", text
    )
    assert "schematic" in text and re.search(r">\d+ mm", text), "a scale bar with its length"
    assert not re.search(r"url\((?!#)", text) and text.count("http") == text.count("http://www.w3.org/")


@pytest.mark.parametrize(
    "file, old, new, check, words",
    [
        (
            "thylacine/talk.md",
            "objects: [mount, skull]",
            "objects: [mount]",
            "not-visible-here",
            "`mount` hides it (the lips were closed over them); it shows on `skull`",
        ),
        (
            "european-nightjar/script.md",
            "objects: [skin]",
            "objects: [skin, eggs]",
            "no-filming-here",
            "the slips in the boxes name breeding places",
        ),
        ("common-vampire-bat/script.md", "27 finds out of 44", "28 finds out of 44", "number-not-in-claim", "`28`"),
        ("thylacine/label.md", "16.7 kg", "17.6 kg", "number-not-in-claim", "`17.6 kg`"),
        ("spotted-hyena/talk.md", "slot: 10", "slot: 5", "over-time", "“A bad name”"),
        (
            "greater-argonaut/talk.md",
            "title: The octopus that builds",
            "title: Argonauts sail with raised arms",
            "belief-before-evidence",
            "sail",
        ),
    ],
)
def test_a_slip_in_one_piece_is_caught(tmp_path: Path, file: str, old: str, new: str, check: str, words: str) -> None:
    root = copy_demo(tmp_path / "museum")
    path = root / "demo_specimens" / file
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    found = [problem for problem in Road(root, today=TODAY, remember=False).walk().problems if problem.check == check]
    assert any(words in f"{problem.message} {problem.mend}" for problem in found), [p.message for p in found]
