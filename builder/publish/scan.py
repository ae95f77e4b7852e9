"""Search a finished site for everything that must not be in it: the second lock behind the allow-list.

In: the folder of a finished site and the sieve of all withheld values. Out: a problem for each value found, naming the
field that it belongs to and the finished file. Read is every file whatever its name ends in, and the names themselves:
text as text, what is packed with gzip unpacked, and of pictures and other binary files the words that stand in them
in the clear.
"""

from __future__ import annotations

import codecs
import os
import re
import zlib
from collections.abc import Collection, Iterator
from pathlib import Path

from builder.problem import ERROR, Place, Problem
from builder.resolve.sieve import Hit, Sieve

CHECKS = {
    "store": "store-location-shown",
    "place": "locality-too-precise",
    "coordinates": "locality-too-precise",
    "name": "private-name-shown",
}
UNPACKED = 64 * 1024 * 1024
"""Bytes read of what one packed file holds; a sitemap of a hundred thousand pages has a fifth of that."""
IN_THE_CLEAR = re.compile(rb"[\x20-\x7e\xc3][\x20-\x7e\x80-\xbf\xc3]{9,}")
"""Words in a binary file: long enough not to be chance, in ASCII or the UTF-8 of western Europe."""
FONTS = (b"wOFF", b"wOF2", b"\0\1\0\0", b"OTTO")


def scan_site(site: Path, sieve: Sieve, records: str, *, reference: Collection[str] = ()) -> list[Problem]:
    """Every withheld value found in the site, by file. `records` is the folder of the records, for the message.

    `reference` are the pages on our checks: their examples are the program's own and know nothing of the museum.
    """
    problems = []
    for path in _files(site):
        name = path.relative_to(site).as_posix()
        if name not in reference:
            found = {(hit.withheld.record, hit.withheld.path): hit for hit in _hits(path, name, sieve)}
            problems += [_problem(hit, name, records) for hit in found.values()]
    return problems


def _files(site: Path) -> Iterator[Path]:
    for where, folders, names in os.walk(site):
        folders.sort()
        yield from (Path(where, name) for name in sorted(names))


def _hits(path: Path, name: str, sieve: Sieve) -> Iterator[Hit]:
    yield from sieve.scan_file(name.replace("/", " / ").replace("-", " "))
    yield from sieve.scan_file(text_of(path.read_bytes()))


def text_of(data: bytes) -> str:
    """What a file holds in words, whatever kind of file it is."""
    if data.startswith(b"\x1f\x8b"):
        try:
            data = zlib.decompressobj(wbits=31).decompress(data, UNPACKED)
        except zlib.error:
            return ""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", "replace")
    if b"\0" not in data[:4096]:
        return data.decode("utf-8", "replace")
    found = [] if data.startswith(FONTS) else IN_THE_CLEAR.findall(data)
    return "\n".join(words.decode("utf-8", "replace") for words in found)


def _problem(hit: Hit, name: str, records: str) -> Problem:
    kept = hit.withheld
    message = f"the finished file holds “{hit.words}”, which is withheld: `{kept.field}` of the record `{kept.record}`"
    mend = (
        f"find the text that says so and take it out; it may stand in a prose page, a drawing or {records}/museum.yml"
    )
    return Problem(CHECKS[kept.kind], message, mend, severity=ERROR, place=Place(name))
