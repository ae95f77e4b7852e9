"""What a page prints is what the checks of privacy look at, and ordinary words give nobody away."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml

from builder.build import make_outputs
from builder.check.case import Case
from builder.check.privacy.leak import public_texts
from builder.road import Road, Target, weigh
from tests.conftest import TODAY

RECORD = "records/newt/record.yml"
MORE: dict[tuple[str | int, ...], Any] = {
    ("summary",): "A newt that eats.",
    ("notice",): "A notice.",
    ("objects", "jar", "note"): "a note",
    ("objects", "jar", "donor"): {"name": "Ann Giver", "show": "yes"},
    ("objects", "jar", "locality", "country"): "Exampleland",
    ("objects", "jar", "locality", "because"): "newts are few",
    ("anatomy", "crest", "say"): "krest",
    ("figures", "head", "caption"): "A caption.",
    ("diet", "gut", "note"): "a note on the table",
    ("claims", "milk", "held_by", 0, "finds"): "newts come to the byre",
    ("claims", "milk", "evidence", 2, "finds"): "few moths are enough",
    ("claims", "moths", "evidence", 2, "finds"): "insects above all",
    ("calculations", "nightly", "means"): "A few moths are enough.",
    ("calculations", "nightly", "inputs", "energy", "because"): "as measured",
}
SET = frozenset(
    "source collection visible_on figure table file stands date value unit is bears basis n examined empty latitude "
    "longitude show lead measure at_least group year x y calculation diet quote hazards answer says".split()
)
"""Fields in which not any word may stand."""
STAFF = ("store", "text", "name")


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], str]]:
    if isinstance(value, (dict, list)):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from leaves(inner, (*path, key))
    else:
        yield path, value


def put(tree: Any, path: tuple[str | int, ...], value: Any) -> None:
    for part in path[:-1]:
        tree = tree[part]
    tree[path[-1]] = value


def test_every_text_that_reaches_a_page_is_looked_at(stock: Path) -> None:
    tree = yaml.load((stock / RECORD).read_text("utf-8"), Loader=yaml.BaseLoader)
    for path, value in MORE.items():
        put(tree, path, value)
    marks = {}
    for number, (path, value) in enumerate(leaves(tree)):
        if path[0] != "name" and not SET.intersection(map(str, path)):
            marks[path] = f"Zq{'abcdefghij'[number // 10 % 10]}{'abcdefghij'[number % 10]}x{number // 100}"
            put(tree, path, f"{value} {marks[path]}")
    (stock / RECORD).write_text(yaml.dump(tree, allow_unicode=True, sort_keys=False, width=10**6), "utf-8")
    road = Road(stock, today=TODAY, remember=False, target=Target(True, stock / "build/docs"))
    verdict = road.walk()
    assert not [problem for problem in verdict.problems if problem.check == "wrong-shape"]
    outputs, _, _ = make_outputs(road, verdict, True)
    printed = "\n".join((data or b"").decode("utf-8", "replace") for name, data in outputs.items())
    subject = road.subject("newt")
    assert subject is not None
    looked_at = "\n".join(text.text for text in public_texts(Case(subject, TODAY, weigh(subject, road.origins)[0])))
    unseen = [path for path, mark in marks.items() if mark in printed and mark not in looked_at]
    assert unseen == []
    assert len([path for path, mark in marks.items() if mark in printed]) > 30
    secret = [path for path in marks if path[-1] in STAFF and "donor" not in path]
    assert len(secret) == 4 and not [path for path in secret if marks[path] in printed or marks[path] in looked_at]


def told(stock: Path) -> list[tuple[str, str, int]]:
    problems = Road(stock, today=TODAY, remember=False).walk().problems
    return [(p.check, p.place.file.rsplit("/", 1)[-1], p.place.line) for p in problems if p.place]


def change(stock: Path, name: str, *pairs: tuple[str, str]) -> None:
    path = stock / "records/newt" / name
    text = path.read_text("utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, "utf-8")


@pytest.mark.parametrize("name", ["Edgar Brown", "Theodora May", "Ida Wood", "A private collector", "anonymous"])
def test_ordinary_words_give_nobody_away(stock: Path, name: str) -> None:
    change(stock, "record.yml", ("Percival Thistlewick", name), ("Room 7, bay 21, tray 4", "Store 2"))
    words = "In May a brown newt leaves the wood, and a private walk leads past the store at 2 o’clock.[^aside]"
    change(stock, "page.md", ("Example newts drink no milk.[^milk]", f"Example newts drink no milk.[^milk]\n{words}"))
    assert told(stock) == []


@pytest.mark.parametrize(
    "old, new, check, line",
    [
        ("locator: p. 105}", "locator: notes of P. Thistlewick}", "private-name-shown", "energy:"),
        ("catalogue_number: EX.A.2", "catalogue_number: bay 21 tray 4", "store-location-shown", "bay 21 tray 4"),
        ("preparation: skull", "preparation: skull from Mill Lane", "locality-too-precise", "Mill Lane"),
        ("licence: CC-BY-4.0", "licence: by leave of P. Thistlewick", "private-name-shown", "licence:"),
        ("  moths:\n    statement", "  thistlewick:\n    statement", "private-name-shown", "thistlewick:"),
        (
            "store: Store 5, case 2",
            "donor: {name: Percival Thistlewick, show: yes}",
            "private-name-shown",
            "donor:",
        ),
    ],
)
def test_fields_that_are_no_prose_are_looked_at_too(stock: Path, old: str, new: str, check: str, line: str) -> None:
    change(stock, "record.yml", (old, new))
    rows = (stock / RECORD).read_text("utf-8").split("\n")
    found = [row for name, file, row in told(stock) if name == check and file == "record.yml"]
    assert found and line in rows[found[0] - 1]


def test_the_house_rule_is_what_texts_are_held_to(stock: Path) -> None:
    change(stock, "record.yml", ("show: 0.1}", "show: 0.001}"))
    change(stock, "page.md", ("Example newts drink no milk.[^milk]", "It lived by 4 Mill Lane.[^aside]"))
    problems = Road(stock, today=TODAY, remember=False).walk().problems
    said = [problem.message for problem in problems if problem.check == "locality-too-precise"]
    assert len(said) == 2 and any("the house's step of 0.1 degrees" in message for message in said)
    assert Road(stock, today=TODAY, remember=False).library.rules.coordinate_step == Decimal("0.1")
