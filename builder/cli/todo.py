"""`todo`: what there is to do, the most pressing first; as text, as JSON, and as a calendar of due dates."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from builder.cli.command import main, open_road, show_progress


@main.command(short_help="List what there is to do, the most pressing first.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "ics"]),
    help="Form of the list; else by the ending of FILE, else text.",
)
@click.option("-o", "--output", type=click.Path(dir_okay=False), metavar="FILE", help="Write to FILE.")
@click.option("--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="Judge dates as on this day.", metavar="DATE")
@click.pass_context
def todo(context: click.Context, form: str | None, output: str | None, day: datetime | None) -> None:
    """List what there is to do: withdrawn sources first, then corrections, approvals, dates, stale sources, leads.

    The text looks three months ahead; json and ics hold every date. ics is a calendar to import or subscribe to.

    Exit 1 where something must not wait: a day that has come, a withdrawn source, an open correction, an approval that
    no longer counts, a change of who may approve, an entry that cannot be read; else 0, whatever else there is to do.

    \b
    Example:
      vouchered todo
      vouchered todo --format ics -o due.ics
    """
    from builder.todo import list_todo, todo_json, todo_text

    road = open_road(context, day, tasks=True)
    verdict = road.walk(told=show_progress("looking at"))
    with suppress(OSError):  # a folder that cannot be written can be looked at all the same, if more slowly
        road.remember()
    found = list_todo(road, verdict)
    form = form or {".ics": "ics", ".json": "json"}.get(Path(output or "").suffix.lower(), "text")
    if form == "ics":
        from builder.duedates import due_calendar

        data = due_calendar(found, road.shared.museum.site)
    elif form == "json":
        data = todo_json(found).encode()
    else:
        bold = (lambda text: click.style(text, bold=True)) if output is None else str
        text = todo_text(found, style=bold)
        data = text.encode()
    if output is not None:
        _write(road, Path(output), data)
    else:
        click.echo(data if form == "ics" else data.decode(), nl=False)
    context.exit(1 if found.pressing else 0)


def _write(road: Any, path: Path, data: bytes) -> None:
    """Write where the public never comes, and over nothing that a person may have written."""
    from builder.publish.staff import overwrites, public_folder
    from builder.publish.write import write_bytes

    shown = public_folder(road.workspace, path)
    if shown is not None:
        raise click.BadParameter(f"`{path}` lies in `{shown}`, which may become public", param_hint="-o")
    if overwrites(road.workspace, path, marks=MARKS):
        raise click.BadParameter(f"`{path}` is there and is no such list; nothing was written", param_hint="-o")
    written = write_bytes(path, data)
    click.echo(f"{path} {'written' if written else 'is as it was'}: for staff only.")


MARKS = (b"To do at ", b'{\n  "todo": {', b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Vouchered//Due dates")
"""How what is written here begins: only such a file is written over."""
