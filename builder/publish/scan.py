"""Search a finished site for everything that must not be in it: the second lock behind the allow-list.

In: the folder of a finished site and the sieve of all withheld values. Out: a problem for each value found, naming the
field that it belongs to and the finished file. Read are all files that hold text: HTML, JSON, XML, SVG, scripts, style
sheets, plain text, and what is packed with gzip; file names too.
"""

from __future__ import annotations

import gzip
import os
from collections.abc import Iterator
from pathlib import Path

from builder.problem import ERROR, Place, Problem
from builder.resolve.sieve import Hit, Sieve

TEXTS = (".html", ".json", ".js", ".css", ".xml", ".svg", ".txt", ".md", ".csv", ".vtt", ".ics", ".webmanifest", ".rss",
         ".atom")  # fmt: skip
CHECKS = {
    "store": "store-location-shown",
    "place": "locality-too-precise",
    "coordinates": "locality-too-precise",
    "name": "private-name-shown",
}


def scan_site(site: Path, sieve: Sieve, records: str) -> list[Problem]:
    """Every withheld value found in the site, by file. `records` is the folder of the records, for the message.

    The reference of checks is passed over: its examples are the program's own and know nothing of the museum.
    """
    problems = []
    for path in _files(site):
        name = path.relative_to(site).as_posix()
        if name.startswith("checks/"):
            continue
        found = {(hit.withheld.record, hit.withheld.path): hit for hit in _hits(path, name, sieve)}
        problems += [_problem(hit, name, records) for hit in found.values()]
    return problems


def _files(site: Path) -> Iterator[Path]:
    for where, folders, names in os.walk(site):
        folders.sort()
        yield from (Path(where, name) for name in sorted(names))


def _hits(path: Path, name: str, sieve: Sieve) -> Iterator[Hit]:
    yield from sieve.scan_file(name.replace("/", " / ").replace("-", " "))
    if name.endswith(".gz"):
        try:
            yield from sieve.scan_file(gzip.decompress(path.read_bytes()).decode("utf-8", "replace"))
        except (OSError, EOFError):
            return
    elif name.endswith(TEXTS):
        yield from sieve.scan_file(path.read_text("utf-8", "replace"))


def _problem(hit: Hit, name: str, records: str) -> Problem:
    kept = hit.withheld
    message = f"the finished file holds “{hit.words}”, which is withheld: `{kept.field}` of the record `{kept.record}`"
    mend = (
        f"find the text that says so and take it out; it may stand in a prose page, a drawing or {records}/museum.yml"
    )
    return Problem(CHECKS[kept.kind], message, mend, severity=ERROR, place=Place(name))
