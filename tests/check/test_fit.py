"""What the checks of fit rest on: limits, words, seconds; the page of each check has its examples."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from builder.check.fit.length import count_words
from builder.check.fit.over_time import RATES, beat_seconds, minutes, rate_of
from builder.check.fit.too_many_words import LIMITS, limits_of
from builder.load.piecetext import read_blocks
from builder.model.museum import HouseRules
from builder.model.piece import Front, Piece


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


def test_a_beat_takes_its_words_or_the_seconds_it_states() -> None:
    lines = (
        "## One\n\n" + "word " * 130 + "\n\n## Two {: seconds=90 }\n\nword\n\n## Three {: seconds=soon }\n\n> seen\n"
    )
    blocks, _ = read_blocks(lines.split("\n"), 0)
    talk, script = (
        Piece("t", Front.model_validate({"piece": use, "title": "T"}), blocks) for use in ("talk", "script")
    )
    assert [round(beat_seconds(talk, beat, 130), 2) for beat in talk.beats] == [60, 90, 0.46]
    assert beat_seconds(script, script.beats[2], 130) == 0  # what is seen is not said


@pytest.mark.parametrize("seconds", ["nan", "inf", "-5", "1e999999", ""])
def test_strange_seconds_count_for_nothing(seconds: str) -> None:
    blocks, _ = read_blocks([f'## One {{: seconds="{seconds}" }}', "", "word"], 0)
    piece = Piece("t", Front.model_validate({"piece": "talk", "title": "T"}), blocks)
    assert round(beat_seconds(piece, piece.beats[0], 60), 6) == 1


def test_rates_of_the_house() -> None:
    rules = HouseRules.model_validate({"words_per_minute": {"talk": "110"}})
    assert (rate_of(rules, "talk"), rate_of(rules, "script")) == (110, RATES["script"])
    assert rate_of(HouseRules.model_validate({"words_per_minute": {"talk": "0"}}), "talk") == RATES["talk"]


def test_minutes_in_words() -> None:
    assert [minutes(seconds) for seconds in (0, 0.4, 59.6, 90, 600)] == ["0 s", "0 s", "1 min", "1 min 30 s", "10 min"]
