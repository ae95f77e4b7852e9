"""`import`: bibliographies and tables of leads."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from builder.cli.command import choose_records, main, open_road

AFTER_LEADS = "vouchered todo, which says what each lead lacks"
AFTER_SOURCES = "say of each what standing it has, what it draws on, and when and how far you read it"


@main.command("import", short_help="Add sources or leads from a file.")
@click.argument("file", type=click.Path(exists=True, dir_okay=False))
@click.option("--into", "record", metavar="RECORD", help="The record that a claims table (CSV) goes into.")
@click.option(
    "--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="Note this day as that of the import.", metavar="DATE"
)
@click.pass_context
def import_(context: click.Context, file: str, record: str | None, day: datetime | None) -> None:
    """Add sources from FILE (BibTeX, CSL-JSON or RIS), or leads from a claims table (CSV) to a record.

    What stands in the file stays as it is; works that are there already are named and not added.

    \b
    Example:
      vouchered import library.bib
      vouchered import ideas.csv --into european-nightjar
    """
    from builder.load.bibliography import read_bibliography
    from builder.load.workspace import TEXT_LIMIT, decode
    from builder.publish.write import write_bytes
    from builder.skeleton.addition import add_leads, add_sources

    road = open_road(context, day, remember=False)
    data = Path(file).read_bytes()
    if len(data) > TEXT_LIMIT:
        raise click.BadParameter(f"`{file}` holds {len(data):,} bytes; {TEXT_LIMIT:,} are the most", param_hint="FILE")
    top = road.workspace.root / road.workspace.records
    faults: list[tuple[int, str]] = []
    if file.lower().endswith(".csv"):
        chosen = choose_records(road, (record,)) if record else None
        if not chosen:
            raise click.BadParameter("say which record the table goes into", param_hint="--into")
        loaded = road.fetch(chosen[0])
        if loaded is None or loaded.record is None:
            raise click.BadParameter(
                f"`{chosen[0]}` cannot be read yet; `vouchered check` says why", param_hint="--into"
            )
        target = top / chosen[0] / "record.yml"
        table, fault = decode(data)
        if fault:
            raise click.BadParameter(fault.message, param_hint="FILE")
        text = loaded.files["record.yml"].decode("utf-8")
        try:
            addition = add_leads(text.replace("\r\n", "\n"), loaded.record.claims, table)
        except ValueError as wrong:
            raise click.BadParameter(str(wrong), param_hint="--into") from wrong
    else:
        entries, found = read_bibliography(data)
        faults = [(f.row, f"{f.key + ': ' if f.key else ''}{f.message}; {f.mend}") for f in found]
        target = top / "sources.yml"
        text = road.workspace.shared.get("sources.yml", b"").decode("utf-8")
        if f"{road.workspace.records}/sources.yml" in road.shared.unreadable or road.shared.broken:
            raise click.UsageError("`sources.yml` has problems; mend what `vouchered check` says first")
        addition = add_sources(text.replace("\r\n", "\n"), road.library.sources, entries, today=road.today.isoformat())
    for row, words in sorted([*faults, *addition.skipped]):
        click.echo(f"{file}:{row}: {words}")
    if addition.added:
        new = addition.text.replace("\n", "\r\n") if "\r\n" in text else addition.text
        write_bytes(target, new.encode())
    for key in addition.added:
        click.echo(f"added `{key}` to {target.relative_to(road.workspace.root).as_posix()}")
    click.echo(f"{len(addition.added)} added, {len(addition.skipped)} left out")
    if addition.added:
        click.echo(f"Next: {AFTER_LEADS if record else AFTER_SOURCES}")
    context.exit(1 if faults or addition.skipped else 0)
