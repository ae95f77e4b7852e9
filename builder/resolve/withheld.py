"""What a record keeps back from the public, as values that a text can be searched for.

In: a record. Out: one `Withheld` for each store, private name, place and pair of coordinates that must stand in nothing
public, with the ways in which it may be written. The same list serves the checks of privacy and the scan of everything
that was built. Nothing is refused.

Kept back are `store` always; collector and donor with `show: no`; coordinates finer than `show` allows; the words of
`locality.text` unless the place is really shown to 0.001 degrees, since words give a place away as well as numbers do
(Chapman 2020, GBIF, on textual fields).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from itertools import combinations
from typing import Any, Literal

from builder.model.record import STEPS, Locality, Record
from builder.problem import Path
from builder.resolve.fold import fold
from builder.resolve.pattern import WITHIN, WORD, Pattern, bounded, joined, numbered, roman_numeral, sequence
from builder.resolve.privatename import known_surnames, name_patterns

Kind = Literal["store", "place", "coordinates", "name"]
ROMAN = {roman_numeral(number): number for number in range(2, 100)}
BETWEEN = r"[\W_]+(?:(?:a|an|and|at|behind|beside|by|from|in|near|next|no|number|of|on|the|to|under|with)[\W_]+){0,3}"


@dataclass(frozen=True, slots=True)
class Point:
    """Coordinates in degrees, and the step in degrees at which naming them tells no more than may be told."""

    latitude: float | None
    longitude: float | None
    digits: tuple[str, str]
    finer_than: float


@dataclass(frozen=True, slots=True)
class Withheld:
    """One value that must not become public: its record, its path in `record.yml`, its kind and how it is written."""

    record: str
    path: Path
    kind: Kind
    value: str
    patterns: tuple[Pattern, ...] = ()
    point: Point | None = None

    @property
    def field(self) -> str:
        """Its path as one text, `objects/jar/store`."""
        return "/".join(map(str, self.path))


def withheld_values(
    record: Record, name: str = "", *, public_surnames: frozenset[str] = frozenset(), step: Decimal = Decimal(0)
) -> tuple[Withheld, ...]:
    """Everything that the record called `name` keeps back.

    `public_surnames` stand in public anyway, such as those of cited authors: alone they give nobody away, and no more
    do those in the authority of the record's own name. No place is shown finer than `step` in degrees, the house rule.
    """
    found: list[Withheld] = []
    known = public_surnames | authorities(record.name.authority)
    for key, thing in record.objects.items():
        if thing.store:
            path: Path = ("objects", key, "store")
            found.append(Withheld(name, path, "store", thing.store, tuple(_store_patterns(thing.store))))
        for role in ("collector", "donor"):
            party = getattr(thing, role)
            if party is not None and not party.show:
                patterns = tuple(name_patterns(party.name, known))
                found.append(Withheld(name, ("objects", key, role, "name"), "name", party.name, patterns))
        if thing.locality:
            found += _locality(name, key, thing.locality, record.name.common, step)
    return tuple(found)


def authorities(authority: str | None) -> frozenset[str]:
    """The names in the authority of a scientific name, `(Linnaeus, 1758)`, which every page of the animal prints."""
    return known_surnames(WORD.findall(authority or ""))


def shown_points(record: Record, *, step: Decimal) -> frozenset[tuple[float, float]]:
    """The generalised coordinates that the record's objects show, without their signs."""
    found = set()
    for thing in record.objects.values():
        place = thing.locality
        grid = STEPS.get(place.show) if place else None
        if place and grid is not None and place.latitude is not None and place.longitude is not None:
            numbers = (round_half_up(number, max(grid, step)) for number in (place.latitude, place.longitude))
            latitude, longitude = (round(abs(float(number)), 6) for number in numbers)
            found.add((latitude, longitude))
    return frozenset(found)


