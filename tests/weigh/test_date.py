"""Dates: the format's own examples and counter-examples, then the calendar and any text."""

import calendar
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.date import PartialDate, date_fault, parse_date, parse_year

LEVEL_0 = [
    "1985-04-12",
    "1985-04",
    "1985",
    "1964/2008",
    "2004-06/2006-08",
    "2004-02-01/2005-02-08",
    "2004-02-01/2005",
    "2005/2006-02",
    "1985-04-12T23:20:30",
    "1985-04-12T23:20:30Z",
    "1985-04-12T23:20:30-04",
    "1985-04-12T23:20:30+04:30",
]
LEVEL_1 = [
    "Y170000002",
    "Y-170000002",
    "2001-21",
    "1984?",
    "2004-06~",
    "2004-06-11%",
    "201X",
    "20XX",
    "2004-XX",
    "1985-04-XX",
    "1985-XX-XX",
    "1985-04-12/..",
    "../1985",
    "1985/",
    "/1985",
    "-1985",
    "1984~/2004-06",
]
LEVEL_2 = ["2001-25", "198X-05", "1XXX", "XXXX-12-XX", "2004-06-XX/2004-07-03", "2004-06-~01/2004-06-~20"]
INVALID = ["1985-13", "1985-4-12", "19850412", "201u", "1985/open", "unknown/1985", "y170000002", "Y2006", "-0000",
           "1960-06-31", "2012-10-10T1:10:10", "1863-03-29 ", "0800/-0999", "2012-24/2012-21", ""]  # fmt: skip


def read(text: str) -> PartialDate:
    found = parse_date(text)
    assert found is not None, date_fault(text)
    return found


@pytest.mark.parametrize("text", LEVEL_0)
def test_i18_level_0(text: str) -> None:
    """EDTF, Library of Congress, 2019-02-04, level 0."""
    assert date_fault(text) is None
    assert read(text).level == 0


@pytest.mark.parametrize("text", LEVEL_1)
def test_i19_level_1(text: str) -> None:
    """EDTF, level 1."""
    assert date_fault(text) is None
    assert read(text).level == 1


@pytest.mark.parametrize("text", LEVEL_2)
def test_i20_level_2_is_refused(text: str) -> None:
    """EDTF, level 2: a reader of level 1 refuses it."""
    assert parse_date(text) is None
    assert date_fault(text)


@pytest.mark.parametrize("text", INVALID)
def test_i21_invalid(text: str) -> None:
    """EDTF, counter-examples."""
    assert parse_date(text) is None
    assert date_fault(text)


@pytest.mark.parametrize(
    "text", ["1985-02-30", "1900-02-29", "2023-02-29", "-0001-02-29", "2004-13-01", "2004-00", "2004-01-00"]
)
def test_i22_the_calendar_is_checked(text: str) -> None:
    """Two date libraries were seen to accept impossible dates."""
    assert date_fault(text)


def test_i23_darwin_core_event_dates() -> None:
    """Darwin Core `eventDate`: plain forms are shared; a shortened end and a time without seconds are not ours."""
    for shared in ("1906-06", "1971", "1900/1909"):
        assert date_fault(shared) is None
    assert "shortened end" in str(date_fault("2007-11-13/15"))
    assert "time of another form" in str(date_fault("2009-02-20T08:40Z"))
    assert date_fault("2007-03-01T13:00:00Z/2008-05-11T15:30:00Z")


