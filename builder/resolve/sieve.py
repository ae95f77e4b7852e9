"""Search texts for everything that must not become public.

In: the withheld values of one record or of all, then any number of texts: sentences, or whole files of HTML, JSON, SVG
and the text of PDFs. Out: the hits, with the words found and where. Nothing is refused. Made for bulk: a text is made
plain once, and only values whose words it holds are looked at.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

from builder.resolve.coordinate import DECIMAL, Degrees, find_degrees
from builder.resolve.fold import broken_words, fold, fold_mapped
from builder.resolve.gridref import (
    COARSEST_M,
    CODE,
    CODE_CELL,
    METRES,
    Square,
    code_of,
    find_metres,
    find_squares,
    grid_finder,
    is_at,
    metres_step,
    size_of,
)
from builder.resolve.pattern import (
    INITIAL_FIRST,
    INITIAL_LAST,
    INITIALS,
    TITLED,
    WORD,
    Pattern,
    number_finder,
    number_sign,
)
from builder.resolve.withheld import Point, Withheld

TAG = re.compile(r"<[^<>]{1,20000}>")
TAG_BEFORE_WORD = re.compile(r"<[^<>]{1,300}>(?=\w)")
DRAWN = re.compile(
    r"""\s(?:d|points|transform|viewBox|values|style|[xyr]|[cdfr][xy]|[xy][12]|width|height|path)=(?:"[^"]*"|'[^']*')"""
)
CELLS = 100
"""Coordinates are looked up by hundredths of a degree."""
FEW = 64
"""Up to so many patterns, each is asked whether it may match; with more, the text is asked what it holds."""
DEGREE_M = 90_000
"""Metres in a degree, between those of latitude and of longitude where most museums are: a kilometre is about 0.01."""
BESIDE = 40
"""Metres east and metres north stand no further apart than this many characters."""
NEAR = 120
"""Two numbers further apart than this many characters are no pair."""


