"""Decide on a piece: from a form and a passphrase to one signed file, or to a plain reason why not.

In: what a form said. Out: the decision, written. The workspace is read again first, so that nobody signs what they did
not see. The passphrase is held no longer than it takes to open the key, and stands in no message.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from builder.approve.change import Change, find_changes
from builder.approve.decision import make_decision, seal_decision
from builder.approve.fingerprint import parts_of
from builder.approve.signature import KeyRefused, read_key_file, unlock_key
from builder.approve.warrant import refusal
from builder.publish.decision import NotAsSigned, write_decision
from builder.review.desk import Desk, PieceOnDesk
from builder.review.patience import Patience, in_words

DECISIONS = ("approved", "changes asked")
COMMENT_LIMIT = 20_000
KEY_LIMIT = 64 * 1024


@dataclass(frozen=True)
class Filled:
    """What stood in the form, but for the passphrase: that is never kept. `remarks` are comments by part."""

    person: str = ""
    decision: str = ""
    day: str = ""
    comment: str = ""
    fingerprint: str = ""
    remarks: Mapping[str, str] = field(default_factory=dict)


class NotDecided(Exception):
    """Why nothing was signed, in words for the curator; `changes` where the piece changed while it was read."""

    def __init__(self, reason: str, *, status: int = 422, changes: tuple[Change, ...] | None = None) -> None:
        super().__init__(reason)
        self.reason, self.status, self.changes = reason, status, changes


class Pen:
    """Signs with the keys in one folder. One key is opened at a time, since each takes much memory for a moment."""

    def __init__(self, desk: Desk, keys: Path, patience: Patience) -> None:
        self._desk, self._keys, self._patience = desk, keys, patience
        self._opening = threading.Lock()

    def decide(self, name: str, filled: Filled, passphrase: str, client: str) -> Path:
        """Sign and write one decision on the piece `record/piece`. Raises NotDecided."""
        piece = self._desk.look(anew=True).piece(name)
        if piece is None:
            raise NotDecided("This piece is no longer there, or can no longer be read. Nothing was signed.", status=404)
        if piece.standing.fingerprint != filled.fingerprint:
            shown = self._desk.parts_shown(filled.fingerprint)
            changes = find_changes(shown, parts_of(piece.document)) if shown else ()
            reason = "The piece changed while you read it, so nothing was signed. Read what changed, then decide again."
            raise NotDecided(reason, status=409, changes=changes)
        fields = self._fields(piece, filled)
        data = self._key_of(piece, filled.person)
        if not passphrase:
            raise NotDecided("Type your passphrase to sign. Nothing was signed.")
        wait = self._patience.seconds_to_wait(filled.person, client)
        if wait:
            reason = f"Too many wrong passphrases. Try again in {in_words(wait)}. Nothing was signed."
            raise NotDecided(reason, status=429)
        try:
            with self._opening:
                key = unlock_key(data, passphrase)
        except KeyRefused:
            raise NotDecided("The passphrase does not open this key. Nothing was signed.", status=403) from None
        self._patience.was_right(filled.person, client)
        plain = seal_decision(make_decision(piece.document, museum=piece.case.museum, **fields), key)
        workspace = self._desk.look().road.workspace
        try:
            return write_decision(workspace.root / workspace.records / piece.document["record"], plain)
        except FileExistsError:
            raise NotDecided("This very decision is on record already. Nothing more was written.") from None
        except NotAsSigned:
            reason = "What would be read back is not what was signed: a comment holds signs that a file cannot keep."
            raise NotDecided(f"{reason} Nothing was signed.") from None
        except OSError as fault:
            reason = f"The decision could not be written: {fault.strerror}. Nothing was signed."
            raise NotDecided(reason, status=507) from None

    def _fields(self, piece: PieceOnDesk, filled: Filled) -> dict[str, Any]:
        """What is signed besides the document, in order; refused with the reason."""
        if filled.person not in piece.signers:
            raise NotDecided("Choose who decides: one of those named in the form. Nothing was signed.")
        if filled.decision not in DECISIONS:
            raise NotDecided("Choose a decision: approved, or changes asked. Nothing was signed.")
        try:
            day = date.fromisoformat(filled.day)
        except ValueError:
            reason = "Write the date of the decision as 2026-11-25: year, month, day. Nothing was signed."
            raise NotDecided(reason) from None
        if day > piece.case.today + timedelta(days=1):  # it is tomorrow already somewhere
            raise NotDecided("The date of the decision has not come yet. Nothing was signed.")
        if piece.standing.spoilt:
            raise NotDecided("An earlier decision was changed after it was signed; that must be mended first.")
        errors = [problem for problem in piece.problems if problem.severity == "error"]
        if filled.decision == "approved" and errors:
            raise NotDecided(f"There are {len(errors)} errors to mend before it can be approved. Nothing was signed.")
        if max(map(len, (filled.comment, *filled.remarks.values())), default=0) > COMMENT_LIMIT:
            raise NotDecided(f"A comment holds more than {COMMENT_LIMIT:,} characters. Nothing was signed.")
        parts = parts_of(piece.document)
        remarks = [
            {"part": part, "words": parts[part].text.split("\n")[0], "comment": text}
            for part, text in sorted(filled.remarks.items())
            if text.strip() and part in parts
        ]
        if filled.decision == "changes asked" and not filled.comment.strip() and not remarks:
            raise NotDecided("Say what is to change: in a comment, or at a sentence. Nothing was signed.")
        return {
            "person": filled.person, "decision": filled.decision, "date": day.isoformat(), "comment": filled.comment,
            "remarks": remarks, "shown": piece.shown, "after": piece.standing.seen, "collections": piece.collections,
        }  # fmt: skip

    def _key_of(self, piece: PieceOnDesk, person: str) -> bytes:
        """The locked key of somebody in museum.yml, held against the public key that stands there."""
        try:
            with (self._keys / f"{person}.key").open("rb") as stream:
                data = stream.read(KEY_LIMIT)
            public = read_key_file(data)["public"]
        except OSError:
            reason = (
                f"There is no key file of {person} on this server; `vouchered approve --new-key {person}` makes one."
            )
            raise NotDecided(f"{reason} Nothing was signed.") from None
        except KeyRefused as fault:
            raise NotDecided(f"The key file of {person} is of no use: {fault}. Nothing was signed.") from None
        authors = piece.case.pieces[piece.document["piece"]].front.author
        wrong = refusal(person, museum=piece.case.museum, collections=piece.collections, authors=authors,
                        today=piece.case.today, key=public)  # fmt: skip
        if wrong:
            raise NotDecided(f"{wrong[0][:1].upper()}{wrong[0][1:]}; {wrong[1]}. Nothing was signed.")
        return data
