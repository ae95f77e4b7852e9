"""How a piece stands with its curators: whether it may go out as it is, and if not, why.

In: its document, every decision on it, and the museum as it is today. Out: a `Standing`. The rules:

- A decision that was changed, copied, moved or signed with another's key holds the piece back until that is mended.
- Of each person the newest decision counts: the one that no other of theirs names as seen.
- An approval counts on exactly the document it was given on, by somebody entitled, no author of the piece, and no
  longer than the house's months.
- Each collection whose objects the piece speaks of must be covered by such an approval; several people may share them.
- A request for changes holds the piece back until its person decides anew, or the text was changed and somebody
  entitled has approved it with the request before them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from builder.approve.change import Change, find_changes
from builder.approve.decision import decision_digest
from builder.approve.fingerprint import parts_of, seal_of
from builder.approve.history import History, decided, read_history
from builder.approve.telling import tell_changes, tell_lapse, tell_missing, tell_request
from builder.approve.warrant import Warrant, find_warrant
from builder.check.case import Case
from builder.compose.document import Document
from builder.model.approval import SignedApproval
from builder.model.museum import Museum
from builder.model.piece import Piece
from builder.problem import Problem

State = Literal["approved", "not approved", "changes asked", "out of date", "lapsed", "not entitled", "bad signature"]


@dataclass(frozen=True)
class Standing:
    """How a piece stands. `fingerprint` is that of its document, `approvals` those that count.

    `latest` is the newest approval, or else the newest other decision; `changes` are what differs from it now.
    `missing` are collections for which nobody entitled has approved it, `requests` the open ones for changes. `lapses`
    is the last day on which an approved piece stands. `seen` are all decisions in order, for the next one to name;
    where files are `spoilt`, they must be mended before anybody can decide.
    """

    piece: str
    state: State
    fingerprint: str
    approvals: tuple[SignedApproval, ...] = ()
    latest: SignedApproval | None = None
    changes: tuple[Change, ...] = ()
    missing: tuple[str, ...] = ()
    requests: tuple[SignedApproval, ...] = ()
    lapses: date | None = None
    problems: tuple[Problem, ...] = ()
    seen: tuple[SignedApproval, ...] = ()
    spoilt: bool = False

    @property
    def approved(self) -> bool:
        """Whether it may go out."""
        return self.state == "approved"


def judge(
    document: Document,
    approvals: Iterable[SignedApproval],
    *,
    museum: Museum,
    collections: Collection[str],
    authors: Collection[str],
    today: date,
) -> Standing:
    """How a piece stands; `approvals` may be all of its record. Problems speak of files of the record's folder.

    `collections` are those of the objects in the document, `authors` the ids or names in the front matter.
    """
    parts = parts_of(document)
    fingerprint = seal_of(parts)
    history = read_history(document, approvals)
    warrants = [find_warrant(each, museum=museum, authors=authors, today=today) for each in history.newest_by_person]
    view = _View(history, warrants, fingerprint, frozenset(collections))
    latest = history.newest_of(view.valid) or history.newest_of(view.asked) or history.latest
    changes: tuple[Change, ...] = ()
    if latest and latest.approval and latest.approval.fingerprint != fingerprint:
        changes = find_changes(latest.approval.parts, parts)
    state, told = _verdict(history, warrants, view, changes, museum)
    file = f"{document['piece']}.md"
    return Standing(
        f"{document['record']}/{document['piece']}",
        state,
        fingerprint,
        tuple(warrant.signed for warrant in view.counting),
        latest,
        changes,
        view.missing,
        view.requests,
        view.lapses if state == "approved" else None,
        tuple(problem if problem.file else replace(problem, file=file, path=("piece",)) for problem in told),
        tuple(history.decisions.values()),
        bool(history.problems) or any(warrant.forged for warrant in warrants),
    )


def judge_piece(case: Case, document: Document) -> Standing:
    """How a piece of a record stands on the day of the case, by the files in the record's `approvals/`."""
    authors = case.pieces[document["piece"]].front.author if document["piece"] in case.pieces else ()
    return judge(
        document,
        case.subject.loaded.approvals,
        museum=case.museum,
        collections=collections_of(case, document),
        authors=authors,
        today=case.today,
    )


