"""The passage that a quotation was taken from, with the quoted words marked in it.

In: the quotation and the excerpt of its source. Out: stretches of the excerpt, quoted or not. Where it is long,
only what stands around the quotation is shown, and it says so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from rapidfuzz import fuzz

WHOLE = 1200
"""Characters of an excerpt that is shown whole (our choice)."""
AROUND = 400
_GAP = re.compile(r"\s*(?:\[\s*(?:…|\.{3}|sic)\s*\]|\(\s*(?:…|\.{3})\s*\)|…|(?:\.\s?){3,})\s*")
_LIKE = {"'": "['‘’′`´]", '"': '["“”„″«»]', "-": "[-‐‑‒–—―−\u00ad]"}
_SAME = str.maketrans({**dict.fromkeys("‘’′`´", "'"), **dict.fromkeys("“”„″«»", '"'), **dict.fromkeys("‐‑‒–—―−", "-")})
SURE = 92.0
"""Likeness of 100 from which words that differ in print alone count as the quoted ones."""


@dataclass(frozen=True)
class Passage:
    """An excerpt, cut around what is quoted: stretches and whether they are quoted. `found` is the share of the
    quotation that was found: all of it, part of it, or none."""

    stretches: tuple[tuple[str, bool], ...]
    found: str
    cut: bool


def find_passage(quote: str, excerpt: str) -> Passage:
    """The passage of a quotation; of none (empty) where only the excerpt is to be shown."""
    text = excerpt.strip()
    spans: list[tuple[int, int]] = []
    parts = [part for part in _GAP.split(quote.strip()) if any(c.isalnum() for c in part)]
    at = lost = 0
    for part in parts:
        span = _span(part, text, at)
        if span is None:
            lost += 1
            continue
        spans.append(span)
        at = span[1]
    found = "all" if parts and not lost else "part" if spans else "none"
    start, end = 0, len(text)
    if len(text) > WHOLE:
        first, last = (spans[0][0], spans[-1][1]) if spans else (0, 0)
        start, end = _word(text, first - AROUND, back=True), _word(text, last + AROUND, back=False)
    stretches: list[tuple[str, bool]] = []
    at = start
    for low, high in spans:
        if at < low:
            stretches.append((text[at:low], False))
        stretches.append((text[low:high], True))
        at = high
    if at < end:
        stretches.append((text[at:end], False))
    return Passage(tuple(stretches), found, (start, end) != (0, len(text)))


def _span(part: str, text: str, at: int) -> tuple[int, int] | None:
    """Where the words of a part stand from `at` on: to the letter but for spaces, quotation marks and dashes; else the
    words most like them."""
    core = part.strip(" \t\n\"'“”‘’.,;:")
    if not core:
        return None
    signs = (r"\s+" if c.isspace() else _LIKE.get(c, re.escape(c)) for c in re.sub(r"\s+", " ", core.translate(_SAME)))
    found = re.compile("".join(signs), re.IGNORECASE).search(text, at)
    if found:
        return found.span()
    if len(core) > len(text) - at or len(text) > 20_000:
        return None
    near = fuzz.partial_ratio_alignment(core, text[at:], score_cutoff=SURE)
    return (at + near.dest_start, at + near.dest_end) if near else None


def _word(text: str, at: int, *, back: bool) -> int:
    """The nearest edge of a word, away from the middle."""
    if at <= 0:
        return 0
    if at >= len(text):
        return len(text)
    edge = text.rfind(" ", 0, at) + 1 if back else text.find(" ", at)
    return len(text) if edge < 0 else edge
