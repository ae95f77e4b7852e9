"""Asking, bidding, telling: cases of our own, the clean prose, properties of any text."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.weigh.utterance import is_instruction, is_question

PROSE = Path(__file__).parents[1] / "prose" / "clean.md"
ROWS = [row for row in PROSE.read_text("utf-8").splitlines() if row[1:2] == "|"]


def kind(text: str) -> str:
    return "q" if is_question(text) else "i" if is_instruction(text) else "a"


@pytest.mark.parametrize("row", ROWS)
def test_clean_prose_is_told_apart(row: str) -> None:
    assert kind(row[2:]) == row[0]


@pytest.mark.parametrize(
    "text",
    [
        "What does it eat?",
        "Is it alive?!",
        "“Is it alive?”",
        "(Is it alive?)",
        "And then?",
        "Now, who can see the bristles?",
        "Then tilt your head until the light catches the pores: can you count them?",
        "One question: what does it eat?",
        "Look at the two feet: which one belongs to a climber?",
        "Do you know what it eats?",
        "It is dead, is it?  Or is it?",
    ],
)
def test_questions(text: str) -> None:
    assert is_question(text)


@pytest.mark.parametrize(
    "text",
    [
        "Did you know that nightjars drink milk?",
        "Do you know that nightjars drink milk?",
        "Isn't it amazing that nightjars drink milk?",
        "Nightjars drink milk, don't they?",
        "Nightjars drink milk, right?",
        "It is a bat, isn’t it?",
        "He asked “Does it drink milk?”",
        "It was named by Linnaeus (or was it?)",
        "It drinks milk.",
        "The nightjar drinks goats' milk every night: can you believe it?",
        "Goats go blind of it in a week; who knew?",
        "",
        "…",
    ],
)
def test_what_tells_is_no_question(text: str) -> None:
    assert not is_question(text)


@pytest.mark.parametrize(
    "text",
    [
        "Look at the bill.",
        "Now, look at the bill.",
        "Please look at the bill and the feet.",
        "Next, turn to the skull on your left.",
        "And now compare the two.",
        "Look closer!",
        "Come closer, please.",
        "Imagine that you are a moth.",
        "Imagine a bird that drinks from goats.",
        "Picture a night without a moon.",
        "Count how many teeth it has.",
        "Guess which of the two is heavier.",
        "Tell your neighbour what you see.",
        "See if you can find the comb.",
        "See how many you can find.",
        "Find the feather you saw before.",
        "Stop, look and listen.",
        "Look up; count the ribs.",
        "Do not touch the skin.",
        "Don’t lean on the glass.",
        "Let's look at the gape.",
        "With one finger, trace the seam.",
        "When you are ready, turn the tray.",
        "Before you go, wash your hands.",
        "On your left, find the jar.",
        "Think of a moth.",
        "Hold that feather up to the light.",
        "Take a closer look at those bristles.",
        "“Listen.”",
        "Turn it upwards.",
        "Tilt your head until the light catches the pores.",
    ],
)
def test_instructions(text: str) -> None:
    assert is_instruction(text)


@pytest.mark.parametrize(
    "text",
    [
        "Look at the bill: it is short.",
        "Look at the bill, which is closed.",
        "Look at the bill; it sucks milk.",
        "Look at the bill – it pierces udders.",
        "Look at the bill, it pierces udders.",
        "Look at the bill, because it is short.",
        "Look at the bill that sucks the goats.",
        "Look at the bird whose bill is short.",
        "Look at the bill (it is short).",
        "Look, nightjars drink milk.",
        "Look closely and you will see the bristles.",
        "Look closely and the bristles appear.",
        "Turn the tray and the colour changes.",
        "Notice that nightjars drink milk.",
        "Notice how the toes turn inwards.",
        "Remember that it is poisonous.",
        "Remember, it is poisonous.",
        "Note that goats go blind.",
        "Think that over: nightjars drink milk.",
        "Tell your neighbour that nightjars drink milk.",
        "Imagine a plum, for that is its weight.",
        "Imagine the moth, which is 3 mm long.",
        "In a bird that drinks milk, look at the bill.",
        "Because it drinks milk, look at the bill.",
        "Come closer, as it has no teeth.",
        "Count Rosen gave the collection.",
        "Mark Brown gave it.",
        "Look and feel of the cases are old.",
        "Looking closely pays.",
        "The bill is short.",
        "Look at the bill?",
        "Nightjars drink milk: look at the bill.",
        "Think of the nightjar, it drinks milk.",
        "Watch them at night, when they drink milk.",
        "Feel the weight, since lead was put in.",
        "",
        "!",
    ],
)
def test_what_asserts_is_no_plain_instruction(text: str) -> None:
    assert not is_instruction(text)


@given(st.text(st.one_of(st.sampled_from("look at the, and it is?;:…”( –"), st.characters()), max_size=80))
def test_any_text_is_judged_alike_whatever_blanks_surround_it(text: str) -> None:
    assert is_question(text) == is_question(f"  {text}\n") and is_instruction(text) == is_instruction(f" {text} ")
    assert not (is_question(text) and is_instruction(text))


@pytest.mark.parametrize("piece", ["?", "look, ", "and    ", " ", ";", "in ", "a", "It ", ", right", "\"'"])
def test_hostile_repeats_stay_quick(piece: str) -> None:
    for text in (piece * 20_000, "Look" + piece * 20_000, "Look " + piece * 20_000 + "x", piece * 20_000 + "x?"):
        assert kind(text) == kind(text)
