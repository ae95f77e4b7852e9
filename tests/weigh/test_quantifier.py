"""How much, how often: the order of quantifiers, and what is none.

The order all, most, many, some and always, often, sometimes is that of L. R. Horn (1972), as cited by S. C. Levinson,
Pragmatics (1983), pp. 133-134, and by the SIL Glossary of Linguistic Terms (seen); the rest is common practice.
"""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.weigh.quantifier import MANY, MOST, NEARLY_ALL, SOME, find_quantifiers

HORN = ("Some moths fly.", "Many moths fly.", "Most moths fly.", "Nearly all moths fly.")
HORN_OF_TIME = ("Moths sometimes fly.", "Moths often fly.", "Moths usually fly.", "Moths nearly always fly.")


@pytest.mark.parametrize("scale", [HORN, HORN_OF_TIME])
def test_each_stands_above_the_one_before(scale: tuple[str, ...]) -> None:
    found = [find_quantifiers(text)[0] for text in scale]
    assert all(one.strength < other.strength for one, other in itertools.pairwise(found))
    assert {quantifier.time for quantifier in found} == {scale is HORN_OF_TIME}
    assert all(" fly" in quantifier.near for quantifier in found)


@pytest.mark.parametrize(
    ("text", "strength"),
    [
        ("Several skins were bald.", SOME),
        ("A few skins were bald.", SOME),
        ("A lot of skins were bald.", MANY),
        ("Numerous skins were bald.", MANY),
        ("It eats mainly moths.", MOST),
        ("The majority of the skins were bald.", MOST),
        ("Most of them were bald.", MOST),
        ("For the most part it eats moths.", MOST),
        ("The great majority of the skins were bald.", NEARLY_ALL),
        ("It eats almost exclusively moths.", NEARLY_ALL),
        ("Almost every skin was bald.", NEARLY_ALL),
    ],
)
def test_how_much(text: str, strength: int) -> None:
    assert [(found.time, found.strength) for found in find_quantifiers(text)] == [(False, strength)]


@pytest.mark.parametrize(
    "text",
    [
        "It is the most beautiful of birds.",
        "The museum's most visited room is here.",
        "At most 40 animals live there.",
        "Most likely it flew.",
        "How many moths does it eat?",
        "Some 40 animals live there.",
        "Some time later it flew.",
        "Not many moths were left.",
        "It does not often sing.",
        "Few moths were left.",
        "All moths fly.",
        "It was there as many times as before.",
        "Almost 40 animals live there.",
        "",
    ],
)
def test_what_is_no_quantifier(text: str) -> None:
    assert find_quantifiers(text) == ()


@given(
    st.lists(
        st.sampled_from(["almost", "all", "most", "the", "not", "many", "a", "few", "of", " ", ".", "1", "’s"]),
        max_size=30,
    )
)
def test_any_words(words: list[str]) -> None:
    text = " ".join(words)
    for found in find_quantifiers(text):
        assert 0 <= found.start < found.end <= len(text) and SOME <= found.strength <= NEARLY_ALL