def round_half_up(value: Decimal, step: Decimal) -> Decimal:
    """To the nearest multiple of the step, halves away from zero, as places are generalised."""
    return (value / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step


def staff_only(record: Record) -> dict[str, Any]:
    """The fields that `withheld_values` needs, as plain data that can be remembered; empty where there are none."""
    objects = {}
    for key, thing in record.objects.items():
        plain = thing.model_dump(mode="json", include={"store", "locality", "collector", "donor"}, exclude_none=True)
        if plain:
            objects[key] = plain
    if not objects and not record.name.authority:
        return {}
    return {"name": {"common": record.name.common, "authority": record.name.authority}, "objects": objects}


def record_of_plain(plain: Mapping[str, Any]) -> Record:
    """A record of nothing but its `staff_only` fields."""
    rest = {"catalogue_number": "-", "preparation": "-", "collection": "x"}
    objects = {key: {**rest, **fields} for key, fields in plain["objects"].items()}
    return Record.model_validate({"name": plain["name"], "title": "-", "objects": objects})


def _locality(name: str, key: str, locality: Locality, animal: str, coarsest: Decimal) -> Iterator[Withheld]:
    path: Path = ("objects", key, "locality")
    step = STEPS.get(locality.show)
    step = None if step is None else max(step, coarsest)
    if locality.text and (step is None or step > STEPS["0.001"]):
        patterns = tuple(
            _place_patterns(locality.text, (locality.county or "", locality.country or "", *animal.split()))
        )
        yield Withheld(name, (*path, "text"), "place", locality.text, patterns)
    numbers = (locality.latitude, locality.longitude)
    if any(number is not None for number in numbers):
        latitude, longitude = (None if number is None else float(number) for number in numbers)
        first, second = ("" if number is None else f"{abs(number):f}" for number in numbers)
        point = Point(latitude, longitude, (first, second), 1.0 if step is None else float(step))
        value = ", ".join(str(number) for number in numbers if number is not None)
        path = (*path, "longitude" if latitude is None else "latitude")
        yield Withheld(name, path, "coordinates", value, (), point)


def _store_patterns(store: str) -> Iterator[Pattern]:
    """Any two parts of the store together, in either order; a store of one part as a whole."""
    parts = [words for part in re.split(r"[,;/|]+", fold(store).lower()) if (words := _arabic(WORD.findall(part)))]
    if len(parts) == 1:
        yield Pattern(numbered(parts[0]), bounded(joined(parts[0], WITHIN)))
    for one, other in combinations(parts, 2):
        for first, second in ((one, other), (other, one)):
            expression = f"{joined(first, WITHIN)}{BETWEEN}{joined(second, WITHIN)}"
            yield Pattern(numbered(first) | numbered(second), bounded(expression))


def _arabic(words: list[str]) -> list[str]:
    """The words with Roman numerals that follow another word in digits: `Store II` is Store 2."""
    return [str(ROMAN.get(word, word)) if at else word for at, word in enumerate(words)]


def _place_patterns(text: str, told: Iterable[str]) -> Iterator[Pattern]:
    """The whole of the words, and each run of two or more names or numbers in them (`4 Mill Lane`, `Mill Lane`)."""
    plain = fold(text)
    public = {tuple(WORD.findall(fold(known).lower())) for known in told}
    words = WORD.findall(plain.lower())
    if words and words[0] in ("a", "an", "the"):
        del words[0]
    runs = [tuple(words)]
    for clause in re.split(r"[,;()]", plain):
        run: list[str] = []
        for word in [*WORD.findall(clause), ""]:
            if word[:1].isupper() or word.isdigit():
                run.append(word.lower())
                continue
            runs += [tuple(run), tuple(run[1:])] if run and run[0].isdigit() else [tuple(run)]
            run = []
    for index, found in enumerate(dict.fromkeys(runs)):
        if found and found not in public and (index == 0 or len(found) > 1) and not all(w.isdigit() for w in found):
            yield sequence(found)
