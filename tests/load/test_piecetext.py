"""Simple text is read without the Markdown parser, and exactly as the parser would have it read."""

from __future__ import annotations

import re
from unittest import mock

from hypothesis import example, given
from hypothesis import strategies as st

from builder.load import piecetext
from builder.load.piecetext import SIMPLE, read_blocks

NEVER = re.compile(r"(?!)")
PARTS = st.sampled_from(
    [*("The newt", "eats moths", ".", "?", " ", "  ", "\n", "\n\n", "\t", "[^moths]", "[^pond.milk]", "[^aside]", "[^"),
     *("]", "(", ")", "x^2", "#", "- ", "2. ", "> ", "## Head {keep=always}\n", "~", "|", "$", "{a}", "é", "\u2028"),
     *("\x0b", "*em*", "`code`", "[the bill](look:bill)", "&amp;", "<b>", "!", "\\")]
)  # fmt: skip


@given(st.lists(PARTS, max_size=14).map("".join), st.integers(0, 2))
@example("Moths.[^moths]Beetles too.[^aside]\nAnd snails.[^pond.milk]", 0)
def test_simple_text_is_read_as_the_parser_reads_it(text: str, before: int) -> None:
    lines = ["---"] * before + text.split("\n")
    quickly = read_blocks(lines, before)
    with mock.patch.object(piecetext, "SIMPLE", NEVER):
        assert read_blocks(lines, before) == quickly


def test_what_is_simple() -> None:
    for text in ("", "Moths.", "Moths.[^moths]\nBeetles, 3 % of them (x^2): {a} #1.[^aside]"):
        assert SIMPLE.fullmatch(text), text
    for text in ("*em*", "a \nb", "a\n b", "[a](look:a)", "a\\", "&amp;", "!", "[^ a]", "`", "<", "_"):
        assert not SIMPLE.fullmatch(text), text


def test_nothing_takes_long() -> None:
    """Possessive repeats: a text that is almost simple is given up at once, however long."""
    assert not SIMPLE.fullmatch("[^moths]" * 20_000 + "*")
    assert not SIMPLE.fullmatch("a" * 200_000 + "\n ")
