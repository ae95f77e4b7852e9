"""The glossary's terms in a text.

In: a text and the glossary. Out: the terms that occur, with their meanings, in the order of the glossary.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator


def find_terms(text: str, glossary: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """The terms of a glossary that occur in a text as whole words, plain plurals among them."""
    folded = text.casefold()
    for term, meaning in glossary:
        if term.casefold() in folded and re.search(rf"\b{re.escape(term)}(?:s|es)?\b", text, re.IGNORECASE):
            yield term, meaning
