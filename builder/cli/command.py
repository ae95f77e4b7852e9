"""The group of commands, and what several of them share: the workspace, its records, progress.

Exit 0: clean. 1: problems. 2: could not run.
"""

from __future__ import annotations

import gc
import io
import os
import sys
import traceback
from datetime import date, datetime
from pathlib import Path
from typing import Any

import click

from builder.load.workspace import NotAWorkspace, find_root

# numpy's threads cost small tables more than they give, and every core walks records of its own
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# a command reads much, keeps little and ends soon: collecting rarely saves a quarter of its time
gc.set_threshold(50_000, 50, 50)

COLOURS = {"error": "red", "warning": "yellow", "caret": "red"}


class Commands(click.Group):
    """The group of commands: a crash is our fault and says so."""

    def main(self, *args: Any, **settings: Any) -> Any:
        """Run the command line."""
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, io.TextIOWrapper):  # a report is UTF-8 whatever the locale, and never stops halfway
                stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="replace")
        try:
            return super().main(*args, **settings)
        except NotAWorkspace as fault:
            click.echo(f"cannot run: {fault}", err=True)
            sys.exit(2)
        except OSError as fault:
            click.echo(f"cannot run: {fault.strerror or fault}: {fault.filename or ''}", err=True)
            sys.exit(2)
        except Exception as fault:
            if os.environ.get("VOUCHERED_DEBUG"):
                raise
            where = traceback.extract_tb(fault.__traceback__)[-1]
            place = f"{Path(where.filename).name}:{where.lineno}"
            click.echo(
                f"cannot run: this is a fault of the program, not of your records: {type(fault).__name__}: {fault} "
                f"({place}). Report it with the file that brings it about; VOUCHERED_DEBUG=1 shows more.",
                err=True,
            )
            sys.exit(2)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.option("-w", "--workspace", default=".", type=click.Path(file_okay=False), help="The folder of the workspace.")
@click.version_option(package_name="vouchered")
@click.pass_context
def main(context: click.Context, workspace: str) -> None:
    """Turn specimen records into public text in which every sentence is vouched for.

    \b
    Example:
      vouchered -w my-museum check
    """
    context.obj = Path(workspace)


def open_road(
    context: click.Context, day: datetime | None = None, *, remember: bool = True, tasks: bool = False
) -> Any:
    """The workspace named on the command line, read."""
    from builder.road import Road

    root = find_root(context.obj)
    return Road(root, today=day.date() if day else date.today(), remember=remember, tasks=tasks)


def choose_records(road: Any, paths: tuple[str, ...]) -> list[str] | None:
    """The records that the paths (or bare ids) name; None for all, as for a file that all records share."""
    known = road.workspace.folders
    top = road.workspace.root / road.workspace.records
    found: set[str] = set()
    for text in paths:
        if str(Path(text)) in known:
            found.add(str(Path(text)))
            continue
        tried = [Path(text).resolve(), (road.workspace.root / text).resolve()]
        path = next((path for path in tried if path.exists()), None)
        inner = path.relative_to(top).parts if path and path.is_relative_to(top) else ()
        if inner and inner[0] in known:
            found.add(inner[0])
        elif path in (road.workspace.root, top) or (path and inner and (path.is_file() or inner[0] == "excerpts")):
            return None
        else:
            from builder.load.shape import suggest

            meant = suggest(Path(text).name, known)
            raise click.BadParameter(f"there is no record `{text}`{meant}")
    return sorted(found) if paths else None


def choose_piece(road: Any, name: str) -> tuple[str, str]:
    """The record and the piece that `record/piece`, the path of its file, or a record of one piece alone, names."""
    from builder.load.shape import suggest

    top = (road.workspace.root / road.workspace.records).resolve()
    for path in (Path(name).resolve(), (road.workspace.root / name).resolve()):
        if path.suffix == ".md" and path.is_file() and path.is_relative_to(top):
            name = path.relative_to(top).as_posix()
    record, _, piece = name.removeprefix(f"{road.workspace.records}/").removesuffix(".md").partition("/")
    if record not in road.workspace.folders:
        hint = suggest(record, road.workspace.folders)
        raise click.BadParameter(f"there is no record `{record}`{hint}", param_hint="PIECE")
    loaded = road.fetch(record)
    if loaded.record is None:
        raise click.BadParameter(f"`{record}` cannot be read yet; `vouchered check` says why", param_hint="PIECE")
    pieces = loaded.pieces
    if not piece and len(pieces) == 1:
        return record, next(iter(pieces))
    if piece not in pieces:
        named = f"there is no piece `{piece}` in `{record}`{suggest(piece, pieces)}" if piece else "name its piece too"
        raise click.BadParameter(f"{named}; there are {', '.join(sorted(pieces)) or 'none'}", param_hint="PIECE")
    return record, piece


def key_folder() -> Path:
    """Where a curator's key is kept unless they say otherwise: outside every workspace."""
    return Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "vouchered"


def paint(text: str, name: str) -> str:
    """A stretch of a report in the colour of its part."""
    return click.style(text, fg=COLOURS.get(name), bold=True)


def show_progress(what: str) -> Any:
    """Progress of long work, on a terminal only."""
    if not sys.stderr.isatty():
        return None

    def told(done: int, whole: int) -> None:
        if whole > 40 and (done % 16 == 0 or done == whole):
            click.echo(f"\r{what} {done} of {whole} records", err=True, nl=done == whole)

    return told
