"""Due dates as an iCalendar file (RFC 5545): one all-day event for each, which marks nobody as busy.

In: a `Todo` and the address of the museum's site. Out: the bytes of the file, the same whenever it is made: an event's
UID comes from what is due, its stamp from the day on which it is due, never from a clock, so that a calendar that takes
the file again moves its events and doubles none.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from urllib.parse import quote, urlsplit

from builder.task import Task
from builder.todo import Todo

MADE_BY = "-//Vouchered//Due dates//EN"
SORTS = {"claim": "re-check", "hazard": "hazard", "waiver": "waiver", "approval": "approval"}
ESCAPES = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"})
"""How a text is written (RFC 5545, 3.3.11)."""
OCTETS = 74
"""Octets on one line without the blank that begins all but the first: 75 are the most (RFC 5545, 3.1)."""


def due_calendar(todo: Todo, site: str | None = None) -> bytes:
    """Every task with a day as an event, earliest first."""
    host = _host(site)
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{MADE_BY}", "CALSCALE:GREGORIAN"]
    lines.append(f"NAME:{f'Due at {todo.museum}'.translate(ESCAPES)}")  # RFC 7986
    for task in todo.dated:
        lines += _event(task, host)
    lines.append("END:VCALENDAR")
    return "".join(f"{_fold(line)}\r\n" for line in lines).encode()


def _event(task: Task, host: str) -> Iterator[str]:
    """The lines of one event, unfolded."""
    day = date.fromisoformat(task.due)
    summary = _plain(f"{task.record}: {task.what}" if task.record else task.what)
    description = _plain(f"Next: {task.next}") + f"\n{task.file}:{task.line}"
    uid = f"{quote('/'.join(filter(None, (task.kind, task.record, task.id))), safe='/')}@{host}"
    yield "BEGIN:VEVENT"
    yield f"SUMMARY:{summary.translate(ESCAPES)}"
    yield f"DTSTART;VALUE=DATE:{_digits(day)}"
    if day < date.max:
        yield f"DTEND;VALUE=DATE:{_digits(day + timedelta(days=1))}"
    yield f"DTSTAMP:{_digits(day)}T000000Z"
    yield f"UID:{uid.translate(ESCAPES)}"
    yield f"CATEGORIES:{SORTS.get(task.id.partition(' ')[0], 'date') if task.kind == 'date' else 'source'}"
    yield f"DESCRIPTION:{description.translate(ESCAPES)}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _digits(day: date) -> str:
    return day.isoformat().replace("-", "")


def _fold(line: str) -> str:
    """A line as it stands in the file: cut where it grows too long, but through no character."""
    if len(line) <= OCTETS and line.isascii():
        return line
    parts, begins, octets = [], 0, 0
    for at, sign in enumerate(line):
        size = len(sign.encode())
        if octets + size > OCTETS:
            parts.append(line[begins:at])
            begins, octets = at, 0
        octets += size
    return "\r\n ".join((*parts, line[begins:]))


def _plain(text: str) -> str:
    return " ".join(text.replace("`", "").split())


def _host(site: str | None) -> str:
    """The domain in the events' UIDs; without a site a name that no host can have (RFC 6761)."""
    try:
        return urlsplit(site or "").hostname or "vouchered.invalid"
    except ValueError:
        return "vouchered.invalid"
