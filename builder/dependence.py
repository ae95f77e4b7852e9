"""What the result of one record depends on, as one key: while it stays the same, so does the result.

In: the files of a workspace and what all records share. Out: for a record, a digest over its own files, the museum and
the glossary, the sources it rests on with all that these draw on, the corrections of its pieces, and the records it
refers to with theirs.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from functools import cached_property

from builder.load.workspace import Workspace, fingerprint_files
from builder.memory import Memory
from builder.resolve import Library


class Dependence:
    """The keys of the records of one workspace."""

    def __init__(self, workspace: Workspace, library: Library, memory: Memory) -> None:
        self.workspace, self.library, self.memory = workspace, library, memory

    @cached_property
    def _house(self) -> str:
        names = ("museum.yml", "glossary.yml")
        return fingerprint_files({name: data for name, data in self.workspace.shared.items() if name in names})

    @cached_property
    def _source_digests(self) -> dict[str, str]:
        shared = self.library.shared
        tree = shared.trees.get(f"{self.workspace.records}/sources.yml")
        entries = tree.value if tree and isinstance(tree.value, dict) else {}
        digests = {}
        for key, entry in entries.items():
            text = repr(entry)
            excerpt = entry.get("excerpt") if isinstance(entry, dict) else None
            if isinstance(excerpt, str):
                text += shared.excerpts.get(excerpt, "")
            digests[key] = hashlib.blake2b(text.encode("utf-8", "replace"), digest_size=12).hexdigest()
        return digests

    def key(self, name: str, sources: Iterable[str], others: Iterable[str]) -> str:
        """The key of a record that names those sources and refers to those other records."""
        state = hashlib.blake2b(f"{self._house} {self.workspace.digest(name)}".encode(), digest_size=20)
        seen: set[str] = set()
        for source in sources:
            seen |= set(self.library.drawn_on(source)) | {source}
        for source in sorted(seen):
            state.update(f" {source} {self._source_digests.get(source)}".encode())
        for key, correction in self.library.shared.corrections.items():
            if correction.piece.partition("/")[0] == name:
                state.update(f" {key} {correction!r}".encode("utf-8", "replace"))
        for other in sorted(others):
            digest = self.workspace.digest(other) if other in self.workspace.folders else None
            state.update(f" {other} {digest}".encode())
            entry = self.memory.kept.get(other) or self.memory.get(other)
            state.update(repr(entry and entry["key"]).encode())
        return state.hexdigest()
