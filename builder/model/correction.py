"""A public correction: what was said, what is said now, why, who decided, when, and every place where it hung."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, RootModel

from builder.model.value import DateText, Id, Line, Model, Text


class Hanging(Model):
    """One place where the words hung. It is ticked by `done`, the day on which it was mended there."""

    where: Line
    of: Line | None = None
    do: Line | None = None
    done: DateText | None = None


class Correction(Model):
    """One entry of `corrections.yml`. It stays open until every place is ticked."""

    piece: Line
    claim: Line | None = None
    kind: Literal["mistake", "update"] = "mistake"
    was: Text
    now: Text
    why: Text
    who: Id
    date: DateText
    places: Annotated[tuple[Hanging, ...], Field(min_length=1)]

    @property
    def unticked(self) -> tuple[tuple[int, Hanging], ...]:
        """The places that wait, each with its number from 1."""
        return tuple((number, place) for number, place in enumerate(self.places, 1) if not place.done)


class Corrections(RootModel[dict[Id, Correction]]):
    """`corrections.yml`: id to correction, oldest first."""
