"""Sources in words: full entries by a CSL style.

In: the CSL fields of sources, and a style (ours, or the museum's own `.csl`). Out: for each source its entry as styled
runs. Uses citeproc-py. What an author wrote is never read as markup: its angle brackets and ampersands are set aside
before formatting and put back after.
"""

from __future__ import annotations

import hashlib
import json
import re
import warnings
from collections.abc import Mapping
from importlib.resources import files
from io import BytesIO
from typing import Any

Run = tuple[str, str]
"""Text, and `""`, `em`, `strong`, `sup` or `sub`."""

ASIDE = str.maketrans({"<": "\ue000", ">": "\ue001", "&": "\ue002"})
BACK = str.maketrans({"\ue000": "<", "\ue001": ">", "\ue002": "&"})
TAG = re.compile(r"</?(?:i|b|sup|sub|u|l|span)(?: style=\"[^\"]*\")?>")
STYLES = {"<i>": "em", "<b>": "strong", "<sup>": "sup", "<sub>": "sub"}
DATES = ("issued", "original-date", "accessed")


class BadStyle(Exception):
    """The museum's CSL style cannot be used; the message says why."""


def own_style() -> bytes:
    """The style that comes with the program."""
    return files("builder.render").joinpath("vouchered.csl").read_bytes()


class Entries:
    """The full entries of sources by one style, each formatted once. Raises `BadStyle` when the style is of no use.

    `known` are entries formatted before, by the digest that `key` gives.
    """

    def __init__(self, style: bytes, known: Mapping[str, Any] | None = None) -> None:
        self._style = style
        self._digest = hashlib.blake2b(style, digest_size=8).hexdigest()
        self._sheet: Any = None
        self.known: dict[str, Any] = dict(known or {})
        self.asked: dict[str, Any] = {}

    def key(self, fields: Mapping[str, Any]) -> str:
        """What an entry is remembered under: its fields and the style."""
        text = json.dumps(fields, sort_keys=True, ensure_ascii=False)
        return f"{self._digest}{hashlib.blake2b(text.encode(), digest_size=12).hexdigest()}"

    def entry(self, fields: Mapping[str, Any]) -> tuple[Run, ...]:
        """The entry of a source, from its CSL fields."""
        key = self.key(fields)
        if key not in self.known:
            self.known[key] = self._format(fields)
        self.asked[key] = self.known[key]
        return tuple((text, style) for text, style in self.known[key])

    def _format(self, fields: Mapping[str, Any]) -> tuple[Run, ...]:
        from citeproc import Citation, CitationItem, CitationStylesBibliography, CitationStylesStyle, formatter
        from citeproc.source.json import CiteProcJSON

        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                if self._sheet is None:
                    self._sheet = CitationStylesStyle(BytesIO(self._style), validate=False)
                source = CiteProcJSON([_item("k", fields)])
                bibliography = CitationStylesBibliography(self._sheet, source, formatter.html)
                cited = CitationItem("k")
                bibliography.register(Citation([cited]))
                # not `bibliography()`: it leaves an entry out in which nothing is known
                text = "".join(map(str, self._sheet.render_bibliography([cited])))
        except Exception as fault:  # the library raises whatever a strange style leads it to
            raise BadStyle(f"the citation style cannot be used: {type(fault).__name__}: {fault}") from fault
        return _runs(text) or (("untitled", ""),)


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


def csl_item(key: str, fields: Mapping[str, Any]) -> dict[str, Any]:
    """A source as an item of CSL-JSON (csl-data, version 1.0.2): dates in parts, all else as it was written."""
    item: dict[str, Any] = {"id": key}
    for name, value in fields.items():
        item[name] = value
        if name in DATES:
            date = _date(value)
            item[name] = date if "date-parts" in date else {"literal": value}
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
    entry = re.sub(r"…((?:</\w+>)*)\.", r"…\1", entry)  # three points end a sentence well enough
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
