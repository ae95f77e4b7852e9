"""Read the dates of records and bibliographies, strictly, and say what is amiss in plain words.

In: text such as `1985`, `2004-06~`, `201X`, `1964/2008`, `../1985`. Out: a `PartialDate` with the first and last day it
may mean. Refused: whatever is not level 0 or 1 of the format, days the calendar does not have, intervals that run
backwards, blanks at the ends. Nothing raises.

Source: *Extended Date/Time Format (EDTF) Specification*, Library of Congress, 4 February 2019, levels 0 and 1. The
calendar is the Gregorian one carried backwards; year 0000 is 1 BC, so `-0349` is 350 BC. A season is taken as some part
of its year, since its months depend on the hemisphere.
"""

import re
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

_PLAIN = re.compile(r"(-?[0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?")
_TIMED = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})T([0-9]{2}):([0-9]{2}):([0-9]{2})(Z|[+-][0-9]{2}(?::[0-9]{2})?)?")
_LONG_YEAR = re.compile(r"Y(-?[1-9][0-9]{4,11})")
_UNSPECIFIED = re.compile(r"(-?)([0-9]{2}XX|[0-9]{3}X)|(-?[0-9]{4})-(?:XX(-XX)?|([0-9]{2})-XX)")
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
           "December")  # fmt: skip
_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_SEASONS = range(21, 25)


@dataclass(frozen=True)
class PartialDate:
    """What a date may mean.

    `first` and `last` are its first and last possible day, None outside the years 1 to 9999; `earliest_year` and
    `latest_year` hold any year. On the open or unknown side of an interval both are None. `level` is the format's.
    """

    first: date | None
    last: date | None
    earliest_year: int | None
    latest_year: int | None
    approximate: bool = False
    uncertain: bool = False
    level: int = 0


def date_fault(text: str) -> str | None:
    """What is amiss with a date, in plain words with the mend where it can be told, or None."""
    read = _read(text)
    return read if isinstance(read, str) else None


def parse_date(text: str) -> PartialDate | None:
    """The days and years a date may mean, or None where `date_fault` finds something amiss."""
    read = _read(text)
    return None if isinstance(read, str) else read


def date_in_words(day: str) -> str:
    """A day written as 2026-11-25, as readers write it: "25 November 2026"; any other text as it stands."""
    found = _PLAIN.fullmatch(day)
    if not found or not found[3] or parse_date(day) is None:
        return day
    return f"{int(found[3])} {MONTHS[int(found[2]) - 1]} {found[1]}"


def parse_year(text: str) -> int | None:
    """A bare year as people write it, `-350` to `9999` without leading zeros; None for anything else and for year 0."""
    return int(text) if re.fullmatch("-?[1-9][0-9]{0,3}", text) else None


@lru_cache(maxsize=4096)
def _read(text: str) -> PartialDate | str:
    if plain := _PLAIN.fullmatch(text):
        return _calendar_date(text, *plain.groups())
    if "/" in text:
        return _interval(text)
    return _single(text)


def _calendar_date(text: str, year_text: str, month_text: str | None, day_text: str | None) -> PartialDate | str:
    """A year, month or day; a month of 21 to 24 is a season."""
    if year_text == "-0000":
        return f"`{text}` has a year that does not exist: year 0 is `0000`"
    year = int(year_text)
    level = 1 if year_text[0] == "-" else 0
    if month_text is None:
        return _span(year, 1, 1, year, 12, 31, level=level)
    month = int(month_text)
    if month in _SEASONS and day_text is None:
        return _span(year, 1, 1, year, 12, 31, level=1)
    if not 1 <= month <= 12:
        return f"`{text}` has month {month_text}: months run from 01 to 12, seasons from 21 to 24"
    days = _month_days(year, month)
    if day_text is None:
        return _span(year, month, 1, year, month, days, level=level)
    day = int(day_text)
    if not 1 <= day <= days:
        return f"`{text}` has day {day_text}: {MONTHS[month - 1]} {year_text} has {days} days"
    return _span(year, month, day, year, month, day, level=level)


def _single(text: str) -> PartialDate | str:
    """One date that is more than plain digits."""
    if text and text[-1] in "?~%":
        read = "" if re.search("[?~%TY].", text) else _read(text[:-1])
        if isinstance(read, str):
            return read or _explain(text)
        return PartialDate(read.first, read.last, read.earliest_year, read.latest_year,
                           approximate=text[-1] in "~%", uncertain=text[-1] in "?%", level=1)  # fmt: skip
    if timed := _TIMED.fullmatch(text):
        day, hour, minute, second, zone = timed.groups()
        if int(hour) > 23 or int(minute) > 59 or int(second) > 59:
            return f"`{text}` has no time of day: hours run to 23, minutes and seconds to 59"
        if zone and zone != "Z" and (int(zone[1:3]) > 14 or int(zone[4:] or 0) > 59):
            return f"`{text}` has no time zone: zones run from -14:00 to +14:00"
        return _read(day)
    if long_year := _LONG_YEAR.fullmatch(text):
        year = int(long_year[1])
        return PartialDate(None, None, year, year, level=1)
    if part := _UNSPECIFIED.fullmatch(text):
        sign, digits, year_text, _, month_text = part.groups()
        if digits:
            low, high = int(digits.replace("X", "0")), int(digits.replace("X", "9"))
            if sign:
                low, high = -high, -low
            return _span(low, 1, 1, high, 12, 31, level=1)
        read = _read(f"{year_text}-{month_text}" if month_text else year_text)
        if isinstance(read, str) or (month_text and int(month_text) in _SEASONS):
            return _explain(text)
        return PartialDate(read.first, read.last, read.earliest_year, read.latest_year, level=1)
    return _explain(text)


