"""How long a text is: words as an editor counts them.

In: visible text, or a piece. Out: counts, and the sentences that are spoken. A word is what stands between blanks and
holds a letter or a digit: "12.5" and "goat-milker" are one word each, "%" and "–" none.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.model.piece import Beat, Block, Piece, Sentence, is_said_aloud
from builder.weigh.timing import spoken_words


def count_words(text: str) -> int:
    """The words of a text."""
    return sum(token.isalnum() or any(map(str.isalnum, token)) for token in text.split())


def is_spoken(piece: Piece, block: Block) -> bool:
    """Whether a block of the piece is said aloud."""
    return is_said_aloud(piece.front.piece, block.kind)


def spoken_sentences(piece: Piece) -> Iterator[Sentence]:
    """The sentences of a talk or script that are said aloud."""
    for block in piece.blocks:
        if is_spoken(piece, block):
            yield from block.sentences


def words_aloud(piece: Piece, beat: Beat) -> int:
    """The words of a beat as they are heard, numbers as spoken."""
    return sum(
        spoken_words(sentence.text) for block in beat.blocks if is_spoken(piece, block) for sentence in block.sentences
    )
