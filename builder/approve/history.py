"""The decisions on one piece: each as it was signed, and in which order they were made.

A decision names those that were seen when it was made, so that order rests on no clock, and one that was taken away is
missed. In: the files that name the piece. Out: a `History`; what is no decision on this piece is a problem.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from builder.approve.decision import decision_digest, decision_file, message_of
from builder.approve.signature import is_signed
from builder.compose.document import Document
from builder.model.approval import Approval, SignedApproval
from builder.problem import Problem

RESTORE = "bring the file back as it was from the history of the records, or have the piece approved anew and delete it"


@dataclass(frozen=True)
class History:
    """The decisions that are as they were signed, by digest, oldest first, and the problems of the others."""

    decisions: dict[str, SignedApproval]
    problems: tuple[Problem, ...]

    def seen_by(self, signed: SignedApproval) -> frozenset[str]:
        """The digests of all decisions that this one was made after, near and far."""
        found: set[str] = set()
        waiting = [*(signed.approval.after if signed.approval else ())]
        while waiting:
            digest = waiting.pop()
            if digest in found or digest not in self.decisions:
                continue
            found.add(digest)
            approval = self.decisions[digest].approval
            waiting += approval.after if approval else ()
        return frozenset(found)

    @property
    def newest_by_person(self) -> tuple[SignedApproval, ...]:
        """Of each person the decision that counts.

        Two of one person that know nothing of each other, made on two computers, are weighed by date, and on the
        same day the request for changes counts.
        """
        by_person: dict[str, list[SignedApproval]] = {}
        for signed in self.decisions.values():
            by_person.setdefault(decided(signed).person, []).append(signed)
        made = []
        for theirs in by_person.values():
            passed = frozenset[str]().union(*(self.seen_by(signed) for signed in theirs))
            heads = [signed for signed in theirs if decision_digest(signed.plain) not in passed]
            made.append(max(heads, key=_weight))
        return tuple(made)

    @property
    def latest(self) -> SignedApproval | None:
        """The decision that knows of most others; among equals the later by date."""
        return self.newest_of(self.decisions.values())

    def newest_of(self, chosen: Iterable[SignedApproval]) -> SignedApproval | None:
        """The one of these that knows of most others; among equals the later by date."""
        return max(chosen, key=lambda signed: (len(self.seen_by(signed)), *_weight(signed)), default=None)


def read_history(document: Document, approvals: Iterable[SignedApproval]) -> History:
    """Sort out which files are decisions on the piece, just as they were signed and under their own names.

    `approvals` may be all of the record: a file belongs to the piece that its name begins with, and to that which it
    says it is about.
    """
    piece = f"{document['record']}/{document['piece']}"
    files = [
        signed
        for signed in approvals
        if signed.piece == document["piece"] or (signed.approval and signed.approval.piece == piece)
    ]
    found: dict[str, SignedApproval] = {}
    problems: list[Problem] = []
    for signed in sorted(files, key=lambda each: each.name):
        wrong = signed.problems or _faults(piece, signed)
        if wrong:
            problems += [replace(problem, file=f"approvals/{signed.name}") for problem in wrong]
        else:
            found[decision_digest(signed.plain)] = signed
    for signed in found.values():
        gone = [digest for digest in decided(signed).after if digest not in found]
        # a file that is there but spoilt has been told of
        gone = [digest for digest in gone if not any(digest[:12] in problem.file for problem in problems)]
        if gone:
            names = ", ".join(f"`{signed.piece}--{digest[:12]}.yml`" for digest in gone)
            message = f"it was made after {len(gone)} earlier decision(s) that are gone: {names}"
            mend = "bring them back from the history of the records: what was decided stays on record"
            problems.append(Problem("bad-signature", message, mend, file=f"approvals/{signed.name}"))
    return History(found, tuple(problems))


def _faults(piece: str, signed: SignedApproval) -> tuple[Problem, ...]:
    """What shows that a file is not a decision on this piece as it was signed."""
    approval = decided(signed)
    if not is_signed(approval.key, approval.signature, message_of(signed.plain)):
        message = "the signature does not fit what stands here: something was changed after it was signed"
    elif approval.piece != piece:
        message = f"this is an approval of `{approval.piece}`, not of `{piece}`"
    elif decision_file(signed.plain) != signed.name:
        message = (
            f"the file is not named for what it holds, `{decision_file(signed.plain)}`: it is a copy or was renamed"
        )
    else:
        return ()
    return (Problem("bad-signature", message, RESTORE),)


def decided(signed: SignedApproval) -> Approval:
    """The approval of a file that could be read."""
    assert signed.approval is not None
    return signed.approval


def _weight(signed: SignedApproval) -> tuple[str, bool, str]:
    approval = decided(signed)
    return (approval.date, approval.decision == "changes asked", signed.name)
