"""What the checks of fit rest on: limits, words, seconds; the page of each check has its examples."""

from __future__ import annotations

import re
from decimal import Decimal
from importlib.resources import files

import pytest

from builder.check.fit.length import count_words
from builder.check.fit.over_time import part_of
from builder.check.fit.too_many_words import LIMITS, limits_of
from builder.load.piecetext import read_blocks
from builder.model.museum import RATES, HouseRules
from builder.model.piece import Front, Piece
from builder.weigh.slot import Part


@pytest.mark.parametrize(
    "text, words",
    [
        ("Moths made up 81 % of the food.", 7), ("A goat-milker – so they said – of 1,250 g.", 8), ("", 0),
        ("– … %", 0), ("“Yes.”", 1), ("12.5 mm", 2), ("don't", 1), ("été", 1),
    ],
)  # fmt: skip
def test_words_are_counted_as_an_editor_counts_them(text: str, words: int) -> None:
    assert count_words(text) == words


def test_limits_are_those_of_the_page() -> None:
    page = files("builder.check.fit").joinpath("too_many_words.md").read_text("utf-8")
    rows = re.findall(r"^\| ([a-z ]+) \| (\d+) \| (\d+) \|", page, re.MULTILINE)
    assert {kind: (int(warn), int(error)) for kind, warn, error in rows} == dict(LIMITS)


def test_a_house_rule_of_one_number_keeps_the_ratio() -> None:
    rules = HouseRules.model_validate({"words": {"object label": "45", "Group-Label": "60 / 70", "drawer text": "12"}})
    assert limits_of(rules, "object label") == (45, 75)
    assert limits_of(rules, "group label") == (60, 70)
    assert limits_of(rules, "drawer text") == (12, None)
    assert limits_of(rules, "title") == LIMITS["title"]
    assert limits_of(rules, "page") is None


def _piece(use: str, text: str) -> Piece:
    blocks, _ = read_blocks(text.split("\n"), 0)
    return Piece("t", Front.model_validate({"piece": use, "title": "T"}), blocks)


def test_a_beat_takes_its_words_or_the_seconds_it_states() -> None:
    text = "## One\n\n" + "word " * 130 + "\n\n## Two {: seconds=90 }\n\nword\n\n## Three {: seconds=soon }\n\n> seen\n"
    talk, script = (_piece(use, text) for use in ("talk", "script"))
    rules = HouseRules.model_validate({"words_per_minute": {"talk": "130", "script": "130"}})
    assert [part_of(talk, beat, rules).seconds for beat in talk.beats] == [60, 90, 1]
    assert part_of(script, script.beats[2], rules).seconds == 0  # what is seen is not said


@pytest.mark.parametrize("seconds", ["nan", "inf", "-5", "1e999999", "", "2.5", "123456", "٣"])
def test_strange_seconds_and_values_count_for_nothing(seconds: str) -> None:
    piece = _piece("talk", f'## One {{: seconds="{seconds}" value="{seconds}" keep="{seconds}" }}\n\nword')
    assert part_of(piece, piece.beats[0], HouseRules.model_validate({})) == Part(1, 10, True)


def test_the_ends_of_a_talk_stay_unless_they_say_otherwise() -> None:
    assert [beat.keep for beat in _piece("talk", "Hello.\n\n## A\n\nb\n\n## C\n\nd").beats] == [
        "always", "if-time", "always",
    ]  # fmt: skip
    text = "## A {: keep=spare }\n\nb\n\n## C {: keep=sometimes }\n\nd\n\n## E {: keep=if-time }\n\nf"
    assert [beat.keep for beat in _piece("talk", text).beats] == ["spare", "if-time", "if-time"]


def test_rates_of_the_house() -> None:
    rules = HouseRules.model_validate({"words_per_minute": {"talk": "110"}})
    assert (rules.rate_wpm("talk"), rules.rate_wpm("script")) == (110, RATES["script"])
    assert HouseRules.model_validate({"words_per_minute": {"talk": "0"}}).rate_wpm("talk") == RATES["talk"]
    assert (rules.share_of("talk"), rules.share_of("script")) == (Decimal("0.75"), 1)
