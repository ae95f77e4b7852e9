"""Numbers that differ between texts: what is the same number, what is another thing, and whose place is named."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from builder.problem import Problem
from builder.road import Road
from tests.conftest import TODAY

FINDS = "moths made up 81 % of the mass of food"
"""What the claim of the stock finds; `KNOWN` adds to it, so that each text passes alone."""
KNOWN = f"{FINDS}, or 85 % by another count, of prey 12 mm, 1.4 cm, 9 to 15 mm, 40 moths, 44 moths, 40 nights, seen in 1987 and 1991"
PAGE = "---\npiece: page\ntitle: What an example newt eats\nobjects: [jar, skull]\n---\n"
LABEL = "---\npiece: label\ntitle: The example newt\nkind: object label\nobjects: [jar]\n---\n"


def told(root: Path, page: str, label: str, *, known: bool = True, today: date = TODAY) -> list[Problem]:
    record = root / "records/newt/record.yml"
    text = record.read_text("utf-8")
    if known:
        text = text.replace(f"finds: {FINDS},", f'finds: "{KNOWN}",')
        assert KNOWN in text
    record.write_text(text, "utf-8")
    (root / "records/newt/page.md").write_text(f"{PAGE}{page}\n", "utf-8")
    (root / "records/newt/label.md").write_text(f"{LABEL}{label}\n", "utf-8")
    found = Road(root, today=today, remember=False).walk().problems
    return [problem for problem in found if problem.check in ("numbers-disagree", "number-not-in-claim")]


@pytest.mark.parametrize(
    "page, label",
    [
        ("Moths made up 81 % of the food by mass.", "Moths made up 85 % of their food by mass."),
        ("By mass, moths were 85 per cent of the food.", "Moths made up 81 % of the food by mass."),
        ("The moths of the food were 12 mm long.", "The moths in its food were 1.4 cm long."),
        ("It ate 40 moths on the way.", "On the way it ate 44 moths."),
        ("They were seen at the pond in 1987.", "They were seen at the pond in 1991."),
        ("Prey by the pond measured 9 to 15 mm.", "Prey by the pond measured 12 to 14 mm."),
    ],
)
def test_each_passes_alone_yet_they_differ(stock: Path, page: str, label: str) -> None:
    (problem,) = told(stock, f"{page}[^moths]", f"{label}[^moths]")
    assert problem.check == "numbers-disagree" and problem.place
    assert problem.place.file == "records/newt/page.md"
    assert [place.file.rsplit("/", 1)[-1] for _, place in problem.also] == ["label.md", "record.yml"]


@pytest.mark.parametrize(
    "page, label",
    [
        ("Moths made up 81 % of the food by mass.", "Moths made up about 80 % of the food by mass."),
        ("Moths made up 81 % of the food by mass.", "Moths made up more than three quarters of the food by mass."),
        ("The moths of the food were 12 mm long.", "The moths of the food were 1.2 cm long."),
        ("The moths of the food were 12 mm long.", "Moths made up 85 % of the food."),  # a length and a share
        ("It ate 40 moths on the way.", "It was on the way for 44 nights."),  # moths and nights
        ("In 1987 it ate 40 moths by the pond.", "In 1991 it ate 44 moths by the pond."),  # the year may be why
        ("Moths made up 81 % of the food by mass.", "At another pond it was 85 %."),  # nothing else in common
        ("Moths made up 81 % of the food, or 85 % by another count.", "By another count moths made up 85 % of the food."),
    ],
)  # fmt: skip
def test_what_agrees_or_speaks_of_another_thing_passes(stock: Path, page: str, label: str) -> None:
    found = told(stock, f"{page}[^moths]", f"{label}[^moths]")
    assert [problem for problem in found if problem.check == "numbers-disagree"] == []


def test_a_number_changed_in_one_piece_shows_the_other(stock: Path) -> None:
    page = "In one study of 130 stomachs, moths made up 81 % of the food by mass.[^moths]"
    found = told(stock, page, "Moths were 88 % of what they ate by mass.[^moths]", known=False)
    assert {problem.check for problem in found} == {"numbers-disagree", "number-not-in-claim"}
    for problem in found:  # where nothing bears it out, whichever comes first
        assert problem.place and problem.place.file == "records/newt/label.md"
    shown = next(problem for problem in found if problem.check == "numbers-disagree")
    assert shown.message == "`88 %` here and `81 %` in page.md, by the same claim `moths`"


def test_a_claim_of_another_record_is_held_to_its_own_texts(stock: Path) -> None:
    other = stock / "records/toad"
    other.mkdir()
    (other / "record.yml").write_text("name: {common: example toad}\ntitle: Toads\n", "utf-8")
    (other / "page.md").write_text(
        "---\npiece: page\ntitle: Toads\n---\nOf newts, moths made up 85 % of the food by mass.[^newt.moths]\n", "utf-8"
    )
    found = told(stock, "Moths made up 81 % of the food by mass.[^moths]", "Look closely.")
    (problem,) = (problem for problem in found if problem.check == "numbers-disagree")
    assert problem.place and problem.place.file == "records/toad/page.md"
    assert problem.also[0][1].file == "records/newt/page.md"


def test_sentences_of_one_piece_may_differ(stock: Path) -> None:
    page = "Moths made up 81 % of the food by mass.[^moths] Moths made up 85 % of the food by mass.[^moths]"
    assert told(stock, page, "Look closely.") == []


def test_one_mistake_is_one_problem(stock: Path) -> None:
    (stock / "records/newt/talk.md").write_text(
        "---\npiece: talk\ntitle: Newts\ntheme: An animal was blamed for being where its food is.\n---\n"
        "By mass, 81 % of the food was moths.[^moths]\n", "utf-8"
    )  # fmt: skip
    page = "Moths made up 81 % of the food by mass.[^moths]"
    (problem,) = told(stock, page, "Moths made up 85 % of their food by mass.[^moths]")
    assert problem.place and problem.place.file == "records/newt/label.md"  # both others are against it
    assert [place.file.rsplit("/", 1)[-1] for _, place in problem.also] == ["page.md", "talk.md", "record.yml"]
