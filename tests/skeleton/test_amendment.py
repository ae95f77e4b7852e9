"""Corrections as text: they can be read, nothing that a person wrote moves, and a tick is one line more."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.load.shape import shape
from builder.load.yamltext import read_yaml
from builder.model.correction import Correction, Corrections
from builder.skeleton.amendment import HEAD, place_of, suggest_key, tick_place, write_correction

PLAIN = {
    "piece": "newt/label",
    "claim": "moths",
    "was": "Newts eat 4 % moths: mostly #1",
    "now": "no",
    "why": "- a misprint",
    "who": "c-keeper",
    "date": "2026-10-02",
    "places": [{"where": "Gallery 1, case 4", "of": "newt/label", "do": "reprint"}, {"where": "web page, newt"}],
}
NEW = Correction.model_validate(PLAIN)
BY_HAND = """\
# ours, by hand

old:   # the first
  piece: newt/page
  was: "a"
  now: 'b'
  why: >-
    because
    of it
  who: c-keeper
  date: 2026-01-02
  places:
    - {where: web page, of: newt/page}   # soon
    - where: Gallery 2
      do: |
        reprint

    -   where: the long
          hall   # far away
# the end"""


def read(text: str) -> dict[str, Correction]:
    tree = read_yaml(text)
    model, problems, _ = shape(tree.value, Corrections)
    assert not problems and not tree.faults and model is not None
    return model.root


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("text", ["", BY_HAND, BY_HAND + "\n\n\n", HEAD, "\ufeff" + BY_HAND])
def test_a_correction_goes_to_the_end_and_not_a_byte_moves(text: str, end: str) -> None:
    text = text.replace("\n", end)
    made = write_correction(text, "new", NEW)
    assert made.startswith(text) and read(made)["new"] == NEW
    assert list(read(made))[-1] == "new" and len(read(made)) == (2 if "old:" in text else 1)
    if end in text:
        assert made.count("\n") == made.count(end), "the line ends stay what they were"


def test_line_ends_that_differ_are_left_as_they_are() -> None:
    text = BY_HAND.replace("\n", "\r\n", 3)
    assert write_correction(text, "new", NEW).startswith(text)
    assert tick_place(text, "old", 2, "2026-02-03").replace("      done: 2026-02-03\r\n", "") == text


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("number", [1, 2, 3])
@pytest.mark.parametrize("start", ["", "\ufeff"])
def test_a_tick_adds_and_moves_nothing(number: int, end: str, start: str) -> None:
    text = start + BY_HAND.replace("\n", end)
    made = tick_place(text, "old", number, "2026-02-03")
    places = read(made)["old"].places
    assert [place.done for place in places] == ["2026-02-03" if n == number else None for n in (1, 2, 3)]
    assert [place.where for place in places] == ["web page", "Gallery 2", "the long hall"]
    added = next(part for part in (", done: 2026-02-03", f"done: 2026-02-03{end}") if part in made)
    assert made.replace(added, "").replace(" ", "") == text.replace(" ", "")
    again = tick_place(tick_place(made, "old", number % 3 + 1, "2026-02-04"), "old", (number + 1) % 3 + 1, "2026-02-05")
    assert not read(again)["old"].unticked


def test_what_is_written_can_be_ticked_to_the_end() -> None:
    text = write_correction("", "new", NEW)
    assert "done" not in text.removeprefix(HEAD)
    for number in (2, 1):
        text = tick_place(text, "new", number, f"2026-10-0{number + 2}")
    assert not read(text)["new"].unticked
    with pytest.raises(ValueError, match="no place 3"):
        tick_place(text, "new", 3, "2026-10-05")
    with pytest.raises(ValueError, match="added"):
        tick_place(text, "new", 1, "2026-10-05")  # a second tick would be a second `done`


@pytest.mark.parametrize(
    "text", ["a: [1\n", "{a: 1}\n", "- a\n", "a: |+\n  x\n\n", "a: 1\n...\n", "a: 1\n---\nb: 2\n", "words\n"]
)
def test_what_cannot_take_an_addition_is_refused(text: str) -> None:
    """Or takes it without harm: the last block keeps its blank lines as the words of its text."""
    try:
        made = write_correction(text, "new", NEW)
    except ValueError:
        return
    assert made.startswith(text) and read_yaml(made).value["new"]["now"] == "no"  # type: ignore[index,call-overload]


WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Cn", "Co", "Cf", "Zl", "Zp")), min_size=1, max_size=40
).filter(str.strip)


@settings(max_examples=150, deadline=None)
@given(WORDS, WORDS, WORDS)
def test_any_words_come_back_as_they_were(was: str, why: str, where: str) -> None:
    new = Correction.model_validate({**PLAIN, "was": was, "why": why, "places": [{"where": where}]})
    text = write_correction(BY_HAND, "new", new)
    back = read(tick_place(text, "new", 1, "2026-12-01"))["new"]
    assert [" ".join(t.split()) for t in (back.was, back.why)] == [" ".join(t.split()) for t in (new.was, new.why)]
    assert back.places[0].where == new.places[0].where and back.places[0].done == "2026-12-01"


def test_a_place_is_found_by_number_or_words() -> None:
    assert place_of(NEW, "2") == 2 and place_of(NEW, "gallery 1, CASE 4") == 1 and place_of(NEW, "web") == 2
    for words in ("3", "0", "e", "cellar"):
        with pytest.raises(ValueError, match="1 Gallery 1, case 4; 2 web page, newt"):
            place_of(NEW, words)
    twins = Correction.model_validate({**PLAIN, "places": [{"where": "Hall", "done": "2026-10-03"}, {"where": "Hall"}]})
    assert place_of(twins, "hall") == 2, "of two of one name the one that waits is meant"


def test_ids_are_new() -> None:
    assert suggest_key("2026-10-02", "newt", "label", ()) == "2026-10-02-newt-label"
    assert suggest_key("2026-10-02", "newt", "label", ["2026-10-02-newt-label"]) == "2026-10-02-newt-label-2"
    assert len(suggest_key("2026-10-02", "n" * 80, "label", ())) <= 80
