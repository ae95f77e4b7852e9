"""Sources in words: full entries by a CSL style, and short ones for the running text.

In: the CSL fields of sources, and a style (ours, or the museum's own `.csl`). Out: for each source its entry as styled
runs. Uses citeproc-py. What an author wrote is never read as markup: its angle brackets and ampersands are set aside
before formatting and put back after.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Mapping
from importlib.resources import files
from io import BytesIO
from typing import Any

from builder.model.source import OURS, Source

Run = tuple[str, str]
"""Text, and `""`, `em`, `strong`, `sup` or `sub`."""

ASIDE = str.maketrans({"<": "\ue000", ">": "\ue001", "&": "\ue002"})
BACK = str.maketrans({"\ue000": "<", "\ue001": ">", "\ue002": "&"})
TAG = re.compile(r"</?(?:i|b|sup|sub|u|l|span)(?: style=\"[^\"]*\")?>")
STYLES = {"<i>": "em", "<b>": "strong", "<sup>": "sup", "<sub>": "sub"}
DATES = ("issued", "original-date", "accessed")


class BadStyle(Exception):
    """The museum's CSL style cannot be used; the message says why."""


def csl_fields(source: Source) -> dict[str, Any]:
    """The CSL fields of a source as plain data, dates still as written."""
    plain: dict[str, Any] = source.model_dump(by_alias=True, exclude_defaults=True, mode="json", exclude=set(OURS))
    return plain


def own_style() -> bytes:
    """The style that comes with the program."""
    return files("builder.render").joinpath("vouchered.csl").read_bytes()


def format_sources(fields: Mapping[str, Mapping[str, Any]], style: bytes) -> dict[str, tuple[Run, ...]]:
    """The entry of every source, by id. Raises `BadStyle`."""
    from citeproc import Citation, CitationItem, CitationStylesBibliography, CitationStylesStyle, formatter
    from citeproc.source.json import CiteProcJSON

    if not fields:
        return {}
    # citeproc-py sorts and numbers by key: keys of our own keep the order and free ids of its lower-casing
    keys = {f"k{index}": name for index, name in enumerate(fields)}
    items = [_item(key, fields[name]) for key, name in keys.items()]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            sheet = CitationStylesStyle(BytesIO(style), validate=False)
            bibliography = CitationStylesBibliography(sheet, CiteProcJSON(items), formatter.html)
            cited = {key: CitationItem(key) for key in keys}
            for item in cited.values():
                bibliography.register(Citation([item]))
            # one at a time: an entry in which nothing is known would be dropped from a joint list
            entries = ["".join(map(str, sheet.render_bibliography([item]))) for item in cited.values()]
    except Exception as fault:  # the library raises whatever a strange style leads it to
        raise BadStyle(f"the citation style cannot be used: {type(fault).__name__}: {fault}") from fault
    return {name: _runs(entry) or (("untitled", ""),) for name, entry in zip(keys.values(), entries, strict=True)}


def _item(key: str, fields: Mapping[str, Any]) -> dict[str, Any]:
    item: dict[str, Any] = {"id": key}
    for name, value in fields.items():
        if name in DATES:
            item[name] = _date(value)
        elif isinstance(value, list):
            item[name] = [{part: str(text).translate(ASIDE) for part, text in person.items()} for person in value]
        else:
            item[name] = str(value).translate(ASIDE)
    return item


def _date(text: str) -> dict[str, Any]:
    found = re.fullmatch(r"(-?\d{1,4})(?:-(\d\d))?(?:-(\d\d))?([?~%]?)", text)
    if not found:
        interval = re.fullmatch(r"(\d{4})/(\d{4})", text)
        if interval:
            return {"date-parts": [[int(interval[1])], [int(interval[2])]]}
        return {"literal": text.translate(ASIDE)}
    parts = [int(part) for part in found.groups()[:3] if part]
    return {"date-parts": [parts], "circa": 1} if found[4] else {"date-parts": [parts]}


def _runs(entry: str) -> tuple[Run, ...]:
    runs: list[Run] = []
    open_styles: list[str] = []
    at = 0
    for tag in TAG.finditer(entry):
        _add(runs, entry[at : tag.start()], open_styles)
        if not tag.group().startswith("</"):
            open_styles.append(STYLES.get(tag.group(), ""))
        elif open_styles:
            open_styles.pop()
        at = tag.end()
    _add(runs, entry[at:], open_styles)
    return tuple(runs)


def _add(runs: list[Run], text: str, open_styles: list[str]) -> None:
    text = text.replace("&#160;", "\u00a0").replace("&#38;", "&").translate(BACK)
    if text:
        runs.append((text, next((style for style in reversed(open_styles) if style), "")))


def short_citation(fields: Mapping[str, Any]) -> str:
    """Author and year for the running text: `Sierro and others 2001`; the title where there is no author."""
    people = [_surname(person) for person in fields.get("author") or fields.get("editor") or ()]
    if not people:
        title = str(fields.get("title-short") or fields.get("title") or "untitled")
        who = title if len(title) <= 48 else title[:47].rsplit(" ", 1)[0] + "…"
    elif len(people) <= 2:
        who = " and ".join(people)
    else:
        who = f"{people[0]} and others"
    return f"{who} {short_year(fields)}".strip()


def short_year(fields: Mapping[str, Any]) -> str:
    """The year of issue for the running text, `n.d.` where none is known."""
    issued = str(fields.get("issued", ""))
    found = re.match(r"(-?)0*(\d{1,4})", issued)
    if not found:
        return "n.d."
    return f"{found[2]} BC" if found[1] else found[2]


def _surname(person: Mapping[str, str]) -> str:
    if "literal" in person:
        return person["literal"]
    particle = person.get("non-dropping-particle")
    family = person.get("family") or person.get("given") or ""
    return f"{particle} {family}" if particle else family
