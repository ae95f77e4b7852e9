"""`uses`, `weigh` and `schema`: what is known, and what rests on what."""

from __future__ import annotations

from pathlib import Path

import click

from builder.cli.command import choose_records, main, open_road


@main.command(short_help="List everything that rests on a source, claim, object or figure.")
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
    from builder.resolve.uses import find_nodes, find_uses, narrow

    road = open_road(context)
    draws_on = {key: source.draws_on or () for key, source in road.library.sources.items()}
    names = narrow(road.workspace.folders, draws_on, wanted)
    subjects = {name: subject for name in names if (subject := road.subject(name))}
    nodes = find_nodes(subjects.values(), draws_on, wanted)
    if not nodes:
        every = [subject for name in road.workspace.folders if (subject := road.subject(name))]
        known = [*draws_on, *(key for subject in every for key in subject.record.claims)]
        raise click.BadParameter(f"nothing has the id `{wanted}`{suggest(wanted, known)}", param_hint="ID")
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


@main.command(short_help="Say what the evidence of a record is worth.")
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

    from builder.memory import DietMemory
    from builder.render.weighing import as_plain, as_report
    from builder.road import MEMORY_OF_DIETS
    from builder.weigh.weighing import weigh as weigh_record

    road = open_road(context, remember=False)
    chosen = choose_records(road, (record,))
    subject = road.subject(chosen[0]) if chosen else None
    if subject is None:
        raise click.BadParameter(f"`{record}` cannot be read yet; `vouchered check` says why", param_hint="RECORD")
    weighed, problems = weigh_record(subject, road.origins, DietMemory(road.workspace.root / MEMORY_OF_DIETS))
    if form == "json":
        click.echo(json.dumps(as_plain(subject, weighed), ensure_ascii=False, indent=2))
    else:
        click.echo(as_report(subject, weighed), nl=False)
    for problem in problems:
        click.echo(f"{problem.file}:{problem.spot.line if problem.spot else 1}: {problem.message}", err=True)
    context.exit(1 if problems else 0)


@main.command(short_help="Print the JSON Schema of a file.")
@click.argument("name", required=False, metavar="[FILE]")
def schema(name: str | None) -> None:
    """Print the JSON Schema of museum, sources, glossary, corrections, record or piece; without a name, list them.

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
