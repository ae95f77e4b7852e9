"""quote-not-found: see quote_not_found.md"""

import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache

from rapidfuzz import fuzz

from builder.check.case import Case
from builder.check.sources.citation import find_citations
from builder.problem import ERROR, WARNING, Problem

NAME, SEVERITY, WAIVABLE = "quote-not-found", ERROR, False
SAME = str.maketrans(
    {**dict.fromkeys("‘’‚‛′`´", "'"), **dict.fromkeys("“”„‟″«»", '"'), **dict.fromkeys("‐‑‒–—―−", "-")}
)
GAP = re.compile(r"\s*(?:\[\s*(?:\.{3}|sic)\s*\]|\(\s*\.{3}\s*\)|(?:\.\s?){3,})\s*")
BROKEN = "\u00ad"
"""A hyphen at the end of a row: part of the word or not, nobody can tell."""
NEAR = 20_000
"""In an excerpt longer than this many characters the nearest words are not looked for, to save time (our choice)."""


def check(case: Case) -> Iterator[Problem]:
    """A quotation that does not stand in the excerpt of its source, or that nobody can compare."""
    for cited in find_citations(case, leads=True):
        source = case.library.sources.get(cited.source)
        if not cited.quote or source is None:
            continue
        path = (*cited.path, "quote")
        if source.excerpt is None:
            message = f"the quotation in {cited.what} cannot be compared: `{cited.source}` has no excerpt"
            mend = f"type the passage into a file in excerpts/ and name it as `excerpt` of `{cited.source}`"
            yield Problem(NAME, message, mend, path=path, severity=WARNING)
            continue
        excerpt = case.library.shared.excerpts.get(source.excerpt)
        if excerpt is None:
            continue  # `unknown-reference` or `unreadable-file` says so
        lost = find_lost_words(cited.quote, excerpt)
        if lost:
            near = _nearest(lost, excerpt)
            message = f"“{_cut(lost)}”, quoted in {cited.what}, does not stand in {source.excerpt}"
            mend = "quote it to the letter, with … where words are left out; or correct the excerpt from the work"
            yield Problem(NAME, message + near, mend, path=path)


def find_lost_words(quote: str, excerpt: str) -> str:
    """The first part of a quotation that the excerpt does not hold at its place; empty where all of it is there.

    Spaces, quotation marks, dashes and hyphens at row ends are evened out; `…` and `[…]` stand for words left out. The
    parts must come in order, begin and end with whole words, and agree in case but for their first letter.
    """
    text, at = _even(excerpt), 0
    parts = [part for part in GAP.split(_even(quote)) if any(c.isalnum() for c in part)]
    if not parts:
        return quote
    for part in parts:
        found = _pattern(part, hyphens=BROKEN in text).search(text, at)
        if not found:
            return part
        at = found.end()
    return ""


@lru_cache(maxsize=1024)
def _even(text: str) -> str:
    """The text with one way of writing each thing that printers and keyboards write in several."""
    text = text.replace(BROKEN, "")
    text = re.sub(r"(?<=\w)[-‐][ \t]*\n\s*(?=\w)", BROKEN, text)
    text = unicodedata.normalize("NFKC", text.translate(SAME)).translate(SAME)
    text = re.sub(r"\s*--?-?\s*", "-", text).replace("''", '"')
    text = re.sub(r"(?<=\d)\s+(?=%)", "", text)
    return " ".join(text.split())


def _pattern(part: str, *, hyphens: bool) -> re.Pattern[str]:
    part = part.strip(" \"'").rstrip(".,;: ").lstrip(" ,;:")
    first, rest = part[:1], part[1:]
    either = f"[{re.escape(first.lower())}{re.escape(first.upper())}]" if first.isalpha() else re.escape(first)
    if len(first.upper()) > 1:
        either = re.escape(first)
    if hyphens:
        letters = [f"[-{BROKEN}]" if c == "-" else f"{BROKEN}?{re.escape(c)}" for c in rest]
        body = either + "".join(letters)
    else:
        body = either + re.escape(rest)
    return re.compile(rf"(?<!\w){body}(?!\w)")


def _nearest(words: str, excerpt: str) -> str:
    """`; the nearest words there are …` where some are near enough to be meant."""
    text = _even(excerpt).replace(BROKEN, "")
    if len(text) > NEAR or len(words) > len(text):
        return ""
    found = fuzz.partial_ratio_alignment(words, text, score_cutoff=60)
    if not found:
        return ""
    start = text.rfind(" ", 0, found.dest_start + 1) + 1
    end = text.find(" ", found.dest_end - 1)
    return f"; the nearest words there are “{_cut(text[start : end if end >= 0 else None])}”"


def _cut(text: str, *, most: int = 80) -> str:
    return text if len(text) <= most else text[: most - 1].rsplit(" ", 1)[0] + "…"
