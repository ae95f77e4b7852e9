"""`print`: pieces as PDF, and what goes with them."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import click

from builder.cli.command import choose_piece, main, open_road


@main.command(name="print", short_help="Print labels, cue cards, handouts and scripts.")
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

    PIECE is `record/piece`, the path of its .md, or a record that has one piece alone. Several labels
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
    from builder.publish.write import write_bytes
    from builder.render.printed import print_job

    road = open_road(context)
    if qr and not road.shared.museum.site:
        raise click.UsageError("a square code needs an address: write `site: https://…` in museum.yml")
    fitted = Decimal(str(minutes)) if minutes is not None else None
    how = {"minutes": fitted, "cards": cards, "large": large, "code": qr}
    jobs = []
    for text in pieces:
        record, piece = choose_piece(road, text)
        case = road.case(record)
        if case is None:
            raise click.BadParameter(f"`{record}/{piece}` cannot be read yet; `vouchered check` says why")
        document = compose(case, case.weighed, case.pieces[piece])
        jobs.append(print_job(case, document, road.entries, draft=is_draft(case, document), **how))
    _stop_on_errors(context, road, jobs)
    for job in jobs:
        for said in _tell(job):
            click.echo(f"{job.document['record']}/{job.document['piece']}: {said}", err=True)
    target = Path(output) if output else road.workspace.root / "build/print"
    alone = output is not None and target.suffix.lower() == ".pdf" and not target.is_dir()
    made = list(_print(jobs, sheet_alone=alone))
    if alone and len(made) != 1:
        raise click.BadParameter("several files need a folder", param_hint="--output")
    for name, data in made:
        path = target if alone else target / name
        write_bytes(path, data)
        click.echo(path.as_posix())


def _print(jobs: list[Any], *, sheet_alone: bool) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of every file: labels together, of a script all that goes with it or the sheet alone."""
    from builder.render.printed import PRINTERS, print_label_sheets, print_script

    labels = [job for job in jobs if job.document["kind"] == "label"]
    if labels:
        yield f"{_name_of(labels[0]) if len(labels) == 1 else 'labels'}.pdf", print_label_sheets(labels)
    for job in jobs:
        kind = job.document["kind"]
        if kind == "script" and not sheet_alone:
            yield from ((f"{_name_of(job)}/{name}", data) for name, data in print_script(job).items())
        elif kind != "label":
            yield f"{_name_of(job)}.pdf", PRINTERS[kind](job)


def _tell(job: Any) -> Iterator[str]:
    """What whoever prints should know beforehand: beats that are left out, time that lacks, signs the fonts lack."""
    from builder.compose.document import blocks_of, text_of_sentence
    from builder.compose.fitting import fit_document
    from builder.render.glyph import unprintable
    from builder.weigh.slot import minutes

    if job.minutes is not None and job.document["kind"] in ("talk", "script"):
        _, _, fitted = fit_document(job.document, job.museum.house_rules, job.minutes)
        if fitted.left_out:
            yield f"left out: {'; '.join(row.beat.title for row in fitted.left_out)}"
        if fitted.over:
            yield f"what always stays is too long by {minutes(fitted.over)} of speech: ask for more, or shorten it"
    texts = [text_of_sentence(sentence) for block in blocks_of(job.document) for sentence in block["sentences"]]
    lacking = unprintable(" ".join([job.document["title"], *texts]))
    if lacking:
        yield f"no font here has {' '.join(lacking)}: each is printed as its number, such as [U+{ord(lacking[0]):04X}]"


def _stop_on_errors(context: click.Context, road: Any, jobs: list[Any]) -> None:
    """Say which pieces have errors, and stop where one of them would be printed for the public."""
    from builder.concern import problems_of_document
    from builder.problem import ERROR

    problems = road.walk(sorted({job.document["record"] for job in jobs})).problems
    errors = [problem for problem in problems if problem.severity is ERROR]
    for job in jobs if errors else ():
        record, piece = job.document["record"], job.document["piece"]
        if problems_of_document(road.workspace, job.document, errors):
            click.echo(f"{record}/{piece}: has errors; `vouchered check {record}` lists them", err=True)
            if not job.draft:
                context.exit(1)


def is_draft(case: Any, document: Any) -> bool:
    """Whether a piece is printed as a draft: unless curators have signed it as it stands."""
    from builder.approve.standing import judge_piece

    return not judge_piece(case, document).approved


def _name_of(job: Any) -> str:
    return f"{job.document['record']}--{job.document['piece']}"
