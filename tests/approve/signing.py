"""What the tests of approvals share: keys from known seeds, the stock workspace in memory, and decisions on it."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from builder.approve.decision import decision_file, decision_text, make_decision, seal_decision
from builder.approve.signature import public_of
from builder.approve.standing import Standing, collections_of, judge
from builder.check.example import STOCK
from builder.compose.document import Document
from builder.load.approvaltext import read_approval
from builder.model.approval import SignedApproval
from builder.model.museum import Museum
from builder.road import Road

TODAY = date(2026, 11, 25)
BOTH = ("bones", "jars")


@cache
def key_of(person: str) -> Ed25519PrivateKey:
    """A key made from the person's id: the same in every run."""
    return Ed25519PrivateKey.from_private_bytes(hashlib.sha256(f"test key of {person}".encode()).digest())


def people(**changes: Any) -> dict[str, Any]:
    made: dict[str, Any] = {
        "a-writer": {"name": "Ada Writer", "role": "educator", "key": public_of(key_of("a-writer"))},
        "c-keeper": {
            "name": "Con Keeper",
            "role": "curator",
            "may_approve": list(BOTH),
            "key": public_of(key_of("c-keeper")),
        },
        "j-jars": {"name": "Jo Jars", "role": "curator", "may_approve": ["jars"], "key": public_of(key_of("j-jars"))},
        "b-bones": {
            "name": "Bea Bones",
            "role": "curator",
            "may_approve": ["bones"],
            "key": public_of(key_of("b-bones")),
        },
    }
    for key, given in changes.items():
        name = key.replace("_", "-")
        made[name] = {**made[name], **given} if given is not None else None
    return {key: value for key, value in made.items() if value is not None}


def museum(rules: Mapping[str, Any] | None = None, **changes: Any) -> Museum:
    return Museum.model_validate(
        {
            "name": "Example museum",
            "collections": {"jars": {"name": "Fluid collection"}, "bones": {"name": "Bone collection"}},
            "people": people(**changes),
            "house_rules": rules or {},
        }
    )


@cache
def stock_documents() -> dict[str, Document]:
    road = Road(STOCK, today=TODAY, remember=False)  # type: ignore[arg-type]
    return road.documents("newt")


def signed(
    document: Document, person: str = "c-keeper", *, house: Museum | None = None, key: str = "", **more: Any
) -> SignedApproval:
    """A decision as it is read back from its file; `key` is whose key signs."""
    house = house or museum()
    given = {"decision": "approved", "date": "2026-11-01", "collections": BOTH, **more}
    plain = seal_decision(make_decision(document, museum=house, person=person, **given), key_of(key or person))
    return read(plain)


def read(plain: Mapping[str, Any], name: str = "") -> SignedApproval:
    name = name or decision_file(plain)
    return read_approval(f"records/newt/approvals/{name}", decision_text(plain))


def resigned(plain: Mapping[str, Any], key: str, **changes: Any) -> SignedApproval:
    """A forger's decision: other values, signed anew with a key, under its proper name."""
    made = {**plain, **changes}
    made = {name: value for name, value in made.items() if name not in ("key", "signature")}
    return read(seal_decision(made, key_of(key)))


def standing(
    document: Document,
    *approvals: SignedApproval,
    house: Museum | None = None,
    today: date = TODAY,
    authors: tuple[str, ...] = ("a-writer",),
    collections: tuple[str, ...] = BOTH,
) -> Standing:
    return judge(document, approvals, museum=house or museum(), collections=collections, authors=authors, today=today)


def with_keys(text: str) -> str:
    """The stock's museum.yml, everybody with their test key, as in a museum that signs."""
    for person in ("a-writer", "c-keeper"):
        entry = re.compile(rf"({person}: {{(?:(?!key:)[^}}])*)}}")
        text = entry.sub(rf"\g<1>, key: {public_of(key_of(person))}}}", text, count=1)
    return text


def give_keys(root: Path) -> None:
    """Give everybody in the museum of a workspace their test key."""
    house = root / "records/museum.yml"
    house.write_text(with_keys(house.read_text("utf-8")), encoding="utf-8")


def decide(root: Path, record: str, piece: str, order: Mapping[str, Any], *, today: date = TODAY) -> Path:
    """Write a decision on a piece as it stands into a workspace, and say where.

    `order` gives `person`, `decision`, `date`; `signed by` is another whose key signs, `changed after signing` what
    somebody does to the file afterwards.
    """
    give_keys(root)
    road = Road(root, today=today, remember=False)
    case = road.case(record)
    document = road.documents(record)[piece]
    assert case
    given = {key: value for key, value in order.items() if key not in ("signed by", "changed after signing")}
    plain = make_decision(document, museum=case.museum, collections=collections_of(case, document), **given)
    plain = seal_decision(plain, key_of(order.get("signed by", order["person"])))
    path = root / road.workspace.records / record / "approvals" / decision_file(plain)
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(decision_text({**plain, **order.get("changed after signing", {})}))
    return path


def renamed(approval: SignedApproval, name: str) -> SignedApproval:
    return replace(approval, name=name)
