"""What was read and checked, remembered by fingerprint, so that only what changed is worked again.

In: for each record, and for each diet table, a key that stands for everything its result depends on. Out: that result,
or nothing. Deleting the memory changes nothing but time; a memory that cannot be read is no memory. It is JSON, so that
reading one that somebody else wrote can run no code.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from functools import cache
from pathlib import Path
from typing import Any

from builder.publish.write import write_bytes

FORM = 4
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
        if path is None or not path.is_file():  # a pipe would be waited for, a device never ends
            return
        try:
            stored = json.loads(path.read_bytes())
            if stored.get("form") == FORM and stored.get("code") == code_digest():
                self.entries = dict(stored["entries"])
        except (OSError, ValueError, AttributeError, KeyError, TypeError, RecursionError):
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


class DietMemory:
    """Results of diet tables by the key of the table, each in a file of its own: a run reads those it asks for alone.

    A file holds two lines of JSON, the digest of the second and the result, so that a figure spoilt in it is noticed.
    `fresh` are those of this run, as JSON; `in_use` the keys of all tables there are, once all records were walked.
    """

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self.fresh: dict[str, str] = {}
        self.in_use: frozenset[str] | None = None

    def get(self, key: str) -> Any:
        """What is remembered under that key, or None."""
        if self.folder is None:
            return None
        try:
            text = self.fresh[key] if key in self.fresh else _unseal((self.folder / _file_name(key)).read_bytes())
            return json.loads(text)
        except (OSError, ValueError, RecursionError):
            return None

    def keep(self, key: str, entry: Any) -> None:
        """Note a result for the next run."""
        if self.folder is not None:
            self.fresh[key] = json.dumps(entry, separators=(",", ":"))

    def write(self) -> None:
        """Write what is new, and drop what is in use no more, where that is known. Raises OSError."""
        if self.folder is None:
            return
        for key, text in self.fresh.items():
            write_bytes(self.folder / _file_name(key), _seal(text))
        if self.in_use is None or not self.folder.is_dir():
            return
        kept = {_file_name(key) for key in self.in_use.union(self.fresh)}
        for name in os.listdir(self.folder):
            if name not in kept and _NAME.fullmatch(name):
                (self.folder / name).unlink(missing_ok=True)


def _seal(text: str) -> bytes:
    return f'"{hashlib.blake2b(text.encode(), digest_size=16).hexdigest()}"\n{text}'.encode()


def _unseal(data: bytes) -> str:
    """The text that was sealed. Raises ValueError where it is another."""
    text = data.partition(b"\n")[2].decode()
    if _seal(text) != data:
        raise ValueError("not as it was written")
    return text


_NAME = re.compile(r"[0-9a-f]{40}\.json")


def _file_name(key: str) -> str:
    """The digest of a key and of this program: what another version wrote is not found."""
    return hashlib.blake2b(f"{FORM} {code_digest()} {key}".encode(), digest_size=20).hexdigest() + ".json"
