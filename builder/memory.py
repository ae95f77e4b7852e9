"""What was read and checked, remembered by fingerprint, so that only what changed is worked again.

In: for each record a key that stands for everything its result depends on. Out: that result, or nothing. Deleting the
memory changes nothing but time; a memory that cannot be read is no memory. It is JSON, so that reading one that
somebody else wrote can run no code.
"""

from __future__ import annotations

import hashlib
import json
import os
from functools import cache
from pathlib import Path
from typing import Any

from builder.publish.write import write_bytes

FORM = 3
"""Raised when the form of what is remembered changes."""


@cache
def code_digest() -> str:
    """Fingerprint of this program: every module, page and template. A new version remembers nothing of the old."""
    state = hashlib.blake2b(digest_size=16)
    top = Path(__file__).parent
    for folder, folders, names in os.walk(top):
        folders[:] = sorted(name for name in folders if name != "__pycache__")
        for name in sorted(names):
            path = Path(folder, name)
            state.update(str(path.relative_to(top).as_posix()).encode())
            state.update(path.read_bytes())
    return state.hexdigest()


class Memory:
    """Results by record. `found` are those of the last run that still stand; `keep` notes one for the next."""

    def __init__(self, path: Path | None) -> None:
        self.path = path
        self.entries: dict[str, Any] = {}
        self.kept: dict[str, Any] = {}
        if path is None:
            return
        try:
            stored = json.loads(path.read_bytes())
            if stored.get("form") == FORM and stored.get("code") == code_digest():
                self.entries = dict(stored["entries"])
        except (OSError, ValueError, AttributeError, KeyError, TypeError):
            self.entries = {}

    def get(self, name: str) -> Any:
        """What is remembered under that name, or None."""
        return self.entries.get(name)

    def keep(self, name: str, entry: Any) -> None:
        """Note an entry for the next run."""
        self.kept[name] = entry

    def write(self) -> None:
        """Write it for the next run, if there is anything new. Raises OSError."""
        data = self.as_bytes()
        if data and self.path:
            write_bytes(self.path, data)

    def as_bytes(self) -> bytes:
        """The memory as it goes to disk; empty where nothing is to be written or nothing changed."""
        if self.path is None or self.kept == self.entries:
            return b""
        whole = {"form": FORM, "code": code_digest(), "entries": self.kept}
        return json.dumps(whole, ensure_ascii=False, separators=(",", ":")).encode()