HEAD = re.compile(r"[^\W\d_]+")
"""The letters that a sign begins with: `percival` of `percival3`."""
PRECISE = 3
"""Decimals from which a bare number may be a coordinate; with fewer it is mostly chance."""


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
        self._cells: dict[int, list[tuple[Withheld, str]]] = {}
        wanted: dict[Pattern, list[Withheld]] = {}
        for value in self.values:
            for pattern in value.patterns:
                if own or not pattern.weak:
                    wanted.setdefault(pattern, []).append(value)
        spread = Counter(sign for pattern in wanted for sign in pattern.signs)
        self._labels = frozenset(sign.split(" ")[0] for sign in spread if " " in sign)
        self._initials = any("." in sign or "@" in sign for sign in spread)
        self._coarsest = max((value.point.finer_than for value in self.values if value.point), default=0) * 0.999
        self._harmless: set[str] = set()
        self._parts = tuple(_parts_of(pattern) for pattern in wanted) if len(wanted) <= FEW else None
        self._by_sign: dict[str, list[tuple[Pattern, list[Withheld]]]] = {}
        for pattern, values in wanted.items():
            rarest = min(pattern.signs, key=lambda sign: (spread[sign], -len(sign), sign), default="")
            self._by_sign.setdefault(rarest, []).append((pattern, values))
        for value in self.values:
            if value.point:
                for axis, number in (("NS", value.point.latitude), ("EW", value.point.longitude)):
                    if number is not None:
                        self._cells.setdefault(int(abs(number) * CELLS), []).append((value, axis))
        self._squares: dict[str, list[tuple[Withheld, Square]]] = {}
        self._metres: dict[str, list[tuple[Withheld, float, float]]] = {}
        self._codes: dict[str, list[tuple[Withheld, str]]] = {}
        for value in self.values:
            point = value.point
            if point and point.latitude is not None and point.longitude is not None:
                for square in find_squares(point.latitude, point.longitude):
                    self._squares.setdefault(square.letters, []).append((value, square))
                for east, north in find_metres(point.latitude, point.longitude):
                    for head in {str(int(east + more))[:3] for more in (-COARSEST_M, 0, COARSEST_M)}:
                        self._metres.setdefault(head, []).append((value, east, north))
                code = code_of(point.latitude, point.longitude)
                if point.finer_than * 0.999 > CODE_CELL:
                    self._codes.setdefault(code[4:], []).append((value, code[:4]))
        self._grids = grid_finder(self._squares) if self._squares else None
        self._grid_letters = frozenset(letters[-2:] for letters in self._squares)

    @cached_property
    def _numbers(self) -> re.Pattern[str]:
        return number_finder(self._labels)

    def scan(self, text: str) -> tuple[Hit, ...]:
        """Hits in a running text, in order; places are those of `text`."""
        if not self.values or not any(True for _ in self._find(fold(text))):
            return ()
        plain, origin = fold_mapped(text)
        found = [
            Hit(value, _row(plain[start:end]), origin[start], origin[end - 1] + 1 if end > start else origin[start])
            for value, start, end in self._find(plain)
        ]
        return _in_order(found)

    def scan_file(self, text: str) -> tuple[Hit, ...]:
        """Hits in a finished file: in what is shown, across its tags, and in the tags themselves.

        Places count in the folded text, which for a marked-up file is only good for telling two hits apart. Tags that
        were found harmless in one file are passed over in the next.
        """
        if not self.values:
            return ()
        found = []
        if "<" not in text:
            found += self._hits(text)
        else:
            text = DRAWN.sub(" ", text)
            found += self._hits(TAG.sub(" ", text))
            if any(text[tag.start() - 1 : tag.start()].isalnum() for tag in TAG_BEFORE_WORD.finditer(text)):
                found += self._hits(TAG.sub("", text))  # a tag stands inside a word
            new = set(TAG.findall(text)) - self._harmless
            in_tags = self._hits("\n".join(sorted(new)))
            found += in_tags
            if not in_tags:  # most tags of a site are those of its theme, the same on every page
                self._harmless.update(tag for tag in new if not DECIMAL.search(tag))
        once = {(hit.withheld.record, hit.withheld.path, hit.words.lower()): hit for hit in reversed(found)}
        return _in_order(once.values())

    def _hits(self, view: str) -> list[Hit]:
        plain = fold(view)
        return [Hit(value, _row(plain[start:end]), start, end) for value, start, end in self._find(plain)]

    def _find(self, plain: str) -> Iterator[tuple[Withheld, int, int]]:
        yield from self._search(plain)
        for around, at, start, end in broken_words(plain):
            yield from ((value, start, end) for value, first, last in self._search(around) if first < at < last)

    def _search(self, plain: str) -> Iterator[tuple[Withheld, int, int]]:
        signs = self._signs(plain) if self._is_likely(plain) else set()
        for sign in signs & self._by_sign.keys():
            for pattern, values in self._by_sign[sign]:
                if pattern.signs <= signs:
                    for found in pattern.find(plain):
                        yield from ((value, found.start(), found.end()) for value in values)
        if self._cells:
            yield from self._search_coordinates(plain)
        if self._grids and any(letters in plain for letters in self._grid_letters):
            for found in self._grids.finditer(plain):
                for value, square in self._squares.get("".join(found[1].split()), ()):
                    assert value.point is not None
                    finer = size_of(found[2]) / DEGREE_M < value.point.finer_than * 0.999
                    if finer and square.holds(found[2]):
                        yield value, found.start(), found.end()

        if self._metres and any(head in plain for head in self._metres):
            yield from self._search_metres(plain)
        if self._codes and "+" in plain:
            for found in CODE.finditer(plain):
                for value, area in self._codes.get(found[2].upper(), ()):
                    if found[1] is None or found[1].upper() == area:
                        yield value, found.start(), found.end()

    def _search_metres(self, plain: str) -> Iterator[tuple[Withheld, int, int]]:
        """Two numbers side by side that are the metres of a point, the one way round or the other."""
        numbers = list(METRES.finditer(plain))
        for one, other in pairwise(numbers):
            if other.start() - one.end() > BESIDE:
                continue
            for east, north in ((one, other), (other, one)):
                size = max(metres_step(east[1]), metres_step(north[1]))
                for value, x, y in self._metres.get(east[1][:3], ()) if size <= COARSEST_M else ():
                    assert value.point is not None
                    finer = size / DEGREE_M < value.point.finer_than * 0.999
                    if finer and is_at(x, east[1], size) and is_at(y, north[1], size):
                        yield value, one.start(), other.end()

    def _is_likely(self, plain: str) -> bool:
        """Whether some pattern may match: with few of them that is sooner known than all signs of a text are had."""
        if self._parts is None:
            return True
        lower = plain.lower()
        return any(all(part in (lower if part.islower() else plain) for part in parts) for parts in self._parts)

    def _signs(self, plain: str) -> set[str]:
        """Everything in a folded text that some pattern may ask for."""
        lower = plain.lower()
        signs = {""}.union(*map(_words_of, set(lower.split())))
        if not self._labels.isdisjoint(signs):
            signs.update(map(number_sign, self._numbers.finditer(lower)))
        if self._initials:
            signs.update(f"{initial}.{name}".lower() for initial, name in INITIAL_FIRST.findall(plain))
            signs.update(f"{initial}.{name}".lower() for name, initial in INITIAL_LAST.findall(plain))
            signs.update(f"@{name.lower()}" for name in TITLED.findall(plain))
        if self.own:
            signs.update("".join(filter(str.isalpha, run)) for run in INITIALS.findall(plain))
        return signs

    def _search_coordinates(self, plain: str) -> Iterator[tuple[Withheld, int, int]]:
        partners: dict[int, list[tuple[str, Degrees]]] = {}
        by_id: dict[int, Withheld] = {}
        for number in find_degrees(plain, self._is_near):
            if not self.own and not number.marked and number.decimals < PRECISE:
                continue
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

    def _is_near(self, degrees: float, step: float) -> bool:
        return step < self._coarsest and any(cell in self._cells for cell in _cells_of(degrees, step))

    def _at(self, number: Degrees) -> Iterator[tuple[Withheld, str]]:
        for cell in _cells_of(abs(number.value), number.step):
            yield from self._cells.get(cell, ())

    def _alone(self, number: Degrees, point: Point, axis: str, plain: str) -> bool:
        if self.own and number.decimals >= PRECISE:
            return True
        digits = point.digits[0 if axis == "NS" else 1]
        return len(digits.partition(".")[2]) >= 4 and digits in plain[number.start : number.end].replace(",", ".")


