"""Where captions break: by the rules of the BBC Subtitle Guidelines, and the cheapest cut in all."""

from __future__ import annotations

from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.weigh.breaking import (
    CLAUSE,
    INSEPARABLE,
    LINE_CHARACTERS,
    LOOSE,
    SENTENCE,
    TIED,
    break_cost,
    break_lines,
    cut_captions,
)


@pytest.mark.parametrize(
    "pair", ["the|bird", "in|water", "it|eats", "a|wing", "60|mm", "C.|europaeus", "Gilbert|White"]
)
def test_pairs_that_stay_together(
    pair: str,
) -> None:  # BBC Subtitle Guidelines: article and noun, preposition and phrase, pronoun and verb
    before, after = pair.split("|")
    assert break_cost(before, after) >= TIED - 1


def test_the_best_breaks_come_first() -> None:
    assert SENTENCE < CLAUSE < LOOSE < TIED < INSEPARABLE
    assert break_cost("moths.", "So") == SENTENCE and break_cost("night,", "moths") == CLAUSE
    assert break_cost("caught", "and") < break_cost("large", "moths") < break_cost("the", "moths")


def test_two_lines_at_most_each_of_37_characters() -> None:  # BBC Subtitle Guidelines
    words = "The small ones, below 25 mm, turn up less often than expected.".split()
    lines, _ = break_lines(words, [break_cost(a, b) for a, b in pairwise(words)]) or ((), 0)
    assert lines == ("The small ones, below 25 mm,", "turn up less often than expected.")
    assert break_lines(["abcdefghij"] * 8, [0] * 8) is None


WORDS = st.lists(st.text("abcdef", min_size=1, max_size=12), min_size=1, max_size=9)


@given(WORDS, st.lists(st.integers(0, 60), min_size=9, max_size=9), st.integers(0, 30))
def test_the_cut_is_the_cheapest_of_all(words: list[str], bound: list[int], each: int) -> None:
    """Held to a search through every way to cut."""

    def cost(cuts: list[tuple[int, int]]) -> int | None:
        whole = 0
        for first, end in cuts:
            laid = break_lines(words[first:end], bound[first:end])
            if laid is None:
                return None
            whole += laid[1] + each + (0 if end == len(words) else bound[end - 1] * 6)
        return whole

    found = cut_captions(words, bound[: len(words)], lambda first, end: each)
    assert [word for first, end, _ in found for word in words[first:end]] == words
    every = []
    for choice in product((False, True), repeat=len(words) - 1):
        ends = [place + 1 for place, cut in enumerate(choice) if cut] + [len(words)]
        every.append(cost(list(zip([0, *ends[:-1]], ends, strict=True))))
    assert cost([(first, end) for first, end, _ in found]) == min(one for one in every if one is not None)


@given(
    st.lists(st.text(st.characters(codec="utf-8", exclude_categories=["Z", "C"]), min_size=1, max_size=60), max_size=40)
)
def test_no_line_is_too_long_but_that_of_a_single_word(words: list[str]) -> None:
    bound = [break_cost(word, following) for word, following in zip(words, [*words[1:], "x"], strict=False)]
    for first, end, lines in cut_captions(words, bound, lambda first, end: 1):
        assert 1 <= len(lines) <= 2 and " ".join(lines) == " ".join(words[first:end])
        assert all(len(line) <= LINE_CHARACTERS or line in words for line in lines)
