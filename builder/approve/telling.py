"""What is said of a piece that may not go out: the problems of its standing, in words."""

from __future__ import annotations

from collections.abc import Sequence

from builder.approve.change import Change
from builder.model.approval import Approval
from builder.model.museum import Museum
from builder.problem import Problem

MOST = 3


def tell_changes(changes: Sequence[Change], stale: Sequence[Approval]) -> Problem:
    """The piece is not what was approved: the gravest changes first."""
    who = ", ".join(dict.fromkeys(f"`{approval.person}` on {approval.date}" for approval in stale))
    ordered = sorted(changes, key=lambda change: (not change.serious, change.small))
    rows = [str(change) for change in ordered[:MOST]]
    more = f"; and {len(changes) - MOST} more" if len(changes) > MOST else ""
    what = "; ".join(rows) + more if rows else "another person has decided on a newer text"
    grave = sum(change.serious for change in changes)
    count = (
        f"{len(changes)} {'change' if len(changes) == 1 else 'changes'}, {grave} serious" if changes else "no change"
    )
    return Problem(
        "approval-out-of-date",
        f"this is not what was approved by {who}: {count}: {what}",
        "have it approved again as it stands, or take the change back",
    )


def tell_lapse(approval: Approval, last: str) -> Problem:
    """It was approved as it stands, but too long ago."""
    return Problem(
        "approval-out-of-date",
        f"the approval by `{approval.person}` of {approval.date} lapsed after {last}",
        "read it again, since names, law and science age, and have it approved anew",
    )


def tell_missing(missing: Sequence[str], counting: Sequence[Approval], museum: Museum) -> Problem:
    """Nobody entitled has approved it, or not for every collection."""
    could = [
        f"`{key}`"
        for key, person in museum.people.items()
        if not person.until and (set(missing) & set(person.may_approve) if missing else person.may_approve)
    ]
    if counting:
        who = ", ".join(f"`{approval.person}`" for approval in counting)
        message = f"approved by {who}, but by nobody for {', '.join(f'`{each}`' for each in missing)}"
    else:
        message = "no curator has approved this piece"
    mend = f"ask {' or '.join(could)} to approve it" if could else (
        f"give a person in museum.yml `may_approve: [{', '.join(missing)}]`" if missing
        else "give a person in museum.yml `may_approve: […]`"
    )  # fmt: skip
    return Problem("not-approved", message, mend)


def tell_request(request: Approval) -> Problem:
    """Somebody entitled asked for changes."""
    said = " ".join((request.comment or "").split()) or "; ".join(
        f"on “{remark.words}”: {' '.join(remark.comment.split())}" for remark in request.remarks
    )
    message = f"`{request.person}` asked for changes on {request.date}{f': {said}' if said else ''}"
    return Problem("not-approved", message, "answer it in the text, and have the piece approved anew")
