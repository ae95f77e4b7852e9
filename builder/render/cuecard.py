"""Cue cards as a PDF.

In: the data of a set of cards, pictures by name. Out: the bytes: A6 four to an A4, or A5 two to an A4. A picture that
cannot be set is left out of the cards; its pins are still in the words.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from builder.compose.cuecard import CueCards
from builder.render.typeset import settable, typeset

Size = Literal["a6", "a5"]


def print_cards(
    cards: CueCards, pictures: Mapping[str, bytes], *, language: str, size: Size = "a6", large: bool = False,
    draft: bool = False,
) -> bytes:  # fmt: skip
    """The cards of a talk; large print is set on A5."""
    usable = settable(pictures)
    shown = [
        {**card, "items": [item for item in card["items"] if item["kind"] != "figure" or item["file"] in usable]}
        for card in cards["cards"]
    ]
    data = {**cards, "cards": shown, "size": "a5" if large else size, "text": 20 if large else 15}
    return typeset(
        "cuecard", data, title=f"Cue cards: {cards['name']}", language=language, draft=draft, pictures=usable
    )