@pytest.mark.parametrize(
    ("text", "mend"),
    [("1985-4-12", "`1985-04-12`"), ("19850412", "`1985-04-12`"), ("201u", "`201X`"), ("1850s", "`185X`"),
     ("-350", "`-0350`"), ("c. 1850", "`1850~`"), ("1914–1918", "`1914/1918`"), ("1960-06-31", "June 1960 has 30 days"),
     ("2004/2003", "earlier date first"), ("../..", "at least one date"), ("12 May 2014", "`1985-04-12`"),
     ("1985/open", "`..`"), ("1985-13", "01 to 12"), (" 1985", "blank")],
)  # fmt: skip
def test_the_mend_is_in_the_message(text: str, mend: str) -> None:
    assert mend in str(date_fault(text))


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("1985", date(1985, 1, 1), date(1985, 12, 31)),
        ("1985-04", date(1985, 4, 1), date(1985, 4, 30)),
        ("2004-02", date(2004, 2, 1), date(2004, 2, 29)),
        ("1985-04-12", date(1985, 4, 12), date(1985, 4, 12)),
        ("1985-04-12T23:20:30Z", date(1985, 4, 12), date(1985, 4, 12)),
        ("201X", date(2010, 1, 1), date(2019, 12, 31)),
        ("18XX", date(1800, 1, 1), date(1899, 12, 31)),
        ("1985-04-XX", date(1985, 4, 1), date(1985, 4, 30)),
        ("1985-XX-XX", date(1985, 1, 1), date(1985, 12, 31)),
        ("2001-21", date(2001, 1, 1), date(2001, 12, 31)),
        ("1964/2008-02", date(1964, 1, 1), date(2008, 2, 29)),
        ("1985-04-12/..", date(1985, 4, 12), None),
        ("/1985", None, date(1985, 12, 31)),
        ("-0350", None, None),
        ("0000", None, None),
    ],
)
def test_first_and_last_day(text: str, first: date | None, last: date | None) -> None:
    found = read(text)
    assert (found.first, found.last) == (first, last)


def test_years_beyond_the_calendar() -> None:
    assert (read("-0350").earliest_year, read("-0350").latest_year) == (-350, -350)
    assert read("-03XX").earliest_year == -399 and read("-03XX").latest_year == -300
    assert read("Y-170000002").earliest_year == -170000002
    assert (read("-0400/0100").earliest_year, read("-0400/0100").last) == (-400, date(100, 12, 31))
    assert read("../1985").earliest_year is None


def test_a_hostile_length_is_no_trouble() -> None:
    for text in ("1984" + "?" * 100_000, "Y" + "9" * 100_000, "9" * 100_000, "/" * 100_000):
        assert date_fault(text)


def test_doubt_is_kept() -> None:
    assert [(read(f"1984{mark}").approximate, read(f"1984{mark}").uncertain) for mark in ("", "~", "?", "%")] == [
        (False, False), (True, False), (False, True), (True, True)]  # fmt: skip
    assert read("1984~/2004-06").approximate and not read("1984~/2004-06").uncertain


def test_intervals_may_touch_or_nest() -> None:
    for good in ("2005/2005", "2005/2005-02", "2005-02/2005", "2012-21/2012-24", "2004-02-01/2004-02-01"):
        assert date_fault(good) is None
    for bad in ("2005-02-02/2005-02-01", "2005-03/2005-02", "2006/2005-12-31", "-0100/-0200"):
        assert "backwards" in str(date_fault(bad))


def test_bare_years() -> None:
    assert [parse_year(text) for text in ("-350", "1758", "2026", "7")] == [-350, 1758, 2026, 7]
    assert [parse_year(text) for text in ("", "0", "0350", "-", "10000", "1758 ", "١٧٥٨", "1,758")] == [None] * 8


@settings(max_examples=100)
@given(st.integers(1, 9999), st.integers(0, 13), st.integers(0, 32))
def test_days_agree_with_the_calendar(year: int, month: int, day: int) -> None:
    text = f"{year:04}-{month:02}-{day:02}"
    possible = 1 <= month <= 12 and 1 <= day <= calendar.monthrange(year, month)[1]
    assert (date_fault(text) is None) == possible
    if possible:
        assert read(text).first == read(text).last == date(year, month, day)
        month_read = read(text[:7])
        assert month_read.last is not None and (month == 12) == (month_read.last == date(year, 12, 31))


@settings(max_examples=100)
@given(st.dates(), st.dates())
def test_an_interval_is_in_order(one: date, other: date) -> None:
    text = f"{one.isoformat()}/{other.isoformat()}"
    assert (date_fault(text) is None) == (one <= other)
    if one <= other:
        assert (read(text).first, read(text).last) == (one, other)
        assert read(text).last - one >= timedelta(0)  # type: ignore[operator]


@settings(max_examples=100)
@given(st.text(max_size=30) | st.text("0123456789-/XYZT:?~%.+ ", max_size=25))
def test_any_text_is_read_or_explained(text: str) -> None:
    found, fault = parse_date(text), date_fault(text)
    assert (found is None) == (fault is not None)
    assert fault is None or fault.isprintable()
    parse_year(text)
