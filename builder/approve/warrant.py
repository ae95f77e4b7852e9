"""Whether a person could decide: their key, their right on the day of signing, and for how long it holds.

In: one decision in order, the museum of today, the authors of the piece. Out: a `Warrant`. What a person was entitled
to is read from `museum.yml`, never from the decision alone, which anybody could have made.
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from builder.approve.signature import PUBLIC
from builder.model.approval import Approval, SignedApproval
from builder.model.museum import Museum, Person
from builder.problem import Problem
from builder.weigh.date import parse_date

NEVER = date.min
SOON = timedelta(days=1)
"""A day ahead is no fault: it is tomorrow already somewhere."""


@dataclass(frozen=True)
class Warrant:
    """A decision with the collections it can count for. `problem` says why it cannot count at all.

    `forged` where the key is not the person's: then something is amiss beyond a want of rights. `last_day` is the last
    on which it holds.
    """

    signed: SignedApproval
    may_approve: frozenset[str] = frozenset()
    last_day: date = NEVER
    lapsed: bool = False
    problem: Problem | None = None
    forged: bool = False


def find_warrant(signed: SignedApproval, *, museum: Museum, authors: Collection[str], today: date) -> Warrant:
    """What a decision can count for."""
    approval = signed.approval
    assert approval is not None
    day = _day(approval.date)
    person = museum.people.get(approval.person)
    file = f"approvals/{signed.name}"
    if day is None or day - today > SOON:
        when = "which has not come yet" if day else "which is no day of the calendar"
        message = f"the decision by `{approval.person}` is dated {approval.date}, {when}"
        mend = "have it signed again with the day of signing"
        return _refused(signed, "bad-signature", message, mend, file, forged=False)
    if person is None:
        message = f"`{approval.person}`, who signed this, is not among the people in museum.yml"
        mend = "have somebody entitled approve it; keep people who leave in museum.yml, with `until: …`"
        return _refused(signed, "approver-not-entitled", message, mend, file, forged=False)
    fault = _key_fault(approval, person, day)
    if fault:
        known = {person.key, *(former.key for former in person.former_keys)}
        return _refused(signed, "bad-signature", *fault, file, forged=approval.key not in known)
    fault = _right_fault(approval, person, day, museum, authors)
    if fault:
        return _refused(signed, "approver-not-entitled", *fault, file, forged=False)
    last = months_later(day, museum.house_rules.review_months)
    holds = frozenset(approval.may_approve) & frozenset(person.may_approve)
    return Warrant(signed, holds, last, today > last)


def refusal(
    person: str, *, museum: Museum, collections: Collection[str], authors: Collection[str], today: date, key: str = ""
) -> tuple[str, str] | None:
    """Why somebody cannot decide on a piece today, and the mend; None where they can. `key` is the one at hand."""
    known = museum.people.get(person)
    if known is None:
        return f"there is no `{person}` among the people in museum.yml", "add them, or name another person"
    left = _day(known.until or "")
    if known.until and (left is None or today > left):
        return f"`{person}` left by {known.until}", "have somebody entitled decide"
    held = sorted(set(known.may_approve) & set(collections)) if collections else list(known.may_approve)
    fault = _standing_fault(person, known, museum, authors) or (None if held else _want(person, collections))
    if fault or not key or key == known.key:
        return fault
    message = f"this key is not the one that museum.yml names for `{person}`"
    owner = next((name for name, other in museum.people.items() if other.key == key), None)
    if owner:
        return f"{message}: it is that of `{owner}`", f"choose the key file of `{person}`"
    return message, f"add `key: {key}` to `{person}` if it is theirs, or choose another key file"


def is_author(person: str, name: str, authors: Collection[str]) -> bool:
    """Whether a person is named among the authors, by id or by name."""
    return bool({person.casefold(), " ".join(name.split()).casefold()} & {author.casefold() for author in authors})


def role_fits(role: str, museum: Museum) -> bool:
    """Whether the house lets this role approve; any role where it names none."""
    wanted = museum.house_rules.approving_roles
    return not wanted or any(word.casefold() in role.casefold() for word in wanted)


def months_later(day: date, months: int) -> date:
    """The same day of a later month, or that month's last; at most the last day of the calendar."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > date.max.year:
        return date.max
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _key_fault(approval: Approval, person: Person, day: date) -> tuple[str, str] | None:
    who = approval.person
    formers = [former for former in person.former_keys if former.key == approval.key]
    for former in formers:
        if former.withdrawn:
            why = f": {former.because}" if former.because else ""
            message = f"the key of `{who}` that signed this was withdrawn{why}"
            return message, "have the piece approved anew with a key that only its owner has"
    if person.key == approval.key and PUBLIC.fullmatch(approval.key):
        return None
    for former in formers:
        until = _day(former.until or "")
        if until and day <= until:
            return None
        when = f"was put aside on {former.until}" if until else "has no last day in museum.yml"
        message = f"the key of `{who}` that signed this on {approval.date} {when}"
        mend = "give it `until: DAY` if it was put aside in good order later; else have the piece approved anew"
        return message, mend
    message = f"the key that signed this is not that of `{who}` in museum.yml"
    mend = f"list it under `former_keys` of `{who}` if it was theirs; else find out who signed, and delete the file"
    return message, mend


def _right_fault(
    approval: Approval, person: Person, day: date, museum: Museum, authors: Collection[str]
) -> tuple[str, str] | None:
    who = approval.person
    left = _day(person.until or "")
    if person.until and (left is None or day > left):
        return f"`{who}` had left by {person.until}, and signed on {approval.date}", "have somebody entitled approve it"
    fault = _standing_fault(who, person, museum, authors)
    if fault:
        return fault
    held = set(approval.may_approve) & set(person.may_approve)
    if held or (not approval.collections and person.may_approve):
        return None
    if set(approval.may_approve) - set(person.may_approve):
        message = f"`{who}` may no longer approve what this was signed for: {', '.join(approval.may_approve)}"
        return message, f"have somebody entitled approve it, or give `{who}` back `may_approve` in museum.yml"
    return _want(who, approval.collections)


def _standing_fault(who: str, person: Person, museum: Museum, authors: Collection[str]) -> tuple[str, str] | None:
    if is_author(who, person.name, authors):
        return f"`{who}` is an author of this piece and cannot approve it", "have somebody else approve it"
    if role_fits(person.role, museum):
        return None
    roles = ", ".join(museum.house_rules.approving_roles)
    message = f"`{who}` is {person.role}; in this house, those approve whose role holds one of: {roles}"
    return message, "have one of them approve it"


def _want(who: str, collections: Collection[str]) -> tuple[str, str]:
    wanted = ", ".join(f"`{each}`" for each in sorted(collections)) or "any collection"
    return f"`{who}` may not approve for {wanted}", "have somebody approve it whose `may_approve` in museum.yml says so"


def _refused(signed: SignedApproval, check: str, message: str, mend: str, file: str, *, forged: bool) -> Warrant:
    return Warrant(signed, problem=Problem(check, message, mend, file=file), forged=forged)


def _day(text: str) -> date | None:
    """A date that names one day."""
    read = parse_date(text)
    return read.first if read and read.first == read.last else None
