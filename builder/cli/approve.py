"""`approve`: a curator's signed decision on a piece, and the key to sign with."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from builder.cli.command import choose_piece, key_folder, main, open_road
from builder.load.workspace import NotAWorkspace, find_root

PASSPHRASE = "VOUCHERED_PASSPHRASE"


@main.command(short_help="Read and sign a decision on a piece, or make a key.")
@click.argument("name", metavar="[PIECE]", required=False)
@click.option("--by", "person", metavar="PERSON", help="Who decides: an id of the people in museum.yml.")
@click.option(
    "--decision", type=click.Choice(["approved", "changes-asked"]), default="approved", help="What is decided."
)
@click.option("--comment", default="", metavar="TEXT", help="A comment on the whole piece.")
@click.option(
    "--remark",
    "remarks",
    nargs=2,
    multiple=True,
    metavar="NUMBER TEXT",
    help="A comment on one sentence, by its number.",
)
@click.option("--date", "day", type=click.DateTime(["%Y-%m-%d"]), metavar="DATE", help="The day of the decision.")
@click.option("--key", "key_file", type=click.Path(dir_okay=False), metavar="FILE", help="The file of the signing key.")
@click.option(
    "--passphrase-file",
    type=click.Path(dir_okay=False),
    metavar="FILE",
    help=f"Where the passphrase stands, if it is not to be asked for; ${PASSPHRASE} may hold it too.",
)
@click.option("--show", is_flag=True, help="Show what would be signed, and sign nothing.")
@click.option("--new-key", "new_key", metavar="PERSON", help="Make a signing key, and print its line for museum.yml.")
@click.pass_context
def approve(
    context: click.Context,
    name: str | None,
    person: str | None,
    decision: str,
    comment: str,
    remarks: Sequence[tuple[str, str]],
    day: datetime | None,
    key_file: str | None,
    passphrase_file: str | None,
    show: bool,
    new_key: str | None,
) -> None:
    """Sign a decision on PIECE, named `record/piece` or by its file; what is signed is shown first.

    \b
    Example:
      vouchered approve --new-key i-brackwater
      vouchered approve european-nightjar/page --by i-brackwater
      vouchered approve european-nightjar/page --by i-brackwater --decision changes-asked --comment "Which moths?"
    """
    if new_key:
        _make_key(context.obj, new_key, _key_path(key_file, new_key), passphrase_file)
        return
    if not name:
        raise click.UsageError("name a piece, `record/piece`, or make a key with `--new-key PERSON`")
    from builder.approve.people import people_changes
    from builder.approve.showing import show_piece
    from builder.approve.standing import collections_of, judge_piece
    from builder.concern import problems_of_document

    road = open_road(context, remember=False)
    record, piece = choose_piece(road, name)
    case = road.case(record)
    if case is None or piece not in case.pieces:
        raise click.BadParameter(f"`{name}` cannot be read yet; `vouchered check` says why", param_hint="PIECE")
    document = road.documents(record)[piece]
    standing = judge_piece(case, document)
    problems = problems_of_document(road.workspace, document, road.walk([record]).problems)
    shown = [f"{problem.severity}: {problem.check}: {problem.message}" for problem in problems]
    shown += [f"waived: {w.check} at {w.at}: {w.reason} ({w.who}, until {w.until})" for w in case.record.waive]
    latest = standing.latest.approval if standing.latest else None
    click.echo(show_piece(document, standing, shown=shown, people=people_changes(latest, case.museum)))
    grave = [problem for problem in problems if problem.severity == "error"]
    if standing.spoilt:
        grave += standing.problems
    if show:
        context.exit(1 if grave else 0)
    if grave:
        click.echo(f"not signed: {len(grave)} to mend first", err=True)
        for problem in grave:
            click.echo(f"  {problem.check}: {problem.message}\n    mend: {problem.mend}", err=True)
        context.exit(1)
    if not person:
        raise click.UsageError("say who decides: `--by PERSON`")
    when = day.date() if day else road.today
    if when > road.today:
        raise click.BadParameter(f"{when.isoformat()} has not come yet", param_hint="--date")
    verdict = decision.replace("-", " ")
    made = _remarks(remarks, document)
    if verdict == "changes asked" and not comment.strip() and not made:
        raise click.UsageError("say what is to change: `--comment TEXT`, or `--remark NUMBER TEXT`")
    fields: dict[str, Any] = {
        "person": person,
        "decision": verdict,
        "date": when.isoformat(),
        "comment": comment,
        "remarks": made,
        "shown": shown,
        "after": standing.seen,
        "collections": collections_of(case, document),
    }
    _sign(context, road, case, document, fields, _key_path(key_file, person), passphrase_file)


def _sign(
    context: click.Context, road: Any, case: Any, document: Any, fields: dict[str, Any], path: Path, given: str | None
) -> None:
    from builder.approve.decision import make_decision, seal_decision
    from builder.approve.signature import KeyRefused, read_key_file, unlock_key
    from builder.approve.standing import judge
    from builder.approve.warrant import refusal
    from builder.load.approvaltext import read_approval
    from builder.publish.decision import NotAsSigned, write_decision

    person, museum, authors = fields["person"], case.museum, case.pieces[document["piece"]].front.author
    try:
        data = path.read_bytes()
    except OSError as fault:
        reason = f"the key `{path}` cannot be read: {fault.strerror}"
        raise click.BadParameter(
            f"{reason}; `vouchered approve --new-key {person}` makes one", param_hint="--key"
        ) from None
    try:
        public = read_key_file(data)["public"]
        wrong = refusal(
            person, museum=museum, collections=fields["collections"], authors=authors, today=road.today, key=public
        )
        if wrong:
            click.echo(f"not signed: {wrong[0]}\n  mend: {wrong[1]}", err=True)
            context.exit(1)
        key = unlock_key(data, _passphrase(given, f"Passphrase of {museum.people[person].name}, to sign"))
    except KeyRefused as fault:
        click.echo(f"cannot run: {path.name}: {fault}; nothing was signed", err=True)
        sys.exit(2)
    plain = seal_decision(make_decision(document, museum=museum, **fields), key)
    folder = road.workspace.root / road.workspace.records / document["record"]
    try:
        written = write_decision(folder, plain)
    except FileExistsError:
        click.echo("this very decision stands there already; nothing was written", err=True)
        return
    except NotAsSigned as fault:
        click.echo(f"cannot run: {fault}; nothing was signed", err=True)
        sys.exit(2)
    signed = read_approval(str(written), written.read_bytes())
    after = judge(
        document, [*case.subject.loaded.approvals, signed], museum=museum, collections=fields["collections"],
        authors=authors, today=road.today,
    )  # fmt: skip
    click.echo(f"wrote {written.relative_to(road.workspace.root).as_posix()}")
    until = f" until {after.lapses.isoformat()}" if after.lapses else ""
    click.echo(f"{after.piece} is {after.state}{until}")
    for problem in after.problems:
        click.echo(f"  {problem.message}; {problem.mend}")


def _remarks(remarks: Sequence[tuple[str, str]], document: Any) -> list[dict[str, str]]:
    """Comments with the part they are about, and its words."""
    from builder.approve.fingerprint import parts_of

    parts = parts_of(document)
    made = []
    for number, text in remarks:
        section = "questions" if number.startswith("q") else "text"
        digits = number.removeprefix("q")
        part = f"{section}/{int(digits):03}" if digits.isdecimal() else ""
        if part not in parts:
            raise click.BadParameter(
                f"there is no sentence {number}; `--show` shows their numbers", param_hint="--remark"
            )
        if not text.strip():
            raise click.BadParameter(f"the comment on sentence {number} is empty", param_hint="--remark")
        made.append({"part": part, "words": parts[part].text.split("\n")[0], "comment": text})
    return made


def _make_key(start: Path, person: str, path: Path, given: str | None) -> None:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    from builder.approve.signature import lock_key, passphrase_fault, public_of
    from builder.model.value import ID
    from builder.publish.write import write_new

    if not ID.fullmatch(person):
        raise click.BadParameter(f"`{person}` is no id: small letters, digits and hyphens", param_hint="--new-key")
    _refuse_inside(start, path)
    if os.path.lexists(path):
        click.echo(f"cannot run: `{path}` exists already; nothing was written", err=True)
        sys.exit(2)
    passphrase = _passphrase(given, f"A new passphrase for {person}", again=True)
    wrong = passphrase_fault(passphrase)
    if wrong:
        click.echo(f"cannot run: {wrong}; nothing was written", err=True)
        sys.exit(2)
    key = Ed25519PrivateKey.generate()
    write_new(path, lock_key(key, passphrase, person=person), mode=0o600)
    click.echo(f"wrote {path}\nkeep it and its passphrase to yourself; nobody can restore either", err=True)
    click.echo(f"to `{person}` under `people` in museum.yml add:", err=True)
    click.echo(f"    key: {public_of(key)}")


def _refuse_inside(start: Path, path: Path) -> None:
    """A private key does not go where the records are shared."""
    folder = path.resolve().parent
    roots = [here for here in (folder, *folder.parents) if (here / "mkdocs.yml").is_file() or (here / ".git").exists()]
    with suppress(NotAWorkspace):
        root = find_root(start)
        roots += [root] if folder.is_relative_to(root) else []
    if roots:
        click.echo(
            f"cannot run: `{path}` lies in `{roots[0]}`, whose files others get; choose another `--key`", err=True
        )
        sys.exit(2)


def _key_path(given: str | None, person: str) -> Path:
    if given:
        return Path(given)
    return key_folder() / f"{person}.key"


def _passphrase(file: str | None, asked: str, *, again: bool = False) -> str:
    """The passphrase: from a file, the environment, or the keyboard, unseen."""
    if file:
        try:
            return Path(file).read_text("utf-8").rstrip("\r\n")
        except (OSError, UnicodeDecodeError) as fault:
            reason = getattr(fault, "strerror", None) or "it is no text"
            raise click.BadParameter(f"`{file}` cannot be read: {reason}", param_hint="--passphrase-file") from None
    if os.environ.get(PASSPHRASE):
        return os.environ[PASSPHRASE]
    if not sys.stdin.isatty():
        raise click.UsageError(f"nobody is there to ask: give `--passphrase-file`, or ${PASSPHRASE}")
    return str(click.prompt(asked, hide_input=True, confirmation_prompt=again))