def _row(words: str) -> str:
    """The words found, in one row."""
    return " ".join(words.split())


@lru_cache(maxsize=262144)
def _words_of(token: str) -> tuple[str, ...]:
    """The words in a stretch without blanks; most stretches come again on every page of a site."""
    return (token,) if token.isalpha() and token.isascii() else tuple(WORD.findall(token))


def _parts_of(pattern: Pattern) -> tuple[str, ...]:
    """Stretches of letters that stand in every text in which the pattern matches; small ones whatever the case."""
    if pattern.weak and all(sign.isupper() for sign in pattern.signs):  # bare initials
        return tuple(f"{letter}." for sign in sorted(pattern.signs) for letter in sign)
    heads = (sign.split(" ")[0].split(".")[-1].removeprefix("@") for sign in sorted(pattern.signs))
    found = (HEAD.match(head) for head in heads)
    return tuple(head.group() for head in found if head and head.group().islower())


def _cells_of(degrees: float, step: float) -> range:
    """The cells in which a point may lie that is given as so many degrees to that step."""
    cell, reach = int(degrees * CELLS), int(step * CELLS) + 1
    return range(cell - reach, cell + reach + 1)


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
    return own or (latitude.marked and longitude.marked) or min(latitude.decimals, longitude.decimals) >= PRECISE


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
