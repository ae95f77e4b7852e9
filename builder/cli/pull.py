"""`pull`: what to fetch from the store for some pieces, with cautions and removal slips. For staff alone."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import click

from builder.cli.command import choose_piece, main, open_road

TIME = re.compile(r"(?:[0-9]{4}-[0-9]{2}-[0-9]{2} )?(?:[01][0-9]|2[0-3]):[0-5][0-9]|[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _time(_context: click.Context, _option: click.Parameter, value: str | None) -> str:
    """An hour, a day, or both, as they are printed."""
    from builder.model.value import read_moment

    if value is None:
        return ""
    text = " ".join(value.split())
    day = text[:10] if "-" in text else ""
    if not TIME.fullmatch(text) or (day and read_moment(day) is None):
        raise click.BadParameter(f"`{value}` is no time; write 10:30, 2026-12-01 or `2026-12-01 10:30`")
    return text


@main.command(short_help="List what to fetch from the store, with cautions and slips.")
@click.argument("pieces", nargs=-1, required=True, metavar="PIECE…")
@click.option("--out-by", callback=_time, metavar="TIME", help="When everything must be out: 10:30, or a day, or both.")
@click.option("--back-by", callback=_time, metavar="TIME", help="When everything must be back.")
@click.option("-o", "--output", type=click.Path(dir_okay=False), metavar="FILE", help="Write to FILE.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "pdf"]),
    help="Form of the list; else by the ending of FILE, else text.",
)
@click.pass_context
def pull(
    context: click.Context, pieces: tuple[str, ...], out_by: str, back_by: str, output: str | None, form: str | None
) -> None:
    """List what to fetch for every PIECE, in the order of the store, with cautions, and slips to leave in its place.

    For staff alone: it names shelves. Text and JSON go to the terminal and a PDF below build/staff, unless -o names a
    file.

    \b
    Example:
      vouchered pull european-nightjar/talk ostrich/talk --out-by 10:30 --back-by 12:00 --format pdf
    """
    import json

    from builder.compose.pull import pull_list
    from builder.render.pull import pull_sheet, pull_text, pull_title

    if out_by and back_by and len(out_by) == len(back_by) and back_by <= out_by:
        raise click.BadParameter(f"{back_by} is not after {out_by}", param_hint="--back-by")
    road = open_road(context, remember=False)
    chosen = dict.fromkeys(choose_piece(road, name) for name in pieces)
    cases = {record: road.case(record) for record, _ in chosen}
    made = pull_list(
        [(cases[record], cases[record].pieces[piece]) for record, piece in chosen], out_by=out_by, back_by=back_by
    )
    form = form or {".pdf": "pdf", ".json": "json"}.get(Path(output or "").suffix.lower(), "text")
    if form == "pdf":
        from builder.render.typeset import typeset

        data = typeset(
            "pull",
            pull_sheet(made),
            title=pull_title(made),
            language=made["language"],
            staff=True,
            notice=made["notice"],
        )
    elif form == "json":
        data = (json.dumps({"pull_list": made}, ensure_ascii=False, indent=2) + "\n").encode()
    else:
        data = pull_text(made).encode()
    if output is None and form != "pdf":
        click.echo(data.decode(), nl=False)
    else:
        path = Path(output) if output else road.workspace.root / "build/staff" / f"{_stem(list(chosen))}.pdf"
        _write(road, path, data)
    for warning in made["warnings"]:
        click.echo(f"warning: {warning}", err=True)


def _stem(chosen: list[tuple[str, str]]) -> str:
    """The name of the list's file: its piece, or how many it is for."""
    return f"pull-{chosen[0][0]}-{chosen[0][1]}" if len(chosen) == 1 else f"pull-{len(chosen)}-pieces"


def _write(road: Any, path: Path, data: bytes) -> None:
    """Write where the public never comes, and over nothing that a person may have written."""
    from builder.publish.staff import overwrites, public_folder
    from builder.publish.write import write_bytes

    shown = public_folder(road.workspace, path)
    if shown is not None:
        message = f"`{path}` lies in `{shown}`, which may become public; a pull list names shelves"
        raise click.BadParameter(message, param_hint="-o")
    if overwrites(road.workspace, path, marks=MARKS, title=b"Pull list"):
        raise click.BadParameter(f"`{path}` is there and is no pull list; nothing was written", param_hint="-o")
    written = write_bytes(path, data)
    click.echo(f"{path} {'written' if written else 'is as it was'}: for staff only.")


MARKS = (b"Pull list", b'{\n  "pull_list": {')
"""How what is written here begins, but for a PDF."""
