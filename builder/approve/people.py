"""Who could decide when, and what of that has changed: a right can be given quietly, so the next review lists it."""

from __future__ import annotations

from collections.abc import Iterator

from builder.approve.decision import KEY_START
from builder.model.approval import Approval
from builder.model.museum import Museum


def people_changes(approval: Approval | None, museum: Museum) -> tuple[str, ...]:
    """What has changed among those entitled since a decision, one sentence each; nothing where there was none."""
    return tuple(_changes(approval, museum)) if approval else ()


def _changes(approval: Approval, museum: Museum) -> Iterator[str]:
    then, now = approval.entitled, {key: person for key, person in museum.people.items() if person.may_approve}
    for key, person in now.items():
        was = then.get(key)
        if was is None:
            yield f"{person.name} (`{key}`, {person.role}) may now approve for {_listed(person.may_approve)}"
            continue
        more = sorted(set(person.may_approve) - set(was.may_approve))
        less = sorted(set(was.may_approve) - set(person.may_approve))
        if more:
            yield f"{person.name} (`{key}`) may now approve for {_listed(more)} too"
        if less:
            yield f"{person.name} (`{key}`) may no longer approve for {_listed(less)}"
        if (person.key or "")[:KEY_START] != (was.key or ""):
            yield f"{person.name} (`{key}`) has {'another' if was.key else 'a'} signing key"
        if person.role != was.role:
            yield f"{person.name} (`{key}`) was {was.role} and is {person.role}"
    for key in then:
        if key not in now:
            yield f"`{key}`, who was {then[key].role}, may no longer approve anything"


def _listed(names: tuple[str, ...] | list[str]) -> str:
    return ", ".join(f"`{name}`" for name in names)
