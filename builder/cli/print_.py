"""`print`: pieces as PDF."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import click

from builder.cli.command import main, open_road


@main.command(name="print")
@click.argument("pieces", metavar="PIECE…", nargs=-1, required=True)
@click.option("-o", "--output", type=click.Path(), help="The file, or the folder for several; else build/print/.")
@click.option(
    "--minutes", type=click.FloatRange(min=0, min_open=True), help="Fit a talk or script into so many minutes."
)
@click.option("--cards", type=click.Choice(["a6", "a5"]), default="a6", help="Size of the cue cards of a talk.")
@click.option("--large", is_flag=True, help="Large print.")
@click.option("--qr", is_flag=True, help="Add a square code to labels that leads to the specimen's page.")
@click.pass_context
def print_pieces(
    context: click.Context, pieces: tuple[str, ...], output: str | None, minutes: float | None, cards: Any,
    large: bool, qr: bool,
) -> None:  # fmt: skip
    """Print pieces: labels on sheets, a talk as cue cards, a page as a handout, a script with its tracks and texts.

    PIECE is `record/piece`, the path of its .md, or a record that has one piece that can be printed. Several labels
    go on sheets together. A script becomes a folder: the two-column sheet, the shot list and the prompter copy (both
    for staff), captions, chapters, claims by time, transcript and description; `-o FILE.pdf` takes the sheet alone.
    What nobody has signed is marked as a draft on every page.

    \b
    Example:
      vouchered print european-nightjar/label --qr
      vouchered print thylacine/talk --minutes 5 --cards a5 -o cards.pdf
      vouchered print european-nightjar/script
    """
    from builder.compose.piece import compose
    from builder.load.picture import public_picture
    from builder.publish.write import write_bytes
    from builder.render.printed import PRINTERS, PrintJob, print_label_sheets, print_script

    road = open_road(context)
    museum = road.shared.museum
    if qr and not museum.site:
        raise click.UsageError("a square code needs an address: write `site: https://…` in museum.yml")
    fitted = Decimal(str(minutes)) if minutes is not None else None
    jobs: list[PrintJob] = []
    for text in pieces:
        record, piece = _find_piece(road, text, PRINTERS)
        case = road.case(record)
        if case is None or piece not in case.pieces:
            raise click.BadParameter(f"`{record}/{piece}` cannot be read yet; `vouchered check` says why")
        document = compose(case, case.weighed, case.pieces[piece])
        files = road.workspace.folders[record]
        pictures = {row["file"]: public_picture(row["file"], files[row["file"]]) for row in document["figures"]}
        citing = document["sources"] if document["kind"] == "script" else ()
        entries = {source["id"]: road.entries.entry(source["fields"]) for source in citing}
        draft = is_draft(case, document)
        jobs.append(PrintJob(document, museum, draft, pictures, fitted, cards, large, qr, entries))
    _stop_on_errors(context, road, jobs)
    labels = [job for job in jobs if job.document["kind"] == "label"]
    scripts = [job for job in jobs if job.document["kind"] == "script"]
    others = [job for job in jobs if job.document["kind"] not in ("label", "script")]
    made = [(_name_of(labels), print_label_sheets(labels))] if labels else []
    made += [(_name_of([job]), PRINTERS[job.document["kind"]](job)) for job in others]
    target = Path(output) if output else road.workspace.root / "build/print"
    alone = len(jobs) == 1 and target.suffix.lower() == ".pdf" and not target.is_dir()
    for job in scripts:
        name, files = _name_of([job]), print_script(job)
        folder = name.removesuffix(".pdf")
        made += [(name, files["sheet.pdf"])] if alone else [(f"{folder}/{key}", data) for key, data in files.items()]
    one = len(made) == 1 and output is not None and not target.is_dir() and target.suffix.lower() == ".pdf"
    if not one and output is not None and target.suffix.lower() == ".pdf":
        raise click.BadParameter("several files need a folder", param_hint="--output")
    for name, data in made:
        path = target if one else target / name
        write_bytes(path, data)
        click.echo(path.as_posix())


def _stop_on_errors(context: click.Context, road: Any, jobs: list[Any]) -> None:
    """Say which records have errors, and stop where one of their pieces would be printed for the public."""
    from builder.problem import ERROR

    records = sorted({job.document["record"] for job in jobs})
    top = f"{road.workspace.records}/"
    problems = [problem for problem in road.walk(records).problems if problem.severity is ERROR and problem.place]
    stopped = {p.place.file.removeprefix(top).split("/")[0] for p in problems if p.place.file.startswith(top)}
    for record in records:
        if record in stopped:
            click.echo(f"{record}: has errors; `vouchered check {record}` lists them", err=True)
            if any(job.document["record"] == record and not job.draft for job in jobs):
                context.exit(1)


def is_draft(case: Any, document: Any) -> bool:
    """Whether a piece is printed as a draft: unless curators have signed it as it stands."""
    from builder.approve.standing import judge_piece

    return not judge_piece(case, document).approved


def _name_of(jobs: list[Any]) -> str:
    first = jobs[0].document
    return f"{first['record']}--{first['piece']}.pdf" if len(jobs) == 1 else "labels.pdf"


def _find_piece(road: Any, text: str, printers: Any) -> tuple[str, str]:
    """Record and piece that a word of the command line names. Raises click.BadParameter."""
    from builder.load.shape import suggest

    folders = road.workspace.folders
    record, _, piece = text.removesuffix(".md").rpartition("/")
    record = Path(record).name if record else Path(piece).name
    if record not in folders:
        raise click.BadParameter(f"there is no record `{record}`{suggest(record, folders)}", param_hint="PIECE")
    loaded = road.fetch(record)
    known = {name: made.front.piece for name, made in loaded.pieces.items() if made.front.piece in printers}
    if "/" in text and piece != record:
        if piece not in known:
            message = f"`{record}` has no piece `{piece}` that can be printed{suggest(piece, known)}"
            raise click.BadParameter(message, param_hint="PIECE")
        return record, piece
    if len(known) != 1:
        listed = ", ".join(f"`{record}/{name}`" for name in known) or "none"
        raise click.BadParameter(f"`{record}` has {len(known)} pieces to print; name one: {listed}", param_hint="PIECE")
    return record, next(iter(known))
