"""`bundle`: a piece with all that it rests on and all decisions on it, in one file for an archive."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from builder.cli.command import choose_piece, main, open_road


@main.command(short_help="Pack a signed piece for an archive.")
@click.argument("name", metavar="PIECE")
@click.option("-o", "--output", type=click.Path(dir_okay=False), help="The file; else build/bundles/PIECE.zip.")
@click.option("--draft", is_flag=True, help="Pack a piece that nobody has signed, marked as a draft.")
@click.option("--on", "day", type=click.DateTime(["%Y-%m-%d"]), metavar="DATE", help="Judge dates as on this day.")
@click.pass_context
def bundle(context: click.Context, name: str, output: str | None, draft: bool, day: datetime | None) -> None:
    """Pack PIECE as an RO-Crate: as published, its sources, tables, decisions and fingerprints, in one zip file.

    The decisions in it name curators and hold their comments: a bundle is for an archive, not for the public site.

    \b
    Example:
      vouchered bundle european-nightjar/page -o nightjar.zip
    """
    from builder.approve.standing import judge_piece
    from builder.build import sieve_of
    from builder.concern import problems_of_document
    from builder.output import reviews_of
    from builder.problem import ERROR
    from builder.publish.bundle import make_bundle
    from builder.publish.scan import scan_files
    from builder.publish.staff import public_folder
    from builder.publish.write import write_bytes

    road = open_road(context, day)
    record, piece = choose_piece(road, name)
    target = Path(output) if output else road.workspace.root / f"build/bundles/{record}--{piece}.zip"
    _refuse_place(target, public_folder(road.workspace, target))
    case, document = road.case(record), road.documents(record).get(piece)
    if case is None or document is None:
        raise click.BadParameter(f"`{name}` cannot be read yet; `vouchered check` says why", param_hint="PIECE")
    verdict = road.walk()
    with suppress(OSError):  # a folder that cannot be written can be packed from all the same, if more slowly
        road.remember()
    grave = [p for p in problems_of_document(road.workspace, document, verdict.problems) if p.severity is ERROR]
    standing = judge_piece(case, document)
    if not draft and (grave or not standing.approved):
        reasons = [problem.message for problem in (*grave, *standing.problems)]
        click.echo(
            f"{record}/{piece}: {standing.state}; not packed: {'; '.join(reasons) or 'nobody signed it'}", err=True
        )
        click.echo("  mend: have it signed as it stands, or pack it with --draft, marked as a draft", err=True)
        context.exit(1)
    marked = bool(grave) or not standing.approved
    files = _files(road, case, document, standing, marked)
    reviews = [] if marked else reviews_of(standing)
    date = max((when for _, when in reviews), default=road.today.isoformat())
    data = make_bundle(files, document, case.museum, day=date, reviews=reviews, draft=marked)
    sieve = sieve_of(road, verdict)
    found = scan_files({target.name: data}, sieve, road.workspace.records) if sieve else []
    if found:
        click.echo("nothing was written:", err=True)
        for problem in found:
            click.echo(f"  {problem.check}: {problem.message}\n    mend: {problem.mend}", err=True)
        context.exit(1)
    write_bytes(target, data)
    state = "a draft, signed by nobody" if marked else f"approved, {date}"
    click.echo(f"{target.as_posix()}: {len(files) + 3} files, {len(data)} bytes; {state}")


def _refuse_place(target: Path, public: str | None) -> None:
    """Raises click.BadParameter where a bundle must not be written."""
    if public:
        raise click.BadParameter(f"{target} lies in `{public}`, which may become public", param_hint="--output")
    if target.exists() and not target.read_bytes()[:4] == b"PK\3\4":
        raise click.BadParameter(f"{target} is there and is no zip file; nothing was written", param_hint="--output")


def _files(road: Any, case: Any, document: Any, standing: Any, draft: bool) -> list[Any]:
    """Every file of the bundle but its lists."""
    from builder.compose.correction import correction_data
    from builder.output import TREE, piece_outputs
    from builder.publish.bundle import Packed, as_json, evidence_files
    from builder.render.printed import PRINTERS, print_job

    record, piece = document["record"], document["piece"]
    raw = road.workspace.folders[record]
    job = print_job(case, document, road.entries, draft=draft)
    named = {(record, piece): (document["title"], document["kind"])}
    corrections = correction_data(road.shared.corrections, case.museum, named)
    made = piece_outputs(job, standing, corrections=corrections)
    files = []
    for output in made.outputs:
        if output.path.startswith(TREE):
            path = f"piece/{output.path.rpartition('/')[2]}"
            files.append(Packed(path, output.data or b"", output.title or "The piece as it is published"))
    if document["kind"] == "page":
        files.append(Packed(f"piece/{record}.pdf", PRINTERS["page"](job), "The page as a handout (PDF)"))
        for row in document["figures"]:
            said = f"Picture: {row['alt']} Licence: {row.get('licence') or 'not stated'}."
            files.append(Packed(f"piece/{record}/{row['file']}", job.pictures[row["file"]], said))
    if corrections:
        files.append(Packed("corrections.json", as_json(corrections), "What was corrected in it"))
    diets, tables = case.record.diet, case.subject.loaded.tables
    read = {key: (diets[key].table, tables[key], diets[key].cluster or "") for key in diets if key in tables}
    decisions = {signed.name: raw[f"approvals/{signed.name}"] for signed in standing.seen}
    return files + evidence_files(document, read, decisions)
