"""stale-source: see stale_source.md"""

from calendar import monthrange
from collections.abc import Iterator
from datetime import date

from builder.check.case import Shelf
from builder.problem import WARNING, Problem
from builder.weigh.date import parse_date

NAME, SEVERITY, WAIVABLE, SCOPE = "stale-source", WARNING, False, "library"


def check(shelf: Shelf) -> Iterator[Problem]:
    """A source that something rests on and that nobody has had in hand for the months of the house rule, or ever."""
    months = shelf.library.rules.source_months
    limit = months_before(shelf.today, months)
    for key in shelf.library.sources:
        if key not in shelf.resting or key in shelf.library.shared.broken:
            continue
        seen = shelf.library.sources[key].seen
        if seen is None:
            message = f"`{key}` is cited, but nothing says when a person last had it in hand"
            mend = "look it up and add `seen:` with the day; if you cannot, cite the work in which you found it"
            yield Problem(NAME, message, mend, path=(key,), at_key=True)
            continue
        day = parse_date(seen)
        if day and day.last and day.last < limit:
            message = f"`{key}` was last seen on {seen}, more than {months} months ago"
            mend = "look whether it still says so, and was not corrected or withdrawn; then set `seen` to that day"
            yield Problem(NAME, message, mend, path=(key, "seen"))


def months_before(day: date, months: int) -> date:
    """The same day that many months earlier, or the last of a shorter month; not before year 1."""
    index = day.year * 12 + day.month - 1 - months
    if index < 12:
        return date.min
    year, month = divmod(index, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
