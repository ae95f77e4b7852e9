"""Sources as plain data, and in short for the running text.

In: a source. Out: its CSL fields, dates as written, and `Author year`. Where not all the names were seen, the list ends
in `others`, which reads well in a full entry too ("Field, F. and others").
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from builder.model.source import OURS, Source

OTHERS = frozenset({"others", "and others", "et al", "et al.", "and al."})
"""What may stand in the place of names that were not seen."""
PEOPLE = ("author", "editor", "translator", "director", "interviewer", "container-author")


def csl_fields(source: Source) -> dict[str, Any]:
    """The CSL fields of a source as plain data, dates still as written; an "and others" at the end as `others`."""
    plain: dict[str, Any] = source.model_dump(by_alias=True, exclude_defaults=True, mode="json", exclude=set(OURS))
    for names in (plain[kind] for kind in PEOPLE if plain.get(kind)):
        if len(names) > 1 and _is_others(names[-1]):  # the style sets an "and" before the last name itself
            names[-1] = {"literal": "others"}
    return plain


def short_citation(fields: Mapping[str, Any]) -> str:
    """Author and year for the running text: `Sierro and others 2001`; the title where there is no author."""
    named = list(fields.get("author") or fields.get("editor") or ())
    more = len(named) > 1 and _is_others(named[-1])
    people = [_surname(person) for person in (named[:-1] if more else named)]
    if not people:
        title = str(fields.get("title-short") or fields.get("title") or "untitled")
        who = title if len(title) <= 48 else _cut(title)
    elif len(people) <= 2 and not more:
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


def _cut(title: str) -> str:
    """The beginning of a title; a bracket that is opened in it is closed again."""
    cut = title[:47].rsplit(" ", 1)[0]
    return f"{cut}…{']' if cut.count('[') > cut.count(']') else ''}"


def _is_others(person: Mapping[str, str]) -> bool:
    return person.get("literal", "").strip().lower() in OTHERS


def _surname(person: Mapping[str, str]) -> str:
    if "literal" in person:
        return person["literal"]
    particle = person.get("non-dropping-particle")
    family = person.get("family") or person.get("given") or ""
    return f"{particle} {family}" if particle else family
