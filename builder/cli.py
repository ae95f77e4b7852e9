"""The command `vouchered`: the only module that prints or exits.

Exit 0: clean. 1: problems. 2: could not run.
"""

from __future__ import annotations

import os
import sys
from datetime import date, datetime
from pathlib import Path
from typing import Any

import click

from builder.load.workspace import NotAWorkspace, find_root

# numpy's threads cost small tables more than they give, and every core walks records of its own
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

COLOURS = {"error": "red", "warning": "yellow", "caret": "red"}


class Commands(click.Group):
    """The group of commands: a crash is our fault and says so."""

    def main(self, *args: Any, **settings: Any) -> Any:
        """Run the command line."""
        try:
            return super().main(*args, **settings)
        except NotAWorkspace as fault:
            click.echo(f"cannot run: {fault}", err=True)
            sys.exit(2)
        except OSError as fault:
            click.echo(f"cannot run: {fault.strerror or fault}: {fault.filename or ''}", err=True)
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


def open_road(context: click.Context, day: datetime | None = None, *, remember: bool = True) -> Any:
    """The workspace named on the command line, read."""
    from builder.road import Road

    root = find_root(context.obj)
    return Road(root, today=day.date() if day else date.today(), remember=remember)


@main.command()
@click.argument("paths", nargs=-1, type=click.Path())
@click.option(
    "--format", "form", type=click.Choice(["text", "json", "sarif"]), default="text", help="Form of the report."
)
@click.option("--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="Judge dates as on this day.", metavar="DATE")
@click.option("--forget", is_flag=True, help="Read and check everything anew.")
@click.pass_context
def check(context: click.Context, paths: tuple[str, ...], form: str, day: datetime | None, forget: bool) -> None:
    """Check every record, or those at PATH, and say what to mend.

    \b
    Example:
      vouchered check
      vouchered check demo_specimens/ostrich --format json
    """
    from builder import report
    from builder.build import remember_walk

    road = open_road(context, day, remember=not forget)
    verdict = road.walk(_records(road, paths), told=_progress("checking"))
    remember_walk(road)
    if form == "json":
        click.echo(report.as_json(verdict.problems, verdict.summary), nl=False)
    elif form == "sarif":
        from importlib.metadata import version

        click.echo(report.as_sarif(verdict.problems, version("vouchered")), nl=False)
    else:
        text = report.as_text(verdict.problems, verdict.summary, road.read_line, road.titles(verdict), style=_style)
        click.echo(text, nl=False)
    context.exit(1 if verdict.summary.errors else 0)


def _style(text: str, name: str) -> str:
    return click.style(text, fg=COLOURS.get(name), bold=True)


def _records(road: Any, paths: tuple[str, ...]) -> list[str] | None:
    """The records that the paths (or bare ids) name; None for all."""
    if not paths:
        return None
    known = road.workspace.folders
    found: list[str] = []
    for text in paths:
        parts = Path(text).parts
        name = next((part for part in reversed(parts) if part in known), None)
        if name is None and Path(text).resolve() in (road.workspace.root, road.workspace.root / road.workspace.records):
            return None
        if name is None:
            from builder.load.shape import suggest

            raise click.BadParameter(f"there is no record `{text}`{suggest(text, known)}", param_hint="PATH")
        found.append(name)
    return sorted(set(found))


def _progress(what: str) -> Any:
    """Progress of long work, on a terminal only."""
    if not sys.stderr.isatty():
        return None

    def told(done: int, whole: int) -> None:
        if whole > 40 and (done % 16 == 0 or done == whole):
            click.echo(f"\r{what} {done} of {whole} records", err=True, nl=done == whole)

    return told


@main.command()
@click.option("--drafts", is_flag=True, help="Take everything, marked as drafts, into build/drafts.")
@click.option("--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="Judge dates as on this day.", metavar="DATE")
@click.option("--forget", is_flag=True, help="Make everything anew.")
@click.pass_context
def build(context: click.Context, drafts: bool, day: datetime | None, forget: bool) -> None:
    """Check, then build the site from approved pieces; with --drafts from all, marked as drafts.

    \b
    Example:
      vouchered build --drafts
    """
    from builder.build import build as build_site
    from builder.report import as_text
    from builder.road import Road, Target

    root = find_root(context.obj)
    today = day.date() if day else date.today()
    work = root / "build" / "drafts" if drafts else root / "build"
    road = Road(root, today=today, remember=not forget, target=Target(drafts, work / "docs"))
    built = build_site(root, today=today, draft=drafts, road=road, told=_progress("working"), say=click.echo)
    verdict = built.verdict
    if verdict.problems:
        text = as_text(verdict.problems, verdict.summary, road.read_line, road.titles(verdict), style=_style)
        click.echo(text, nl=False)
    for problem in built.problems:
        where = f"{problem.place.file}: " if problem.place else ""
        click.echo(f"error: {problem.check}: {where}{problem.message}\n  mend: {problem.mend}", err=True)
    if built.site is None:
        click.echo("Nothing was published; the last good site stands.", err=True)
        context.exit(1)
    if built.waiting:
        click.echo(f"{built.waiting} pieces wait for a curator's approval and are not in the site.")
    state = "built" if built.generated else "unchanged"
    click.echo(
        f"{built.pages} pages, {built.written} files written anew. Site {state}: open {built.site / 'index.html'}"
    )
    context.exit(1 if verdict.summary.errors else 0)
