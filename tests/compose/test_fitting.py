"""Running time and fitting: seconds of each beat, the clock, which beats stay, and what is said of those that go."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compose.document import Document
from builder.compose.fitting import fit, fit_document
from builder.compose.running import TimedBeat, time_beats
from builder.model.museum import HouseRules

RULES = HouseRules.model_validate({})
BEAT = st.tuples(st.integers(0, 200), st.sampled_from(["always", "if-time", "spare"]), st.integers(1, 20))


def said(words: int, kind: str = "paragraph") -> dict[str, Any]:
    return {"kind": kind, "sentences": [{"spans": [{"text": " ".join(["newt"] * words)}]}]}


def document(*beats: dict[str, Any], use: str = "talk", slot: str = "") -> Document:
    made: Any = {"kind": use, "beats": list(beats), "front": {"slot": slot} if slot else {}}
    return made  # type: ignore[no-any-return]


def beat(title: str, words: int, keep: str = "if-time", **more: Any) -> dict[str, Any]:
    return {"title": title, "keep": keep, "blocks": [said(words)], **more}


TALK = document(
    beat("Opening", 65, "always"), beat("Crest", 130), beat("Moths", 65, value=12), beat("Pond", 26, "spare"),
    beat("Close", 13, "always", seconds=20), slot="5",
)  # fmt: skip


def test_the_clock_spreads_questions_and_walking_over_the_talk() -> None:
    running = time_beats(TALK, RULES)
    assert (running.rate_wpm, running.room, running.seconds) == (130, 225, 152)
    assert [(timed.seconds, timed.starts, timed.left) for timed in running.beats] == [
        (30, 0, 300), (60, 30, 260), (30, 90, 180), (12, 120, 140), (20, 132, 124),
    ]  # fmt: skip


def test_without_a_slot_the_clock_ends_with_the_last_word() -> None:
    running = time_beats(document(beat("A", 140), beat("B", 70), use="script"), RULES)
    assert (running.room, running.seconds, [timed.left for timed in running.beats]) == (None, 90, [90, 30])


def test_what_a_script_shows_is_not_heard() -> None:
    shown = {
        "title": "A",
        "keep": "always",
        "blocks": [said(500, "quote"), said(7), said(7, "item"), said(9, "heading")],
    }
    assert time_beats(document(shown, use="script"), RULES).beats[0].words == 14


def test_numbers_are_heard_as_they_are_spoken() -> None:
    block = {"kind": "paragraph", "sentences": [{"spans": [{"text": "It is "}, {"text": "12.5 mm", "style": "em"}]}]}
    running = time_beats(document({"title": "", "keep": "always", "blocks": [block]}), RULES)
    assert running.beats[0].words == 6  # it is twelve point five millimetres


def test_a_talk_fitted_into_less_says_what_went_and_why() -> None:
    shorter, running, fitted = fit_document(TALK, RULES, Decimal(2))
    assert [beat["title"] for beat in shorter["beats"]] == ["Opening", "Moths", "Close"]
    assert [(timed.index, timed.left) for timed in running.beats] == [(0, 120), (2, 80), (4, 40)]
    assert (fitted.room, fitted.seconds, fitted.over, fitted.value) == (90, 80, 0, 12)
    assert [(row.beat.title, row.why) for row in fitted.left_out] == [
        ("Crest", "it takes 1 min, and the beats that always stay leave 40 s"),
        ("Pond", "the best choice with it is worth 1, what stays is worth 12"),
    ]
    assert len(TALK["beats"]) == 5


def test_what_always_stays_says_by_how_much_it_is_too_long() -> None:
    shorter, _, fitted = fit_document(TALK, RULES, Decimal("0.5"))
    assert [beat["title"] for beat in shorter["beats"]] == ["Opening", "Close"]
    assert (fitted.room, fitted.seconds, fitted.over) == (22, 50, 28)
    assert {row.why for row in fitted.left_out} == {"the beats that always stay take all the time there is"}


def test_a_tie_is_called_one() -> None:
    fitted = fit(timed([(60, "if-time", 5), (60, "if-time", 5)]), 60)
    assert [timed.index for timed in fitted.kept] == [0]
    assert fitted.left_out[0].why.startswith("a choice with it is worth no more (5)")


def timed(rows: list[tuple[int, str, int]]) -> list[TimedBeat]:
    return [TimedBeat(at, f"b{at}", keep, value, 0, seconds, 0, 0) for at, (seconds, keep, value) in enumerate(rows)]


@given(st.lists(BEAT, max_size=14), st.integers(0, 1500), st.integers(0, 300))
def test_fitting_keeps_what_must_stay_and_its_order(rows: list[Any], room: int, more: int) -> None:
    beats = timed(rows)
    fitted, roomier = fit(beats, room), fit(beats, room + more)
    kept = [timed.index for timed in fitted.kept]
    assert kept == sorted(kept)
    assert {row.index for row in beats if row.keep == "always"} <= set(kept)
    assert sorted(kept + [row.beat.index for row in fitted.left_out]) == list(range(len(beats)))
    assert fitted.value <= roomier.value
    assert fitted.over == max(fitted.seconds - room, 0)
    assert not fitted.over or all(timed.keep == "always" for timed in fitted.kept)


@pytest.mark.parametrize("rows", [[], [(0, "spare", 1)]])
def test_nothing_fits_into_nothing(rows: list[Any]) -> None:
    assert len(fit(timed(rows), 0).kept) == len(rows)
