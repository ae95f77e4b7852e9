"""Search texts for everything that must not become public.

In: the withheld values of one record or of all, then any number of texts: sentences, or whole files of HTML, JSON, SVG
and the text of PDFs. Out: the hits, with the words found and where. Nothing is refused. Made for bulk: a text is made
plain once, and only values whose words it holds are looked at.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from builder.resolve.coordinate import Degrees, find_degrees
from builder.resolve.fold import fold, fold_mapped
from builder.resolve.pattern import INITIALS, WORD, Pattern
from builder.resolve.withheld import Point, Withheld

TAG = re.compile(r"<[^<>]{1,20000}>")
DRAWN = re.compile(
    r"""\s(?:d|points|transform|viewBox|values|style|[xyr]|[cdfr][xy]|[xy][12]|width|height|path)=(?:"[^"]*"|'[^']*')"""
)
CELLS = 100
"""Coordinates are looked up by hundredths of a degree."""
NEAR = 120
"""Two numbers further apart than this many characters are no pair."""


@dataclass(frozen=True, slots=True)
class Hit:
    """A withheld value found: `words` as they stand in the folded text, and where they start and end in the text."""

    withheld: Withheld
    words: str
    start: int
    end: int


class Sieve:
    """Searches texts for withheld values.

    With `own` true the texts are those of the record itself, where weaker signs count: bare initials, and a coordinate
    of three decimals without its partner. In the bulk of a whole site these would mostly be chance. `shown` are pairs
    of coordinates, without their signs, that stand in public for other objects.
    """

    def __init__(
        self, values: Iterable[Withheld], *, own: bool = False, shown: frozenset[tuple[float, float]] = frozenset()
    ) -> None:
        self.values = tuple(values)
        self.own = own
        self.shown = shown
        self._by_word: dict[str, list[tuple[Withheld, Pattern]]] = {}
        self._always: list[tuple[Withheld, Pattern]] = []
        self._cells: dict[int, list[tuple[Withheld, str]]] = {}
        spread: dict[str, int] = {}
        wanted = [(value, p) for value in self.values for p in value.patterns if own or not p.weak]
        for _, pattern in wanted:
            for word in pattern.words:
                spread[word] = spread.get(word, 0) + 1
        for value, pattern in wanted:
            if pattern.words:
                rarest = min(pattern.words, key=lambda word: (spread[word], -len(word), word))
                self._by_word.setdefault(rarest, []).append((value, pattern))
            else:
                self._always.append((value, pattern))
        for value in self.values:
            if value.point:
                for axis, number in (("NS", value.point.latitude), ("EW", value.point.longitude)):
                    if number is not None:
                        self._cells.setdefault(int(abs(number) * CELLS), []).append((value, axis))

    def scan(self, text: str) -> tuple[Hit, ...]:
        """Hits in a running text, in order; places are those of `text`."""
        if not self.values or not any(True for _ in self._search(fold(text))):
            return ()
        plain, origin = fold_mapped(text)
        found = [
            Hit(value, plain[start:end], origin[start], origin[end - 1] + 1 if end > start else origin[start])
            for value, start, end in self._search(plain)
        ]
        return _in_order(found)

    def scan_file(self, text: str) -> tuple[Hit, ...]:
        """Hits in a finished file: in what is shown, across its tags, and in the tags themselves.

        Places count in the folded text, which for a marked-up file is only good for telling two hits apart.
        """
        if not self.values:
            return ()
        views = [text]
        if "<" in text:
            text = DRAWN.sub(" ", text)
            views = [TAG.sub(" ", text), TAG.sub("", text), "\n".join(TAG.findall(text))]
        found: list[Hit] = []
        for view in dict.fromkeys(views):
            plain = fold(view)
            found += [Hit(value, plain[start:end], start, end) for value, start, end in self._search(plain)]
        once = {(hit.withheld.record, hit.withheld.path, hit.words.lower()): hit for hit in reversed(found)}
        return _in_order(once.values())

    def _search(self, plain: str) -> Iterator[tuple[Withheld, int, int]]:
        words = set(WORD.findall(plain.lower()))
        if self.own:
            words.update("".join(filter(str.isalpha, run)) for run in INITIALS.findall(plain))
        for word in words & self._by_word.keys():
            for value, pattern in self._by_word[word]:
                if pattern.words <= words:
                    yield from ((value, m.start(), m.end()) for m in pattern.find(plain))
        for value, pattern in self._always:
            yield from ((value, m.start(), m.end()) for m in pattern.find(plain))
        if self._cells:
            yield from self._search_coordinates(plain)

    def _search_coordinates(self, plain: str) -> Iterator[tuple[Withheld, int, int]]:
        partners: dict[int, list[tuple[str, Degrees]]] = {}
        by_id: dict[int, Withheld] = {}
        for number in find_degrees(plain):
            for value, axis in self._at(number):
                point = value.point
                assert point is not None
                if number.axis not in ("", axis) or not _tells(number, point, axis):
                    continue
                if (number.marked and number.step <= 0.002) or self._alone(number, point, axis, plain):
                    yield value, number.start, number.end
                partners.setdefault(id(value), []).append((axis, number))
                by_id[id(value)] = value
        for key, numbers in partners.items():
            latitudes = [number for axis, number in numbers if axis == "NS"]
            for axis, number in numbers:
                if axis == "EW":
                    for other in latitudes:
                        if (round(abs(other.value), 6), round(abs(number.value), 6)) in self.shown:
                            continue
                        if abs(other.start - number.start) <= NEAR and _is_pair(other, number, own=self.own):
                            start = min(other.start, number.start)
                            yield by_id[key], start, max(other.end, number.end)

    def _at(self, number: Degrees) -> Iterator[tuple[Withheld, str]]:
        cell = int(abs(number.value) * CELLS)
        reach = int(number.step * CELLS) + 1
        for near in range(cell - reach, cell + reach + 1):
            yield from self._cells.get(near, ())

    def _alone(self, number: Degrees, point: Point, axis: str, plain: str) -> bool:
        if self.own and number.decimals >= 3:
            return True
        digits = point.digits[0 if axis == "NS" else 1]
        return len(digits.partition(".")[2]) >= 4 and digits in plain[number.start : number.end].replace(",", ".")


def _tells(number: Degrees, point: Point, axis: str) -> bool:
    """Whether a number tells more of a point than may be told: finer than its step, and rounded or cut from it."""
    value = point.latitude if axis == "NS" else point.longitude
    assert value is not None
    if number.step >= point.finer_than * 0.999:
        return False
    if number.signed and (number.value < 0) != (value < 0):
        return False
    return abs(abs(number.value) - abs(value)) < number.step * 1.0001


def _is_pair(latitude: Degrees, longitude: Degrees, *, own: bool) -> bool:
    """Whether two numbers side by side can be no chance."""
    if latitude.start == longitude.start:
        return False
    return own or (latitude.marked and longitude.marked) or min(latitude.decimals, longitude.decimals) >= 3


def _in_order(hits: Iterable[Hit]) -> tuple[Hit, ...]:
    """By place, and of hits of one value that overlap the longest."""
    kept: list[Hit] = []
    for hit in sorted(
        hits, key=lambda hit: (hit.start, -hit.end, hit.withheld.record, hit.withheld.path != (), hit.withheld.field)
    ):
        if any(one.withheld == hit.withheld and one.start <= hit.start and hit.end <= one.end for one in kept[-8:]):
            continue
        kept.append(hit)
    return tuple(kept)
