"""Search a finished site for everything that must not be in it: the second lock behind the allow-list.

In: the folder of a finished site and the sieve of all withheld values. Out: a problem for each value found, naming the
field that it belongs to and the finished file; and one for each file that cannot be opened. Read is every file whatever
its name ends in (`builder.publish.unpack` says how), and the names themselves.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from builder.problem import ERROR, Place, Problem
from builder.publish.unpack import Sealed, words_of
from builder.resolve.sieve import Hit, Sieve
from builder.spread import spread

CHECKS = {
    "store": "store-location-shown",
    "place": "locality-too-precise",
    "coordinates": "locality-too-precise",
    "name": "private-name-shown",
}
BATCH = 2 * 1024 * 1024
"""Bytes of files that one process searches before it is handed more."""


def scan_site(site: Path, sieve: Sieve, records: str, *, reference: Collection[str] = ()) -> list[Problem]:
    """Every withheld value found in the site, by file. `records` is the folder of the records, for the message.

    `reference` are the pages on our checks: their examples are the program's own and know nothing of the museum.
    """

    def search(paths: Sequence[Path]) -> list[Problem]:
        found = []
        for path in paths:  # one at a time: a site may be larger than the memory
            found += scan_files({path.relative_to(site).as_posix(): path.read_bytes()}, sieve, records)
        return found

    paths = [path for path in _files(site) if path.relative_to(site).as_posix() not in reference]
    return [problem for found in spread(search, _batches(paths)) for problem in found]


def scan_files(files: Mapping[str, bytes], sieve: Sieve, records: str) -> list[Problem]:
    """The same for files that are not written yet, by name."""
    found = []
    for name, data in files.items():
        try:
            once = {(hit.withheld.record, hit.withheld.path): hit for hit in _hits(data, name, sieve)}
            found += [_problem(hit, name, records) for hit in once.values()]
        except Sealed as fault:
            found.append(_sealed(name, fault))
    return found


def _files(site: Path) -> Iterator[Path]:
    for where, folders, names in os.walk(site):
        folders.sort()
        yield from (Path(where, name) for name in sorted(names))


def _batches(paths: Iterable[Path]) -> list[list[Path]]:
    """The files in their order, so many together that they come to about the same size."""
    batches: list[list[Path]] = [[]]
    size = 0
    for path in paths:
        if size > BATCH:
            batches.append([])
            size = 0
        batches[-1].append(path)
        size += path.stat().st_size
    return batches


def _hits(data: bytes, name: str, sieve: Sieve) -> Iterator[Hit]:
    yield from sieve.scan_file(name.replace("/", " / ").replace("-", " "))
    for text in words_of(data):
        yield from sieve.scan_file(text)


def _sealed(name: str, fault: Sealed) -> Problem:
    message = f"nobody can say whether this file holds what is withheld: {fault}"
    mend = "save it anew in an open form, without a password, or leave it out"
    return Problem("unreadable-file", message, mend, severity=ERROR, place=Place(name))


def _problem(hit: Hit, name: str, records: str) -> Problem:
    kept = hit.withheld
    message = f"the finished file holds “{hit.words}”, which is withheld: `{kept.field}` of the record `{kept.record}`"
    mend = (
        f"find the text that says so and take it out; it may stand in a prose page, a drawing or {records}/museum.yml"
    )
    return Problem(CHECKS[kept.kind], message, mend, severity=ERROR, place=Place(name))
