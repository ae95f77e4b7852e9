"""`new`: skeletons."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from builder.cli.command import choose_records, main, open_road


@main.group(short_help="Write a skeleton: museum, record, page, label, talk or script.")
def new() -> None:
    """Write a skeleton: museum, record, page, label, talk or script. Nothing that exists is overwritten.

    \b
    Example:
      vouchered new museum my-museum
      vouchered new record "European nightjar"
    """


@new.command("museum")
@click.argument("folder", metavar="DIR", type=click.Path(file_okay=False))
@click.option("--name", help="The museum's name.")
def new_museum(folder: str, name: str | None) -> None:
    """Write a whole workspace into DIR.

    \b
    Example:
      vouchered new museum my-museum --name "Museum of Example"
    """
    from builder import skeleton

    top = Path(folder)
    title = name or top.resolve().name.replace("-", " ").replace("_", " ").capitalize()
    _write_new(top, skeleton.new_museum(title))
    click.echo(f'Next: vouchered -w {folder} new record "its common name"')


@new.command("record")
@click.argument("name")
@click.pass_context
def new_record(context: click.Context, name: str) -> None:
    """Write a record with a page, under the common name NAME.

    \b
    Example:
      vouchered new record "European nightjar"
    """
    from builder import skeleton

    road = open_road(context, remember=False)
    key = skeleton.make_id(name)
    if not key:
        raise click.BadParameter(f"`{name}` gives no id: use letters a to z or digits", param_hint="NAME")
    folder = Path(road.workspace.records, key)
    _write_new(road.workspace.root / folder, skeleton.new_record(name), shown=folder)
    click.echo(f"Next: write down what you know in {(folder / 'record.yml').as_posix()}, then: vouchered check")


def _new_piece(use: str) -> None:
    @new.command(use)
    @click.argument("record")
    @click.option("--name", help="The name of the file, without its ending.")
    @click.pass_context
    def write(context: click.Context, record: str, name: str | None) -> None:
        from builder import skeleton

        road = open_road(context, remember=False)
        chosen = choose_records(road, (record,))
        if not chosen:
            raise click.BadParameter("name one record", param_hint="RECORD")
        loaded = road.fetch(chosen[0])
        common = loaded.record.name.common if loaded and loaded.record else chosen[0]
        file = f"{skeleton.make_id(name or use) or use}.md"
        folder = Path(road.workspace.records, chosen[0])
        _write_new(
            road.workspace.root / folder,
            {file: skeleton.new_piece(use, common)},
            shown=folder,
            mend="; name the new one with --name",
        )
        click.echo("Next: write it, then: vouchered check; to see it: vouchered preview " + chosen[0])

    write.help = f"Write a {use} for RECORD.\n\n\b\nExample:\n  vouchered new {use} european-nightjar"


for _use in ("page", "label", "talk", "script"):
    _new_piece(_use)


def _write_new(top: Path, made: dict[str, str], *, shown: Path | None = None, mend: str = "") -> None:
    """Write new files below `top`, or none at all where one of them exists or its folder is a file.

    `shown` is `top` as it is to be told, `mend` what to do where one of them exists.
    """
    from builder.publish.write import write_bytes

    shown = shown or top
    folders = {folder for name in made for folder in Path(name).parents}
    blocked = [folder for folder in folders if os.path.lexists(top / folder) and not (top / folder).is_dir()]
    standing = sorted([*blocked, *(Path(name) for name in made if os.path.lexists(top / name))])
    if standing:
        where = (shown / standing[0]).as_posix()
        click.echo(f"cannot run: `{where}` exists already; nothing was written{mend}", err=True)
        sys.exit(2)
    for name, text in made.items():
        write_bytes(top / name, text.encode())
        click.echo(f"wrote {(shown / name).as_posix()}")
