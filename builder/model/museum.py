"""The museum: its collections, its people, where things stand in the store, and its house rules.

Every house rule has a default; `HouseRules` names beside each the published figure it rests on, or says that it is
our choice.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from builder.model.value import Count, DateText, Flag, Id, Ids, Line, Model, Number, Text, Texts, Whole


class Collection(Model):
    """A part of the museum's holdings, with its rule on filming."""

    name: Line
    filming: Literal["allowed", "ask", "forbidden"] = "ask"
    because: Line | None = None


class FormerKey(Model):
    """A signing key no longer in use: put aside in good order on a day, or withdrawn because others may have it.

    What it signed up to the day `until` stands. Of a withdrawn key nothing stands, whatever date a signature carries:
    whoever has the key can write any date.
    """

    key: Line
    until: DateText | None = None
    withdrawn: Flag = False
    because: Line | None = None


class Person(Model):
    """Somebody who writes or approves; `key` is the public half of a curator's signing key.

    Of somebody who has left, what was signed up to the day `until` stands.
    """

    name: Line
    role: Line
    may_approve: Ids = ()
    key: Line | None = None
    former_keys: tuple[FormerKey, ...] = ()
    until: DateText | None = None
    orcid: Line | None = None


class StorageOrder(Model):
    """The order of the shelves: a scheme, and this museum's own number for each family."""

    scheme: Line
    families: dict[Line, Whole] = {}


def _pair(value: Any) -> Any:
    """`60` moves the warning only; `60 / 100` moves the error too."""
    if isinstance(value, str) and "/" in value:
        return [part.strip() for part in value.split("/")]
    return [value] if isinstance(value, str | int) else value


Limit = Annotated[
    tuple[Count, ...],
    BeforeValidator(_pair, json_schema_input_type=int | str | list[int]),
    Field(min_length=1, max_length=2),
]


def _step(value: Decimal) -> Decimal:
    if value not in (Decimal(1), Decimal("0.1"), Decimal("0.01"), Decimal("0.001")):
        raise ValueError("wants one of 1, 0.1, 0.01, 0.001, the steps of Chapman 2020, table 7")
    return value


RATES = {"talk": 130, "script": 140}
"""Words a minute, unless the house says otherwise (our choice, within the rates that `over-time` names)."""


class HouseRules(Model):
    """The limits that checks apply. Sources of the defaults are listed in the reference of checks."""

    words: dict[Line, Limit] = {}
    words_per_minute: dict[Literal["script", "talk"], Count] = {}
    spoken_share: Number = Field(Decimal("0.75"), gt=0, le=1)
    sentence_words: Count = Field(25, ge=5)
    spoken_sentence_words: Count = Field(20, ge=5)
    reading_grade: Number = Decimal(8)
    reading_ease: Number = Decimal(60)
    coordinate_step: Annotated[Number, AfterValidator(_step)] = Decimal("0.1")
    sample: Count = Field(30, ge=1)
    absence: Number = Field(Decimal("0.1"), gt=0, lt=1)
    source_months: Count = 60
    review_months: Count = 24
    approving_roles: Texts = ()
    label_points: Count = Field(24, ge=16, le=72)

    def rate_wpm(self, use: str) -> int:
        """Words a minute in a talk or a script; a house rule of 0 says nothing."""
        said = next((rate for kind, rate in self.words_per_minute.items() if kind == use), 0)
        return said or RATES[use]

    def share_of(self, use: str) -> Decimal:
        """The share of a slot that is speech: all of it in a script."""
        return self.spoken_share if use == "talk" else Decimal(1)


class Museum(Model):
    """`museum.yml`."""

    name: Line
    language: Line = "en-GB"
    site: Line | None = None
    invented: Flag = False
    notice: Text | None = None
    contact: Line | None = None
    licence: Line | None = None
    citation_style: Line | None = None
    collections: dict[Id, Collection] = {}
    people: dict[Id, Person] = {}
    storage_order: StorageOrder | None = None
    house_rules: HouseRules = Field(default_factory=lambda: HouseRules.model_validate({}))
