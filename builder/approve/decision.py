"""Make a decision: what a curator signs, its signature, and the text of its file.

A decision is plain data in which every value is text, as the file is read back. The signature covers the canonical JSON
of all of it but the signature itself; its digest is SHA-256 over the same. A file is named for its piece and the start
of that digest, so that two people deciding at once write two files, and no file is ever changed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any

import yaml
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from builder.approve.fingerprint import parts_of, seal_of
from builder.approve.signature import public_of, sign
from builder.compose.document import Document, canonical_json
from builder.model.approval import SignedApproval
from builder.model.museum import Museum

HEAD = (
    "# A signed decision. Change nothing here: the signature covers every value. A new decision is a file of its own.\n"
)
SHORT = 12
KEY_START = len("ed25519:") + 16


def make_decision(
    document: Document,
    *,
    museum: Museum,
    person: str,
    decision: str,
    date: str,
    collections: Collection[str],
    after: Iterable[SignedApproval] = (),
    comment: str = "",
    remarks: Sequence[Mapping[str, str]] = (),
    shown: Sequence[str] = (),
) -> dict[str, Any]:
    """What is to be signed, unsigned. Raises KeyError where `museum` has no such person.

    `collections` are those of the objects the document speaks of, `after` the decisions on the piece that were seen,
    `remarks` are `{part, words, comment}`, `shown` the open problems and waivers that the person was shown.
    """
    known = museum.people[person]
    parts = parts_of(document)
    made: dict[str, Any] = {
        "piece": f"{document['record']}/{document['piece']}",
        "decision": decision,
        "person": person,
        "role": known.role,
        "date": date,
        "comment": comment.strip(),
        "remarks": [{key: remark[key].strip() for key in ("part", "words", "comment")} for remark in remarks],
        "collections": sorted(collections),
        "may_approve": sorted(set(known.may_approve) & set(collections)),
        "entitled": {
            key: _filled({"role": one.role, "may_approve": list(one.may_approve), "key": (one.key or "")[:KEY_START]})
            for key, one in museum.people.items()
            if one.may_approve
        },
        "after": sorted(decision_digest(earlier.plain) for earlier in after),
        "fingerprint": seal_of(parts),
        "parts": {name: {"text": part.text, "fingerprint": part.fingerprint} for name, part in parts.items()},
        "checks_shown": [line.strip() for line in shown if line.strip()],
    }
    return _filled(made)


def seal_decision(plain: Mapping[str, Any], key: Ed25519PrivateKey) -> dict[str, Any]:
    """The decision with key and signature."""
    made = {**plain, "key": public_of(key)}
    return {**made, "signature": sign(key, message_of(made))}


def message_of(plain: Mapping[str, Any]) -> bytes:
    """What is signed: everything but the signature."""
    return canonical_json({key: value for key, value in plain.items() if key != "signature"})


def decision_digest(plain: Mapping[str, Any]) -> str:
    """SHA-256 of what is signed, by which later decisions name this one."""
    return hashlib.sha256(message_of(plain)).hexdigest()


def decision_file(plain: Mapping[str, Any]) -> str:
    """The name of a decision's file in `approvals/`."""
    return f"{str(plain['piece']).rpartition('/')[2]}--{decision_digest(plain)[:SHORT]}.yml"


def decision_text(plain: Mapping[str, Any]) -> bytes:
    """The file of a decision."""
    text: str = yaml.dump(dict(plain), Dumper=_Plain, sort_keys=False, allow_unicode=True, width=116)
    return (HEAD + text).encode()


def _filled(entries: dict[str, Any]) -> dict[str, Any]:
    """What has a value."""
    return {key: value for key, value in entries.items() if value not in ("", [], {}, ())}


class _Plain(yaml.SafeDumper):  # type: ignore[misc]
    """Writes texts of several rows as rows."""

    def ignore_aliases(self, data: Any) -> bool:
        """No anchors: they are refused when read."""
        return True


def _text_node(dumper: Any, value: str) -> Any:
    return dumper.represent_scalar("tag:yaml.org,2002:str", value, style="|" if "\n" in value else None)


_Plain.add_representer(str, _text_node)
