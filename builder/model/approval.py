"""An approval: a curator's signed decision on one document.

A decision is written once and never changed; a new one is a file of its own. The signature covers every value of the
file but itself, so the models here only say what must be there: who is entitled to what, and what was signed, is
judged in `approve`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from builder.model.value import DateText, Id, Ids, Line, Model, Text, Texts
from builder.problem import Problem

Verdict = Literal["approved", "changes asked"]


def _digest(value: str) -> str:
    if len(value) != 64 or set(value) - set("0123456789abcdef"):
        raise ValueError("wants a SHA-256 fingerprint: 64 digits 0 to 9 and a to f")
    return value


Digest = Annotated[Line, AfterValidator(_digest)]
Digests = Annotated[tuple[Digest, ...], BeforeValidator(lambda value: [value] if isinstance(value, str) else value)]


class ApprovedPart(Model):
    """One part of the document as it was approved: its words for people, and the fingerprint of all of it."""

    text: Text
    fingerprint: Digest


class Remark(Model):
    """A comment tied to a part of the document; `words` are the words it is about, as they then stood."""

    part: Line
    words: Text
    comment: Text


class Entitlement(Model):
    """What one person could decide on the day of a decision, and the start of the key then in force."""

    role: Line
    may_approve: Ids
    key: Line | None = None


class Approval(Model):
    """A decision: `approved` or `changes asked`, on exactly one document, by one person.

    `collections` are those of the objects the document speaks of, `may_approve` those of them the person decides on,
    `entitled` everybody who could decide on any. `after` are the earlier decisions on the piece that were seen.
    """

    piece: Line
    decision: Verdict
    person: Id
    role: Line
    date: DateText
    comment: Text | None = None
    remarks: tuple[Remark, ...] = ()
    collections: Ids = ()
    may_approve: Ids = ()
    entitled: dict[Id, Entitlement] = {}
    after: Digests = ()
    fingerprint: Digest
    parts: Annotated[dict[Line, ApprovedPart], Field(min_length=1)]
    checks_shown: Texts = ()
    key: Line
    signature: Line


@dataclass(frozen=True)
class SignedApproval:
    """An approval as read: `name` is that of its file, `plain` every value of the file as text, as it was signed.

    `approval` is None where the file cannot be read as one; the `problems` say why.
    """

    name: str
    approval: Approval | None
    plain: Mapping[str, Any] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    @property
    def piece(self) -> str:
        """The piece that the file's name claims to be about."""
        return self.name.removesuffix(".yml").rpartition("--")[0]