def judge_undecided(case: Case, piece: Piece) -> Standing:
    """How a piece stands on which nobody has decided yet: its document need not be composed to say so.

    Where nobody in the museum has a key, nobody signs yet: that is no problem of each piece, and `build` says it once.
    """
    objects, chosen = case.record.objects, piece.front.objects
    named = {thing.collection for key, thing in objects.items() if not chosen or key in chosen}
    missing = tuple(sorted(named))
    told = replace(tell_missing(missing, [], case.museum), file=f"{piece.id}.md", path=("piece",))
    signing = any(person.key for person in case.museum.people.values())
    problems = (told,) if signing else ()
    return Standing(f"{case.subject.id}/{piece.id}", "not approved", "", missing=missing, problems=problems)


def collections_of(case: Case, document: Document) -> frozenset[str]:
    """The ids of the collections whose objects a document speaks of."""
    return frozenset(case.record.objects[thing["id"]].collection for thing in document["objects"])


def _verdict(
    history: History, warrants: Sequence[Warrant], view: _View, changes: Sequence[Change], museum: Museum
) -> tuple[State, list[Problem]]:
    """The state of a piece and what is said of it, the gravest first."""
    broken = [*history.problems, *(warrant.problem for warrant in warrants if warrant.problem and warrant.forged)]
    if broken:
        return "bad signature", broken
    if view.requests:
        return "changes asked", [tell_request(decided(request)) for request in view.requests]
    if view.covers:
        return "approved", []
    stale = [decided(signed) for signed in view.valid if signed not in view.current]
    lapsed = [warrant for warrant in view.warrants if warrant.lapsed]
    if stale:
        return "out of date", [tell_changes(changes, stale)]
    if lapsed:
        return "lapsed", [tell_lapse(decided(warrant.signed), warrant.last_day.isoformat()) for warrant in lapsed]
    refused = [warrant.problem for warrant in warrants if warrant.problem]
    if refused and not view.counting:
        bad = any(problem.check == "bad-signature" for problem in refused)
        return "bad signature" if bad else "not entitled", refused
    counting = [decided(warrant.signed) for warrant in view.counting]
    return "not approved", [tell_missing(view.missing, counting, museum)]


class _View:
    """What the decisions that are in order come to."""

    def __init__(
        self, history: History, warrants: Sequence[Warrant], fingerprint: str, collections: frozenset[str]
    ) -> None:
        self.fingerprint, self.collections = fingerprint, collections
        sound = [warrant for warrant in warrants if warrant.problem is None]
        approving = [warrant for warrant in sound if decided(warrant.signed).decision == "approved"]
        self.valid = [warrant.signed for warrant in approving]
        self.warrants = [w for w in approving if decided(w.signed).fingerprint == fingerprint]
        self.current = [warrant.signed for warrant in self.warrants]
        self.counting = [w for w in self.warrants if not w.lapsed and (w.may_approve & collections or not collections)]
        self.asked = [warrant.signed for warrant in sound if decided(warrant.signed).decision == "changes asked"]
        self.requests = tuple(each for each in self.asked if not self._answered(history, each))
        covered = frozenset[str]().union(*(warrant.may_approve for warrant in self.counting))
        self.missing = tuple(sorted(collections - covered))
        self.covers = bool(self.counting) and not self.missing

    @property
    def lapses(self) -> date:
        """The last day on which every collection is still covered."""
        days = [max(w.last_day for w in self.counting if one in w.may_approve) for one in self.collections]
        return min(days) if days else max(w.last_day for w in self.counting)

    def _answered(self, history: History, request: SignedApproval) -> bool:
        """Whether somebody approved a text that was changed since, with the request before them."""
        if decided(request).fingerprint == self.fingerprint:
            return False
        digest = decision_digest(request.plain)
        return any(digest in history.seen_by(warrant.signed) for warrant in self.counting)
