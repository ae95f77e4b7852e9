"""`correct`: put a correction on the record, tick the places that were mended, list what waits."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import click

from builder.cli.command import choose_piece, main, open_road

DAY = click.DateTime(["%Y-%m-%d"])


@main.command(short_help="Put a correction on the record, tick a place, or list them.")
@click.argument("piece", required=False, metavar="[PIECE]")
@click.option("--was", metavar="TEXT", help="What was said.")
@click.option("--now", metavar="TEXT", help="What is said now.")
@click.option("--why", metavar="TEXT", help="Why it changes.")
@click.option("--who", metavar="PERSON", help="Id of the person who decided, from `people` in museum.yml.")
@click.option(
    "--claim", metavar="ID", help="The claim at fault; without it, those behind the sentences with these words."
)
@click.option(
    "--kind",
    type=click.Choice(["mistake", "update"]),
    default="mistake",
    help="Whether it was wrong, or the world has changed.",
)
@click.option("--tick", metavar="ID/PLACE", help="Tick a place of a correction, by its number or its words.")
@click.option("--date", "day", type=DAY, metavar="DATE", help="Day of the decision or of the tick, else today.")
@click.pass_context
def correct(
    context: click.Context,
    piece: str | None,
    was: str | None,
    now: str | None,
    why: str | None,
    who: str | None,
    claim: str | None,
    kind: str,
    tick: str | None,
    day: datetime | None,
) -> None:
    """Put a correction of PIECE on the record, with every place where it hangs; or tick a place; or list them all.

    It is written at the end of `corrections.yml`, and stays open until every place is ticked.

    \b
    Example:
      vouchered correct ostrich/label --was "4 %" --now "1 %" --why "a misprint" --who i-brackwater
      vouchered correct --tick 2026-11-25-ostrich-label/1
      vouchered correct
    """
    given = {"--was": was, "--now": now, "--why": why, "--who": who}
    road = open_road(context, remember=False)
    if tick and (piece or any(given.values())):
        raise click.UsageError("--tick goes with no other correction; give it alone")
    if tick:
        _tick(road, tick, (day.date() if day else road.today).isoformat())
    elif piece:
        wanting = [name for name, value in given.items() if not value or not value.strip()]
        if wanting:
            raise click.UsageError(f"a correction says what was and is, why and who: give {' and '.join(wanting)}")
        entry = {"was": was, "now": now, "why": why, "who": who, "kind": kind}
        _add(road, piece, entry, claim, (day.date() if day else road.today).isoformat())
    elif any(given.values()) or claim:
        raise click.UsageError("name the piece that is corrected, such as `ostrich/label`")
    else:
        _list(road)


def _text(road: Any) -> str:
    """`corrections.yml` as it stands, line ends and all; refused while it has problems."""
    path = f"{road.workspace.records}/corrections.yml"
    faults = [p for p in (*road.workspace.problems, *road.shared.problems) if p.place and p.place.file == path]
    if faults:
        where = f"{path}:{faults[0].place.line}"
        raise click.UsageError(f"{where}: {faults[0].message}; mend it first, `vouchered check` says more")
    data: bytes = road.workspace.shared.get("corrections.yml", b"")
    return data.decode("utf-8")


def _write(road: Any, text: str) -> str:
    from builder.publish.write import write_bytes

    target: Path = road.workspace.root / road.workspace.records / "corrections.yml"
    write_bytes(target, text.encode())
    return target.relative_to(road.workspace.root).as_posix()


def _add(road: Any, name: str, entry: dict[str, Any], claim: str | None, day: str) -> None:
    from builder.load.shape import shape, suggest
    from builder.model.correction import Corrections
    from builder.resolve import claim_node
    from builder.resolve.hang import claims_behind, find_hangs, sentences_with
    from builder.skeleton.amendment import make_places, suggest_key, write_correction

    text = _text(road)
    record, piece = choose_piece(road, name)
    subject = road.subject(record)
    people = road.library.museum.people
    if entry["who"] not in people:
        hint = suggest(entry["who"], people)
        raise click.BadParameter(f"there is no person `{entry['who']}` in museum.yml{hint}", param_hint="--who")
    if claim and subject.claim(claim) is None:
        hint = suggest(claim.rpartition(".")[2], subject.record.claims)
        raise click.BadParameter(f"there is no claim `{claim}`{hint}", param_hint="--claim")
    for key, known in road.shared.corrections.items():
        if (known.piece, known.was, known.now) == (
            f"{record}/{piece}",
            *(" ".join(entry[n].split()) for n in ("was", "now")),
        ):
            raise click.UsageError(f"this stands in corrections.yml already, as `{key}`; nothing was written")
    own = subject.loaded.pieces[piece]
    claims = (claim_node(record, claim),) if claim else claims_behind(record, own, entry["was"], entry["now"])
    subjects = {key: found for key in road.workspace.folders if (found := road.subject(key))}
    hangs = find_hangs(subjects, record, piece, claims)
    key = suggest_key(day, record, piece, road.shared.corrections)
    plain = {key: {"piece": f"{record}/{piece}", "claim": claim, **entry, "date": day, "places": make_places(hangs)}}
    plain[key] = {name: value for name, value in plain[key].items() if value is not None}
    model, wrong, _ = shape(plain, Corrections)
    if wrong or model is None:
        raise click.UsageError(wrong[0].message if wrong else "this is no correction")
    correction = model.root[key]
    try:
        made = write_correction(text, key, correction)
    except ValueError as fault:
        raise click.UsageError(f"{fault}; nothing was written") from fault
    file = _write(road, made)
    click.echo(f"added `{key}` to {file}; it stays open until each place is ticked:")
    _show_places(correction)
    if not claims:
        click.echo("No marked sentence of it holds these words: only its own places are listed; --claim finds more.")
    still = sentences_with(own, entry["was"])
    if still:
        line = still[0].spot.line
        click.echo(f"{road.workspace.records}/{record}/{piece}.md:{line}: still says so; mend it and have it approved.")
    click.echo(f"Next: vouchered correct --tick {key}/1")


def _tick(road: Any, words: str, day: str) -> None:
    from builder.load.shape import suggest
    from builder.skeleton.amendment import place_of, tick_place

    text = _text(road)
    key, slash, place = words.partition("/")
    corrections = road.shared.corrections
    if key not in corrections:
        raise click.BadParameter(f"there is no correction `{key}`{suggest(key, corrections)}", param_hint="--tick")
    if not slash or not place.strip():
        raise click.BadParameter(f"say which place: `{key}/1`, or its words", param_hint="--tick")
    correction = corrections[key]
    try:
        number = place_of(correction, place)
        where = correction.places[number - 1]
        if where.done:
            raise click.UsageError(f"`{where.where}` was ticked on {where.done} already; nothing was written")
        if day < correction.date:
            raise click.UsageError(f"{day} lies before the correction, of {correction.date}; nothing was written")
        made = tick_place(text, key, number, day)
    except ValueError as fault:
        raise click.UsageError(f"{fault}; nothing was written") from fault
    _write(road, made)
    left = len(correction.unticked) - 1
    rest = "every place is ticked: the correction is closed" if not left else f"{left} more to tick"
    click.echo(f"ticked `{where.where}` on {day}; {rest}")


def _list(road: Any) -> None:
    _text(road)
    corrections = road.shared.corrections
    for key, correction in corrections.items():
        state = "open" if correction.unticked else "closed"
        click.echo(f"{key}  {correction.piece}  {correction.date}  {state}")
        click.echo(f"  was: {correction.was}\n  now: {correction.now}")
        _show_places(correction)
    waiting = sum(1 for correction in corrections.values() if correction.unticked)
    click.echo(f"{len(corrections)} correction{'' if len(corrections) == 1 else 's'}, {waiting} open")
    if waiting:
        click.echo("Next: vouchered correct --tick ID/PLACE, for each place that is mended")


def _show_places(correction: Any) -> None:
    for number, place in enumerate(correction.places, 1):
        tick = f"[x] {number}. {place.where} (done {place.done})" if place.done else f"[ ] {number}. {place.where}"
        what = f": {place.do}" if place.do and not place.done else ""
        of = f" ({place.of})" if place.of and not place.done else ""
        click.echo(f"  {tick}{of}{what}")
