"""`build` and `preview`."""

from __future__ import annotations

from datetime import date, datetime

import click

from builder.cli.command import choose_records, main, open_road, paint, show_progress
from builder.load.workspace import find_root


@main.command(short_help="Check, then build the site of approved pieces.")
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
    built = build_site(root, today=today, draft=drafts, road=road, told=show_progress("working"), say=click.echo)
    verdict = built.verdict
    stopping = [problem for problem in verdict.problems if problem.severity == "error"]
    click.echo(
        as_text(stopping, verdict.summary, road.workspace.read_line, road.titles(verdict), style=paint), nl=False
    )
    for problem in built.problems:
        where = f"{problem.place.file}: " if problem.place else ""
        click.echo(f"error: {problem.check}: {where}{problem.message}\n  mend: {problem.mend}", err=True)
    if built.site is None:
        click.echo("Nothing was published; the last good site stands.", err=True)
        context.exit(1)
    if built.waiting:
        count = len(built.waiting)
        say = "1 piece waits for a curator and is" if count == 1 else f"{count} pieces wait for a curator and are"
        click.echo(f"{say} not in the site:")
        for row in built.waiting:
            click.echo(f"  {row.record}/{row.piece}: {row.reason}")
    state = "built" if built.generated else "unchanged"
    click.echo(
        f"{built.pages} pages, {built.written} files written anew. Site {state}: open {built.site / 'index.html'}"
    )
    context.exit(1 if verdict.summary.errors else 0)


@main.command(short_help="Show a live draft site in a browser.")
@click.argument("records", nargs=-1)
@click.option(
    "--port", type=click.IntRange(1, 65535), default=8321, show_default=True, help="The port on this machine."
)
@click.pass_context
def preview(context: click.Context, records: tuple[str, ...], port: int) -> None:
    """Show a live draft site in a browser, of those RECORDS alone if named. It follows every saved change.

    \b
    Example:
      vouchered preview european-nightjar
    """
    from builder.preview import follow

    root = find_root(context.obj)
    road = open_road(context)
    names = choose_records(road, records)
    click.echo(f"Open http://127.0.0.1:{port}/ (stop with Ctrl-C)")
    if not follow(root, names, port=port, say=click.echo):
        context.exit(2)
