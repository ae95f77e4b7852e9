"""What the tests of the review share: the stock workspace with curators whose keys are on disk, and their browser."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import httpx
import yaml
from starlette.testclient import TestClient

from builder.approve.signature import lock_key, public_of
from builder.review.application import make_application
from builder.review.desk import Desk
from builder.review.patience import Patience
from tests.approve.signing import key_of

TODAY = date(2026, 11, 25)
PASSPHRASE = "four plain words here"
PEOPLE = ("c-keeper", "b-bones", "j-jars")
HOME = "http://127.0.0.1:8322"


def prepare(root: Path, keys: Path) -> None:
    """Curators into museum.yml, and their locked keys into a folder outside the workspace."""
    file = next(root.rglob("museum.yml"))
    museum = yaml.safe_load(file.read_text("utf-8"))
    every = sorted(museum["collections"])
    museum.setdefault("people", {})
    for person in PEOPLE:
        museum["people"][person] = {
            "name": f"Curator {person}", "role": "curator", "may_approve": list(every), "key": public_of(key_of(person)),
        }  # fmt: skip
    file.write_text(yaml.safe_dump(museum, sort_keys=False), "utf-8")
    keys.mkdir(parents=True, exist_ok=True)
    for person in PEOPLE:  # a low cost: the tests open many
        (keys / f"{person}.key").write_bytes(lock_key(key_of(person), PASSPHRASE, person=person, cost=2**10))


@dataclass
class Reviewed:
    """A review under test."""

    root: Path
    keys: Path
    names: tuple[str, ...] = ()
    https: bool = False
    clock: Callable[[], float] | None = None
    log: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        patience = Patience(self.clock) if self.clock else Patience()
        self.desk = Desk(self.root, today=lambda: TODAY)
        self.application = make_application(
            self.desk, self.keys, names=self.names, https=self.https, log=self.log.append, patience=patience
        )

    def client(self, home: str = HOME) -> TestClient:
        return TestClient(self.application, base_url=home, follow_redirects=False)

    @property
    def decisions(self) -> list[Path]:
        return sorted(self.root.rglob("approvals/*.yml"))


def hidden(text: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]+)"', text)
    assert found, name
    return found[1]


def form_of(client: TestClient, path: str, **changes: str | None) -> dict[str, str]:
    """The form of a page, filled in as a curator would."""
    shown = client.get(path)
    assert shown.status_code == 200, shown.text
    filled: dict[str, Any] = {
        "token": hidden(shown.text, "token"), "fingerprint": hidden(shown.text, "fingerprint"), "person": "c-keeper",
        "decision": "approved", "day": "2026-11-24", "comment": "", "passphrase": PASSPHRASE, **changes,
    }  # fmt: skip
    return {key: value for key, value in filled.items() if value is not None}


def post(client: TestClient, path: str, form: dict[str, str], **headers: str | None) -> httpx.Response:
    given = {"origin": HOME, **{key.replace("_", "-"): value for key, value in headers.items()}}
    return client.post(path, data=form, headers={key: value for key, value in given.items() if value is not None})
