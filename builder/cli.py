"""The command `vouchered`: the only module that prints or exits.

Exit 0: clean. 1: problems. 2: could not run.
"""

from __future__ import annotations

import gc
import io
import os
import sys
import traceback
from contextlib import suppress
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
    with suppress(OSError):  # a folder that cannot be written can be checked all the same, if more slowly
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
            raise click.BadParameter(f"there is no record `{text}`{meant}", param_hint="PATH")
    return sorted(found) if paths else None


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
    stopping = [problem for problem in verdict.problems if problem.severity == "error"]
    click.echo(as_text(stopping, verdict.summary, road.read_line, road.titles(verdict), style=_style), nl=False)
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


@main.command()
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


@main.command()
@click.argument("wanted", metavar="ID")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="Form of the answer.")
@click.pass_context
def uses(context: click.Context, wanted: str, form: str) -> None:
    """List everything that rests on a source, claim, object or figure, and where it hangs.

    ID is an entry's id; `record.id` names that of one record.

    \b
    Example:
      vouchered uses sierro-2001
      vouchered uses european-nightjar.milk
    """
    import json

    from builder.load.shape import suggest
    from builder.resolve.uses import find_nodes, find_uses

    road = open_road(context)
    found = {name: road.subject(name) for name in road.workspace.folders}
    subjects = {name: subject for name, subject in found.items() if subject}
    nodes = find_nodes(subjects.values(), road.library.sources, wanted)
    if not nodes:
        known = [*road.library.sources, *(key for subject in subjects.values() for key in subject.record.claims)]
        raise click.BadParameter(f"nothing has the id `{wanted}`{suggest(wanted, known)}", param_hint="ID")
    draws_on = {key: source.draws_on or () for key, source in road.library.sources.items()}
    rows = [(node, find_uses(subjects, draws_on, node)) for node in nodes]
    if form == "json":
        plain = [
            {
                "kind": node.kind,
                "record": node.record,
                "id": node.id,
                "uses": [
                    {
                        "kind": use.node.kind,
                        "record": use.node.record,
                        "id": use.node.id,
                        "steps": use.depth,
                        "what": use.label,
                        "file": use.file,
                        "line": use.line,
                        "hangs_at": list(use.hangs_at),
                    }
                    for use in found_uses
                ],
            }
            for node, found_uses in rows
        ]
        click.echo(json.dumps(plain, ensure_ascii=False, indent=2))
        return
    for node, found_uses in rows:
        click.echo(f"{node.kind} {node.record + '.' if node.record else ''}{node.id}")
        if not found_uses:
            click.echo("  nothing rests on it")
        for use in found_uses:
            record = f"{use.node.record}: " if use.node.record else ""
            where = f"  ({use.file}:{use.line})" if use.line else ""
            hangs = f"  hangs at: {'; '.join(use.hangs_at)}" if use.hangs_at else ""
            click.echo(f"{'  ' * use.depth}{record}{use.label}{where}{hangs}")


@main.command()
@click.argument("name", required=False, metavar="[FILE]")
def schema(name: str | None) -> None:
    """Print the JSON Schema of museum, sources, glossary, record or piece; without a name, list them.

    \b
    Example:
      vouchered schema record > schema/record.json
    """
    from builder.load.shape import suggest
    from builder.skeleton import MODELS, make_schema

    if name is None:
        click.echo("\n".join(MODELS))
        return
    stem = Path(name).name.removesuffix(".yml").removesuffix(".json")
    if stem not in MODELS:
        raise click.BadParameter(f"there is no schema `{name}`{suggest(name, MODELS)}", param_hint="FILE")
    click.echo(make_schema(stem), nl=False)


@main.group()
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


def _new_piece(use: str) -> None:
    @new.command(use)
    @click.argument("record")
    @click.option("--name", help="The name of the file, without its ending.")
    @click.pass_context
    def write(context: click.Context, record: str, name: str | None) -> None:
        from builder import skeleton

        road = open_road(context, remember=False)
        chosen = _records(road, (record,))
        if not chosen:
            raise click.BadParameter("name one record", param_hint="RECORD")
        loaded = road.fetch(chosen[0])
        common = loaded.record.name.common if loaded and loaded.record else chosen[0]
        file = f"{skeleton.make_id(name or use) or use}.md"
        folder = Path(road.workspace.records, chosen[0])
        _write_new(road.workspace.root / folder, {file: skeleton.new_piece(use, common)}, shown=folder)

    write.help = f"Write a {use} for RECORD.\n\n\b\nExample:\n  vouchered new {use} european-nightjar"


for _use in ("page", "label", "talk", "script"):
    _new_piece(_use)


def _write_new(top: Path, made: dict[str, str], *, shown: Path | None = None) -> None:
    """Write new files below `top`, or none at all where one of them exists or its folder is a file.

    `shown` is `top` as it is to be told.
    """
    from builder.publish.write import write_bytes

    shown = shown or top
    folders = {folder for name in made for folder in Path(name).parents}
    blocked = [folder for folder in folders if os.path.lexists(top / folder) and not (top / folder).is_dir()]
    standing = sorted([*blocked, *(Path(name) for name in made if os.path.lexists(top / name))])
    if standing:
        click.echo(f"cannot run: `{(shown / standing[0]).as_posix()}` exists already; nothing was written", err=True)
        sys.exit(2)
    for name, text in made.items():
        write_bytes(top / name, text.encode())
        click.echo(f"wrote {(shown / name).as_posix()}")


@main.command()
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
    names = _records(road, records)
    click.echo(f"Open http://127.0.0.1:{port}/ (stop with Ctrl-C)")
    if not follow(root, names, port=port, say=click.echo):
        context.exit(2)


@main.command("import")
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
        chosen = _records(road, (record,)) if record else None
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
    context.exit(1 if faults or addition.skipped else 0)


@main.command()
@click.argument("record")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="Form of the report.")
@click.pass_context
def weigh(context: click.Context, record: str, form: str) -> None:
    """Say what the evidence of RECORD is worth: lines, agreement, confidence, diet tables, calculations.

    \b
    Example:
      vouchered weigh european-nightjar
      vouchered weigh ostrich --format json
    """
    import json

    from builder.render.weighing import as_plain, as_report
    from builder.weigh.weighing import weigh as weigh_record

    road = open_road(context, remember=False)
    chosen = _records(road, (record,))
    subject = road.subject(chosen[0]) if chosen else None
    if subject is None:
        raise click.BadParameter(f"`{record}` cannot be read yet; `vouchered check` says why", param_hint="RECORD")
    weighed, problems = weigh_record(subject, road.origins)
    if form == "json":
        click.echo(json.dumps(as_plain(subject, weighed), ensure_ascii=False, indent=2))
    else:
        click.echo(as_report(subject, weighed), nl=False)
    for problem in problems:
        click.echo(f"{problem.file}:{problem.spot.line if problem.spot else 1}: {problem.message}", err=True)
    context.exit(1 if problems else 0)
