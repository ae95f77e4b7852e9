"""Have the demo's invented curators sign its pieces anew: `python -m tests.sign_demo`.

For whoever changes the demo, or how documents are composed: every decision on a piece that no longer stands as it was
approved is taken away and given anew with the published keys of `docs/demo-keys`. A real museum never does this: there
a curator reads what changed, and decides.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from builder.approve.decision import make_decision, seal_decision
from builder.approve.signature import unlock_key
from builder.approve.standing import collections_of, judge_piece
from builder.publish.decision import write_decision
from builder.road import Road

ROOT = Path(__file__).parent.parent
PASSPHRASE = "this demo key is open to all"
SIGNED = date(2026, 11, 24)
COMMENT = "Signed with a key that is open to all, for the demo."


@cache
def key_of(person: str) -> Any:
    """The published key of an invented curator."""
    return unlock_key((ROOT / f"docs/demo-keys/{person}.key").read_bytes(), PASSPHRASE)


def sign_demo(root: Path = ROOT) -> Iterator[str]:
    """Sign what does not stand as it was approved; gives the pieces signed, and raises where nobody may sign one."""
    road = Road(root, today=SIGNED, remember=False)
    for record in road.workspace.folders:
        case = road.case(record)
        assert case is not None, record
        folder = root / road.workspace.records / record
        for piece, document in road.documents(record).items():
            if judge_piece(case, document).approved:
                continue
            for old in sorted(folder.glob(f"approvals/{piece}--*.yml")):
                old.unlink()
            wanted = collections_of(case, document)
            people = [key for key, person in case.museum.people.items() if wanted & set(person.may_approve)]
            assert people, f"nobody may sign {record}/{piece}"
            for person in people:
                decision = make_decision(
                    document, museum=case.museum, person=person, decision="approved", date=SIGNED.isoformat(),
                    collections=wanted, comment=COMMENT,
                )  # fmt: skip
                write_decision(folder, seal_decision(decision, key_of(person)))
            yield f"{record}/{piece}"


if __name__ == "__main__":
    for signed in sign_demo():
        sys.stdout.write(f"signed {signed}\n")
