"""Make text plain, so that one and the same thing looks one and the same however it was written.

In: text of any kind, also HTML, JSON or an address. Out: the text with entities, JSON escapes and percent escapes
resolved, accents taken off, ligatures opened, dashes, quotes, primes, blanks and digits made plain, and unseen
characters deleted. Capitals stay. Nothing is refused; text that is plain already comes back as it is.
"""

from __future__ import annotations

import html
import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from urllib.parse import unquote

PIECE = re.compile(r"&#?\w{1,32};|\\u[0-9a-fA-F]{4}|(?:%[0-9a-fA-F]{2})+|[\s\S]")
ESCAPE = re.compile(r"\\u([0-9a-fA-F]{4})")
PERCENT = re.compile(r"(?:%[0-9a-fA-F]{2})+")
FOREIGN = re.compile(r"[^\x00-\x7f]+")
BREAK = re.compile(r"<wbr\s*/?>|&shy;|&#173;|&#xad;", re.IGNORECASE)
BREAK_IN_WORD = re.compile(r"-\s+(?=[a-z])")
FIRST_HALF = re.compile(r"[^\W\d_]+$")
SECOND_HALF = re.compile(r"[a-z]+")
AROUND = 200
"""Characters on either side of a broken word that are looked at with it."""
PLAIN = str.maketrans(
    {
        **dict.fromkeys("‐‑‒–—―−﹣－", "-"),
        **dict.fromkeys("‘’‚‛′ʹʼ´｀", "'"),
        **dict.fromkeys("“”„‟″ʺ˝«»", '"'),
        **dict.fromkeys("º˚∘", "°"),
        "·": ".",  # the raised decimal point of older British texts
        "ß": "ss", "ẞ": "SS", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "ø": "o", "Ø": "O", "đ": "d", "Đ": "D",
        "ð": "d", "Ð": "D", "þ": "th", "Þ": "Th", "ł": "l", "Ł": "L", "ı": "i",
    }
)  # fmt: skip


def fold(text: str) -> str:
    """The text made plain."""
    if "&" in text:
        text = html.unescape(BREAK.sub("", text))
    if "\\u" in text:
        text = ESCAPE.sub(lambda found: chr(int(found[1], 16)), text)
    if "%" in text:
        text = PERCENT.sub(lambda found: unquote(found[0]), text)
    return text if text.isascii() else FOREIGN.sub(lambda found: _fold_run(found[0]), text)


def fold_mapped(text: str) -> tuple[str, list[int]]:
    """The text made plain, and for each of its characters the index it came from; one more for the end."""
    parts: list[str] = []
    origin: list[int] = []
    for found in PIECE.finditer(text):
        part = fold(found[0])
        parts.append(part)
        origin.extend([found.start()] * len(part))
    return "".join(parts), [*origin, len(text)]


def broken_words(plain: str) -> Iterator[tuple[str, int, int, int]]:
    """Each word that a hyphen breaks at the end of a row: the text around it in one piece, where in that the break was,
    and where the word starts and ends in `plain`.

    Of `Thistle-` at the end of a row and `wick` on the next it makes `Thistlewick`.
    """
    for found in BREAK_IN_WORD.finditer(plain):
        first = FIRST_HALF.search(plain, max(0, found.start() - 40), found.start())
        second = SECOND_HALF.match(plain, found.end())
        if first and second:
            before = plain[max(0, found.start() - AROUND) : found.start()]
            after = BREAK_IN_WORD.sub("", plain[found.end() : found.end() + AROUND])
            yield before + after, len(before), first.start(), second.end()


@lru_cache(maxsize=65536)
def _fold_run(run: str) -> str:
    out = []
    for character in unicodedata.normalize("NFKD", run.translate(PLAIN)).translate(PLAIN):
        kind = unicodedata.category(character)
        if kind in ("Mn", "Cf", "Cs"):
            continue
        if kind == "Nd":
            out.append(str(unicodedata.decimal(character)))
        else:
            out.append(" " if kind == "Zs" else character)
    return "".join(out)