def _interval(text: str) -> PartialDate | str:
    """Two dates, or one with an open (`..`) or unknown (empty) side."""
    start_text, _, end_text = text.partition("/")
    if "/" in end_text or "T" in text or "X" in text or re.fullmatch("[0-9]{1,2}(?:-[0-9]{1,2})?", end_text):
        return _explain(text)
    sides: list[PartialDate | None] = []
    for side in (start_text, end_text):
        if side in ("", ".."):
            sides.append(None)
            continue
        read = _read(side)
        if isinstance(read, str):
            return _explain(text) if read.endswith(_GENERAL) else f"`{_clip(text)}`: {read}"
        sides.append(read)
    start, end = sides
    if start is None and end is None:
        return f"`{text}` is open at both sides: give at least one date"
    if start and end and _order(start, start_text) > _order(end, end_text, last=True):
        return f"`{text}` runs backwards: put the earlier date first"
    known = [side for side in (start, end) if side]
    return PartialDate(
        start.first if start else None,
        end.last if end else None,
        start.earliest_year if start else None,
        end.latest_year if end else None,
        approximate=any(side.approximate for side in known),
        uncertain=any(side.uncertain for side in known),
        level=1 if len(known) == 1 else max(side.level for side in known),
    )


def _order(side: PartialDate, text: str, *, last: bool = False) -> tuple[int, int, int]:
    """Where an interval's side stands in time: year, then month and day (or season) within it."""
    year = side.latest_year if last else side.earliest_year
    assert year is not None  # a side that was read has both years
    plain = _PLAIN.match(text)
    month, day = (plain[2], plain[3]) if plain else (None, None)
    if month and int(month) in _SEASONS:
        quarter = int(month) - 20
        return year, quarter * 3 if last else quarter * 3 - 2, 31 if last else 1
    return year, int(month or (12 if last else 1)), int(day or (31 if last else 1))


def _span(y1: int, m1: int, d1: int, y2: int, m2: int, d2: int, *, level: int) -> PartialDate:
    first = date(y1, m1, d1) if 1 <= y1 <= 9999 else None
    last = date(y2, m2, d2) if 1 <= y2 <= 9999 else None
    return PartialDate(first, last, y1, y2, level=level)


def _month_days(year: int, month: int) -> int:
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return 29 if month == 2 and leap else _DAYS[month - 1]


_GENERAL = "write it as `1985`, `1985-04` or `1985-04-12`"


def _explain(text: str) -> str:
    """Say which known mistake a refused text makes."""
    shown = _clip(text)
    if not text:
        return "the date is empty"
    if text != text.strip():
        return f"`{shown}` has a blank at an end: take it away"
    if found := re.fullmatch("([0-9]{4})([0-9]{2})([0-9]{2})", text):
        return f"`{shown}` lacks its hyphens: write `{'-'.join(found.groups())}`"
    if found := re.fullmatch("([0-9]{4})-([0-9]{1,2})(?:-([0-9]{1,2}))?", text):
        padded = "-".join(part.zfill(2) for part in found.groups() if part)
        return f"`{shown}` lacks a zero: write `{padded}`"
    if found := re.fullmatch("(-?)([0-9]{1,3})", text):
        return f"`{shown}` has too few digits: write `{found[1]}{found[2].zfill(4)}`"
    if found := re.fullmatch("([0-9]{3})(?:0s|u|0's)|([0-9]{2})uu", text):
        return (
            f"`{shown}` is an older way to leave digits open: write `{found[1] + 'X' if found[1] else found[2] + 'XX'}`"
        )
    if found := re.fullmatch(r"(?:c|ca|circa|about)\.? ?([0-9]{4})", text, re.IGNORECASE):
        return f"`{shown}` is approximate in words: write `{found[1]}~`"
    if found := re.fullmatch("([0-9]{4}) ?[–—-] ?([0-9]{4})", text):
        return f"`{shown}` is an interval with a dash: write `{found[1]}/{found[2]}`"
    if "open" in text or "unknown" in text:
        return f"`{shown}` is an older way to write an interval: use `..` for an open side, nothing for an unknown one"
    if re.fullmatch("[Yy]-?[0-9]+", text):
        return f"`{shown}` is no long year: `Y` is a capital and stands only before five to twelve digits"
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}/[0-9]{1,2}(?:-[0-9]{1,2})?", text):
        return f"`{shown}` has a shortened end: write both dates in full"
    if re.match("[0-9]{4}-[0-9]{2}-[0-9]{2}[T ]", text):
        return f"`{shown}` has a time of another form than `T23:20:30`, `T23:20:30Z` or `T23:20:30+04:30`"
    if re.fullmatch("[-0-9X]+[-0-9X/~?%.]*", text) and ("X" in text or "~" in text or "?" in text or "%" in text):
        return f"`{shown}` leaves open or doubts more than levels 0 and 1 of the format allow: {_GENERAL}"
    return f"`{shown}` is no date in this format: {_GENERAL}"


def _clip(text: str) -> str:
    text = "".join(letter if letter.isprintable() else "?" for letter in text.replace("`", "'"))
    return text if len(text) <= 60 else f"{text[:57]}…"
