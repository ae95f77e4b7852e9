"""`check` and `explain`."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime

import click

from builder.cli.command import choose_records, main, open_road, paint, show_progress


@main.command(short_help="Check every record and say what to mend.")
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

    road = open_road(context, day, remember=not forget)
    verdict = road.walk(choose_records(road, paths), told=show_progress("checking"))
    with suppress(OSError):  # a folder that cannot be written can be checked all the same, if more slowly
        road.remember()
    if form == "json":
        click.echo(report.as_json(verdict.problems, verdict.summary), nl=False)
    elif form == "sarif":
        from importlib.metadata import version

        click.echo(report.as_sarif(verdict.problems, version("vouchered")), nl=False)
    else:
        text = report.as_text(
            verdict.problems, verdict.summary, road.workspace.read_line, road.titles(verdict), style=paint
        )
        click.echo(text, nl=False)
    context.exit(1 if verdict.summary.errors else 0)


@main.command(short_help="Say what a check is for, with examples.")
@click.argument("name", required=False)
def explain(name: str | None) -> None:
    """Say what CHECK is for, with its examples; without a name, list all checks.

    \b
    Example:
      vouchered explain claim-without-source
    """
    from builder.check.registry import GROUPS, all_checks, checks_by_name, find_check
    from builder.load.shape import suggest

    if name is None:
        for group in GROUPS:
            for known in all_checks():
                if known.group == group:
                    click.echo(f"{known.name:<32} {known.severity}")
        return
    check = find_check(name)
    if check is None:
        raise click.BadParameter(f"there is no check `{name}`{suggest(name, checks_by_name())}", param_hint="CHECK")
    click.echo(check.page, nl=False)
