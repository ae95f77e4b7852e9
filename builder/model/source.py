"""One bibliographic item: the fields of CSL-JSON, and what we must know to weigh it.

`standing`, `draws_on`, `withdrawn`, `seen`, `read` and `excerpt` are ours; all else is named as in the Citation Style
Language's item schema (csl-data, version 1.0.2), in which the dates and names here are written plainly.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, RootModel

from builder.model.value import DateText, Id, Ids, Line, Model, Text

CSL_TYPES = (
    "article article-journal article-magazine article-newspaper bill book broadcast chapter classic collection "
    "dataset document entry entry-dictionary entry-encyclopedia event figure graphic hearing interview "
    "legal_case legislation manuscript map motion_picture musical_score pamphlet paper-conference patent "
    "performance periodical personal_communication post post-weblog regulation report review review-book software "
    "song speech standard thesis treaty webpage"
).split()
"""The item types of CSL 1.0.2."""

Standing = Literal["first-hand", "review", "popular", "historical", "hearsay"]


class Name(Model):
    """A person (`family`, `given`, a particle) or a body (`literal`)."""

    family: Line | None = None
    given: Line | None = None
    non_dropping_particle: Line | None = Field(None, alias="non-dropping-particle")
    dropping_particle: Line | None = Field(None, alias="dropping-particle")
    suffix: Line | None = None
    literal: Line | None = None


def _name(value: Any) -> Any:
    """`Family, Given` in one line is a person, any other line a body."""
    if not isinstance(value, str):
        return value
    family, comma, given = value.partition(",")
    return {"family": family.strip(), "given": given.strip()} if comma else {"literal": value}


Names = Annotated[
    tuple[Annotated[Name, BeforeValidator(_name, json_schema_input_type=Name | str)], ...],
    BeforeValidator(
        lambda value: [value] if isinstance(value, str | dict) else value,
        json_schema_input_type=Name | str | list[Name | str],
    ),
]


class Source(Model):
    """One entry of `sources.yml`."""

    type: Line
    title: Line | None = None
    title_short: Line | None = Field(None, alias="title-short")
    author: Names = ()
    editor: Names = ()
    translator: Names = ()
    director: Names = ()
    interviewer: Names = ()
    container_author: Names = Field((), alias="container-author")
    issued: DateText | None = None
    original_date: DateText | None = Field(None, alias="original-date")
    accessed: DateText | None = None
    container_title: Line | None = Field(None, alias="container-title")
    collection_title: Line | None = Field(None, alias="collection-title")
    collection_number: Line | None = Field(None, alias="collection-number")
    volume: Line | None = None
    issue: Line | None = None
    number: Line | None = None
    edition: Line | None = None
    page: Line | None = None
    section: Line | None = None
    chapter_number: Line | None = Field(None, alias="chapter-number")
    publisher: Line | None = None
    publisher_place: Line | None = Field(None, alias="publisher-place")
    event_title: Line | None = Field(None, alias="event-title")
    event_place: Line | None = Field(None, alias="event-place")
    genre: Line | None = None
    medium: Line | None = None
    version: Line | None = None
    archive: Line | None = None
    archive_place: Line | None = Field(None, alias="archive-place")
    archive_location: Line | None = None
    authority: Line | None = None
    language: Line | None = None
    note: Text | None = None
    DOI: Line | None = None
    ISBN: Line | None = None
    ISSN: Line | None = None
    PMID: Line | None = None
    PMCID: Line | None = None
    URL: Line | None = None
    standing: Standing
    draws_on: Ids | None = None
    withdrawn: Text | None = None
    seen: DateText | None = None
    read: Literal["full", "abstract"] = "full"
    excerpt: Line | None = None


class Sources(RootModel[dict[Id, Source]]):
    """`sources.yml`: id to source."""


OURS = frozenset({"standing", "draws_on", "withdrawn", "seen", "read", "excerpt"})
"""The fields that are no part of CSL."""
