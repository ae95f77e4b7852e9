"""How long a text is: words as an editor counts them.

In: visible text, or a piece. Out: counts, and the sentences that are spoken. A word is what stands between blanks and
holds a letter or a digit: "12.5" and "goat-milker" are one word each, "%" and "–" none.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.model.piece import Block, Piece, Sentence


def count_words(text: str) -> int:
    """The words of a text."""
    return sum(token.isalnum() or any(map(str.isalnum, token)) for token in text.split())


def is_spoken(piece: Piece, block: Block) -> bool:
    """Whether a block is said aloud: all of a talk but its headings; of a script not its quotes, which are seen."""
    use = piece.front.piece
    return (use == "talk" and block.kind != "heading") or (use == "script" and block.kind in ("paragraph", "item"))


def spoken_sentences(piece: Piece) -> Iterator[Sentence]:
    """The sentences of a talk or script that are said aloud."""
    for block in piece.blocks:
        if is_spoken(piece, block):
            yield from block.sentences
