"""Sources as plain data, and in short for the running text.

In: a source. Out: its CSL fields, dates as written, and `Author year`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from builder.model.source import OURS, Source


def csl_fields(source: Source) -> dict[str, Any]:
    """The CSL fields of a source as plain data, dates still as written."""
    plain: dict[str, Any] = source.model_dump(by_alias=True, exclude_defaults=True, mode="json", exclude=set(OURS))
    return plain


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
