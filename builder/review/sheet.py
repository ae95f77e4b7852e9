"""A sheet: one piece with everything a curator decides on, as plain values for the templates and the packet."""

from __future__ import annotations

from typing import Any

from builder.approve.change import Change
from builder.approve.history import decided
from builder.approve.people import people_changes
from builder.review.desk import Look, PieceOnDesk, Row
from builder.review.reading import read_document
from builder.review.vouching import Behind

CHANGED = {"added": "Added", "removed": "Taken out", "changed": "Changed", "moved": "Moved"}
STATES = {
    "approved": "approved", "not approved": "not approved yet", "changes asked": "changes asked",
    "out of date": "changed since it was approved", "lapsed": "approval lapsed", "not entitled": "not validly approved",
    "bad signature": "signature does not fit",
}  # fmt: skip


def row_view(row: Row) -> dict[str, Any]:
    """A piece in the list."""
    return {
        "name": row.name,
        "title": row.title,
        "use": row.use,
        "animal": row.animal,
        "state": STATES[row.state],
        "saved": row.saved.isoformat(),
        "errors": row.errors,
        "warnings": row.warnings,
        "signers": list(row.signers),
        "lapses": row.lapses.isoformat() if row.lapses else "",
    }


def sheet_view(look: Look, piece: PieceOnDesk) -> dict[str, Any]:
    """Everything on the page of a piece."""
    document = piece.document
    behind = Behind(document, look.excerpts(document), look.entries(document))
    standing = piece.standing
    latest = standing.latest.approval if standing.latest else None
    names = {key: person.name for key, person in piece.case.museum.people.items()}
    return {
        **row_view(piece.row),
        "reading": read_document(behind),
        "fingerprint": standing.fingerprint,
        "told": [f"{problem.message}; {problem.mend}" for problem in standing.problems],
        "open": [problem_view(problem) for problem in piece.problems],
        "waivers": list(piece.case.record.waive),
        "signing": piece.signers,
        "spoilt": standing.spoilt,
        "since": {"date": latest.date, "person": names.get(latest.person, latest.person), "decision": latest.decision}
        if latest else None,
        "changes": changes_view(standing.changes),
        "people": list(people_changes(latest, piece.case.museum)),
        "earlier": [_decision_view(decided(signed), names) for signed in reversed(standing.seen)],
    }  # fmt: skip


def problem_view(problem: Any) -> dict[str, str]:
    """An open problem with its place and mend."""
    place = f"{problem.place.file}, line {problem.place.line}" if problem.place else ""
    return {"severity": str(problem.severity), "check": problem.check, "message": problem.message,
            "mend": problem.mend, "place": place}  # fmt: skip


def changes_view(changes: tuple[Change, ...]) -> list[dict[str, Any]]:
    """Changes, the serious ones first, small ones last."""
    ordered = sorted(changes, key=lambda change: (not change.serious, change.small))
    return [
        {"what": CHANGED[change.kind], "where": change.where, "marks": ", ".join(change.marks), "small": change.small,
         "stretches": list(change.stretches), "part": change.part, "moved": change.kind == "moved"}
        for change in ordered
    ]  # fmt: skip


def _decision_view(approval: Any, names: dict[str, str]) -> dict[str, Any]:
    return {
        "person": names.get(approval.person, approval.person), "role": approval.role, "date": approval.date,
        "decision": approval.decision, "comment": approval.comment or "", "fingerprint": approval.fingerprint,
        "remarks": [{"words": remark.words, "comment": remark.comment} for remark in approval.remarks],
    }  # fmt: skip
