"""Extremes, hedges and denials: cases of our own, then properties."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.weigh.wording import absolute_words, carries, has_hedge, has_negation

PROSE = Path(__file__).parents[1] / "prose" / "clean.md"
ROWS = [row[2:] for row in PROSE.read_text("utf-8").splitlines() if row[1:2] == "|"]


def extremes(text: str) -> list[str]:
    return [word for word, _, _ in absolute_words(text)]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Nightjars always eat moths.", ["always"]),
        ("It never drinks.", ["never"]),
        ("All nightjars eat every moth.", ["all", "every"]),
        ("It eats only moths.", ["only"]),
        ("Only moths are eaten.", ["only"]),
        ("None was found, and nothing was seen.", ["none", "nothing"]),
        ("No nightjar drinks milk.", ["no"]),
        ("There is no tongue to lap with.", ["no"]),
        ("This proves that it eats moths.", ["proves"]),
        ("The stomach is proof of it.", ["proof"]),
        ("It was first described in 1902.", ["first"]),
        ("It is the largest owl, the oldest and the most poisonous.", ["largest", "oldest", "the most poisonous"]),
        ("It is the country’s most common owl.", ["’s most common"]),
        ("That is impossible.", ["impossible"]),
        ("It must be so, and certainly is.", ["must", "certainly"]),
        ("Its comb is unique.", ["unique"]),
        ("It is certain that it eats moths.", ["certain"]),
        ("It lives entirely on moths, without exception.", ["entirely", "without exception"]),
        ("There is no doubt about it.", ["no doubt"]),
        ("Largest of the owls, it hunts at night.", ["largest"]),
        ("It eats 100 % moths.", ["100 %"]),
        ("Everyone knows it.", ["everyone"]),
        ("The best evidence is old.", ["best"]),
        ("No-one has seen it, nor has nobody.", ["nobody"]),
    ],
)
def test_extremes_are_found(text: str, wanted: list[str]) -> None:
    assert extremes(text) == wanted


@pytest.mark.parametrize(
    "text",
    [
        "It is not at all rare.",
        "We do not know for certain.",
        "It seems that they cannot tell for sure.",
        "Only 5 % of it was carrion.",
        "It is only about 5.5 per cent.",
        "It eats not only moths.",
        "First of all it eats moths.",
        "First, it eats moths.",
        "Almost all nightjars eat moths.",
        "Nearly every moth is eaten.",
        "Most of all it eats moths.",
        "It has no more than ten bristles.",
        "It weighs no less than 70 g.",
        "It is among the largest owls.",
        "It is one of the oldest skins.",
        "It is perhaps the largest owl.",
        "It is not the largest owl.",
        "It isn't always grey.",
        "Not all nightjars eat moths.",
        "It feeds every two hours.",
        "Traps are read every second Monday.",
        "At first it was grey.",
        "At least ten and at most twelve bristles are there.",
        "Most nightjars eat moths.",
        "For the most part it eats moths.",
        "A certain Dr. Brandt made it.",
        "It is almost certainly male.",
        "This does not prove that it eats moths.",
        "It proved to be male.",
        "The nest is in the forest to the west, and the chest of the guest is of interest.",
        "They suggest a test of the crest of the goldcrest.",
        "It was found at Everest and in Budapest.",
        "No, it does not bite.",
        "Skin No. 12 is grey.",
        "The first word is the genus.",
        "Above all it eats moths; after all, it is a nightjar.",
        "Five seeds were found in all.",
        "It is best seen from the side.",
        "It sat on 1 May, the first of May being a feast.",
        "The jar is waterproof.",
    ],
)
def test_idioms_and_softened_extremes_are_let_through(text: str) -> None:
    assert extremes(text) == []


@pytest.mark.parametrize(
    "text",
    [
        "It may eat moths.",
        "It might eat moths.",
        "Perhaps it eats moths.",
        "This suggests that it eats moths.",
        "It seems to eat moths.",
        "It appears to eat moths.",
        "It possibly eats moths.",
        "It probably eats moths.",
        "In one study it ate moths.",
        "One handbook says that it eats moths.",
        "One old paper reports moths.",
        "It is thought to eat moths.",
        "It is likely to eat moths.",
        "According to Brandt it eats moths.",
        "As far as we know it eats moths.",
        "We cannot be sure that it eats moths.",
        "Some authors say that it eats moths.",
        "It could be a moth.",
        "A single study found moths.",
    ],
)
def test_hedges(text: str) -> None:
    assert has_hedge(text)


@pytest.mark.parametrize(
    "text",
    [
        "It eats moths.",
        "It eats about 20 moths.",
        "It eats nearly 20 moths.",
        "It often eats moths.",
        "It was shot in May.",
        "It was shot on 3 may 1911.",
        "The month is May.",
        "It fights with all its might.",
        "The bands appear in July.",
        "It must eat moths.",
        "Two studies found moths.",
        "It could fly.",
        "",
    ],
)
def test_what_does_not_hedge_the_truth(text: str) -> None:
    assert not has_hedge(text)


@pytest.mark.parametrize(
    ("text", "denies"),
    [
        ("It does not eat moths.", True),
        ("It doesn’t eat moths.", True),
        ("It cannot eat moths.", True),
        ("No moth was eaten.", True),
        ("It never eats.", True),
        ("It lacks teeth.", True),
        ("Neither eats moths.", True),
        ("It lives without water.", True),
        ("Not only moths are eaten.", False),
        ("Skin No. 12 is grey.", False),
        ("It eats no more than ten.", False),
        ("There is no doubt.", False),
        ("It is in the north, noted in November.", False),
        ("It eats moths.", False),
    ],
)
def test_denials(text: str, denies: bool) -> None:
    assert has_negation(text) is denies


@pytest.mark.parametrize(
    ("word", "claim", "carried"),
    [
        ("all", "All nightjars eat moths.", True),
        ("every", "All nightjars eat moths.", True),
        ("always", "Each nightjar eats moths.", True),
        ("all", "Almost all nightjars eat moths.", False),
        ("all", "Nightjars eat moths.", False),
        ("only", "It eats nothing but moths.", True),
        ("only", "It eats moths.", False),
        ("only", "It eats not only moths.", False),
        ("no", "It does not drink milk.", True),
        ("never", "Nightjars have no tongue for it.", True),
        ("no", "It drinks milk.", False),
        ("proves", "The trial is proof of it.", True),
        ("proves", "The trial suggests it.", False),
        ("proves", "The trial does not prove it.", False),
        ("impossible", "A nightjar cannot suck.", True),
        ("must", "It has to eat every two hours.", True),
        ("must", "It eats every two hours.", False),
        ("first", "Brandt described it before any other.", True),
        ("first", "It was the earliest description.", True),
        ("first", "Brandt described it.", False),
        ("largest", "It is the biggest owl.", True),
        ("largest", "It is larger than any other owl.", True),
        ("largest", "It is one of the largest owls.", False),
        ("largest", "It is a large owl.", False),
        ("brightest", "It is brighter than all others.", True),
        ("the most poisonous", "It is Europe's most poisonous toad.", True),
        ("the most poisonous", "It is poisonous.", False),
        ("unique", "No other bird has it, and it alone.", True),
    ],
)
def test_what_a_claim_carries(word: str, claim: str, carried: bool) -> None:
    assert carries(word, ["Another text.", claim]) is carried
    assert not carries(word, [])


def test_a_claim_carries_its_own_extremes() -> None:
    for row in ROWS:
        for word in extremes(row):
            assert carries(word, [row]), (word, row)


@given(st.text(st.one_of(st.sampled_from("all no first est ’s most"), st.characters()), max_size=80))
def test_extremes_stand_where_they_say(text: str) -> None:
    end = 0
    for word, start, stop in absolute_words(text):
        assert end <= start < stop <= len(text)
        assert " ".join(text[start:stop].lower().split()) == word
        end = stop
    assert has_hedge(text) in (True, False) and has_negation(text) in (True, False)


@given(st.sampled_from(ROWS), st.sampled_from(ROWS))
def test_joined_sentences_hold_the_extremes_of_both(first: str, second: str) -> None:
    assert extremes(f"{first} And so: {second}")[: len(extremes(first))] == extremes(first)


@pytest.mark.parametrize("piece", ["no ", "the most ", "a", "one ", " ", "is ", "est", "not "])
def test_hostile_repeats_stay_quick(piece: str) -> None:
    text = piece * 20_000 + "x"
    absolute_words(text)
    has_hedge(text)
    has_negation(text)
    assert text.endswith("x")
