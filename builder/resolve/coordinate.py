"""Find what may be coordinates in running text, whatever way they are written.

In: text whose primes, degree signs and minus signs were made plain (`builder.resolve.fold`). Out: each number that may
be a latitude or longitude, in degrees, with the step to which it is given. Nothing is refused and nothing raises; what
cannot be a coordinate is passed over.

Read are decimal degrees (`51.2345`, `-1,2345`, `N 51.23`, `51.23° N`, `1.2345,51.2345`), degrees and minutes
(`51° 14.07' N`, `N51 14.07`), degrees, minutes and seconds (`51°14'04.2"N`, `51 14 04 N`, `51:14:04N`, `51d14m04s`),
and both without anything between (`511404N 0011404W`, and `+511404-0011404/` as in ISO 6709).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import chain

# each begins with digits, by which the expression engine leaps; what stands before them is looked at afterwards
DECIMAL = re.compile(
    r"(?P<number>\d{1,3}(?:\.\d{1,12}(?!\d|\.\d)|,\d{1,12}(?!\d|[.,]\d)))"
    r"(?P<mark>\s?(?:°|deg(?:rees)?\b))?(?P<post>\s?[NSEW]\b)?"
)
THOUSANDS = re.compile(r"\d{1,3}\.\d{3},\d(?!\d{0,2}\.\d)")
"""A number such as `1.234,5`, of which the first half is no number of its own."""
PAIRED = re.compile(r"\.\d{1,12},$")
"""Before a number: the first half of a pair that has no blank, `1.2345,51.2345`."""
PARTS = re.compile(
    r"(?P<deg>\d{1,3})"
    r"\s?(?P<mark>°|deg(?:rees)?\b|d(?=\s?\d)|[:\s](?=\s?\d{1,2}(?:[.,:\s'm]|\s?[NSEW]\b)))\s?"
    r"(?P<min>\d{1,2}(?:[.,]\d{1,8})?)\s?(?:'(?!')|min(?:utes)?\b|m(?=\s?\d|\b)|[:\s])?\s?"
    r"(?:(?P<sec>\d{1,2}(?:[.,]\d{1,8})?)\s?(?:\"|''|sec(?:onds)?\b|s\b)?)?(?P<post>\s?[NSEW]\b)?"
)
LONG = re.compile(r"\d\d\d\d+")
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
"""Any number: few of a text have the digits of a coordinate, and only there the others are asked."""
COMPACT = re.compile(r"(?P<digits>\d{4,7})(?P<part>\.\d{1,6})?(?:\s?(?P<post>[NSEW]))?(?![^\W_])")
LETTER_BEFORE = re.compile(r"(?<![^\W_])[NSEW]\s?$")
ISO_6709 = re.compile(r"(\d{4}|\d{6})(\.\d{1,6})?([-+])(\d{5}|\d{7})(\.\d{1,6})?(?![\d.])")
BEFORE = re.compile(r"(?:(?<![^\W_])(?P<pre>[NSEWnsew])\s?)?(?P<sign>[-+])?$")
LETTERED = re.compile(
    r"[NSEWd](?:(?<=[NSEW])\s?\d|(?<=\d.)(?:\b|(?<=d))|(?<=\d\s.)\b|(?<=\d['\"].)\b|(?<=\d['\"]\s.)\b)"
)
"""A number beside one of these letters. It begins with the letter, which is rarer than a digit."""
AXIS_WORD = re.compile(
    r"(?:\blat|\blon|\blng|latitude|longitude|coordinate|decimall|georss|geo:)[^\n]{0,14}$", re.IGNORECASE
)
MORE = frozenset("0123456789.,")
"""Before a number, one of these makes it the tail of another."""


@dataclass(frozen=True, slots=True)
class Degrees:
    """A number that may be a coordinate: signed `value` and `step` in degrees, and where in the text it stands.

    `axis` is `NS`, `EW`, or empty where nothing tells; `signed` says whether its hemisphere is known; `marked` whether
    a degree sign, a letter or a word nearby makes it a coordinate for certain.
    """

    value: float
    step: float
    decimals: int
    start: int
    end: int
    axis: str = ""
    signed: bool = False
    marked: bool = False


def find_degrees(text: str, near: Callable[[float, float], bool] = lambda degrees, step: True) -> Iterator[Degrees]:
    """All numbers of a text that may be coordinates given to a tenth of a degree or better, in order of their kind.

    Those of which `near` says no, given the degrees without their sign and the step, are passed over.
    """
    numbers = [found.span() for found in NUMBER.finditer(text) if len(found[0]) > 3 or not found[0].isdigit()]
    for found in _decimals(text, numbers):
        start, dotted = found.start(), "." in found["number"]
        if text[start - 1 : start] in MORE and not (dotted and PAIRED.search(text[max(0, start - 14) : start])):
            continue
        if dotted and THOUSANDS.match(text, start):
            continue
        whole, _, part = found["number"].replace(",", ".").partition(".")
        value = float(f"{whole}.{part}")
        if value <= 180 and near(value, 10.0 ** -len(part)):
            yield _degrees(text, found, value, 10.0 ** -len(part), len(part))
    yield from _compact(text, numbers, near)
    if "°" not in text and " deg" not in text and not LETTERED.search(text):
        return
    for found in PARTS.finditer(text):
        if text[found.start() - 1 : found.start()] in MORE:
            continue
        minutes, seconds = found["min"].replace(",", "."), (found["sec"] or "").replace(",", ".")
        value = int(found["deg"]) + float(minutes) / 60 + float(seconds or 0) / 3600
        if float(minutes) >= 60 or float(seconds or 0) >= 60 or value > 180:
            continue
        step = (1 / 3600 if seconds else 1 / 60) / 10 ** len((seconds or minutes).partition(".")[2])
        if not near(value, step):
            continue
        number = _degrees(text, found, value, step, 4)
        if number.axis or found["mark"] == "°":
            yield number


def _decimals(text: str, numbers: Iterable[tuple[int, int]]) -> Iterator[re.Match[str]]:
    """Each number with a part behind its point or comma; `1.2345,51.2345` holds two."""
    for at, end in numbers:
        while at < end:
            found = DECIMAL.match(text, at)
            if found:
                yield found
            at = found.end() if found else at + 1


def _compact(text: str, numbers: Iterable[tuple[int, int]], near: Callable[[float, float], bool]) -> Iterator[Degrees]:
    """Degrees with minutes, or with minutes and seconds, each of two digits, degrees of longitude of three."""
    for long in chain.from_iterable(LONG.finditer(text, *number) for number in numbers):
        start = long.start()
        sign = text[start - 1 : start]
        iso = ISO_6709.match(text, start) if sign in ("+", "-") else None
        if iso and text[max(0, start - 2) : start - 1] not in MORE:
            middle = iso.start(3)
            yield from _unpacked("S" if sign == "-" else "N", iso[1], iso[2], start - 1, middle, near)
            yield from _unpacked("W" if iso[3] == "-" else "E", iso[4], iso[5], middle, iso.end(), near)
        found = COMPACT.match(text, start) if sign not in MORE else None
        before = LETTER_BEFORE.search(text, max(0, start - 3), start)
        if found and (before is None) != (found["post"] is None):
            letter = before.group()[0] if before else found["post"]
            start = before.start() if before else start
            yield from _unpacked(letter, found["digits"], found["part"], start, found.end(), near)


def _unpacked(
    letter: str, digits: str, part: str | None, start: int, end: int, near: Callable[[float, float], bool]
) -> Iterator[Degrees]:
    axis, width = ("NS", 2) if letter in "NS" else ("EW", 3)
    if len(digits) - width not in (2, 4):
        return
    minutes, seconds = int(digits[width : width + 2]), digits[width + 2 :]
    last = float(f"{seconds or minutes}{part or ''}")
    value = int(digits[:width]) + (minutes / 60 + last / 3600 if seconds else last / 60)
    step = (1 / 3600 if seconds else 1 / 60) / 10 ** len((part or ".")[1:])
    if minutes < 60 and last < 60 and value <= 180 and near(value, step):
        yield Degrees(-value if letter in "SW" else value, step, 4, start, end, axis, True, True)


def _degrees(text: str, found: re.Match[str], value: float, step: float, decimals: int) -> Degrees:
    ahead = text[max(0, found.start() - 30) : found.start()]
    before = BEFORE.search(ahead)
    pre, sign = (before["pre"], before["sign"]) if before else (None, None)
    letter = (found["post"] or pre or "").strip().upper()
    axis = ("NS" if letter in "NS" else "EW") if letter else ""
    negative = sign == "-" or letter in ("S", "W")
    marked = bool(letter or found["mark"]) or AXIS_WORD.search(ahead) is not None
    signed = bool(letter or sign)
    start = found.start() - (len(before.group()) if before else 0)
    return Degrees(-value if negative else value, step, decimals, start, found.end(), axis, signed, marked)
