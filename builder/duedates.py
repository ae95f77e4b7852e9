"""Due dates as an iCalendar file (RFC 5545): one all-day event for each, which marks nobody as busy.

In: a `Todo` and the address of the museum's site. Out: the bytes of the file, the same whenever it is made: an event's
UID comes from what is due, its stamp from the day on which it is due, never from a clock, so that a calendar that takes
the file again moves its events and doubles none.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from urllib.parse import quote, urlsplit

from icalendar import Calendar, Event

from builder.task import Task
from builder.todo import Todo

MADE_BY = "-//Vouchered//Due dates//EN"
SORTS = {"claim": "re-check", "hazard": "hazard", "waiver": "waiver", "approval": "approval"}


def due_calendar(todo: Todo, site: str | None = None) -> bytes:
    """Every task with a day as an event, earliest first."""
    calendar = Calendar()
    calendar.add("prodid", MADE_BY)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", f"Due at {todo.museum}")  # RFC 7986
    for task in todo.dated:
        calendar.add_component(_event(task, _host(site)))
    return bytes(calendar.to_ical())


def _event(task: Task, host: str) -> Event:
    day = date.fromisoformat(task.due)
    event = Event()
    event.add("uid", f"{quote('/'.join(filter(None, (task.kind, task.record, task.id))), safe='/')}@{host}")
    event.add("dtstamp", datetime(day.year, day.month, day.day, tzinfo=UTC))
    event.add("dtstart", day)
    if day < date.max:
        event.add("dtend", day + timedelta(days=1))
    event.add("summary", _plain(f"{task.record}: {task.what}" if task.record else task.what))
    event.add("description", _plain(f"Next: {task.next}") + f"\n{task.file}:{task.line}")
    event.add("categories", [SORTS.get(task.id.partition(" ")[0], "date") if task.kind == "date" else "source"])
    event.add("transp", "TRANSPARENT")
    return event


def _plain(text: str) -> str:
    return " ".join(text.replace("`", "").split())


def _host(site: str | None) -> str:
    """The domain in the events' UIDs; without a site a name that no host can have (RFC 6761)."""
    try:
        return urlsplit(site or "").hostname or "vouchered.invalid"
    except ValueError:
        return "vouchered.invalid"
