"""Write the Markdown tree that the site generator reads, and the manifest of what is in it.

In: the composed pages, the index pages, prose, pictures. Out: files under one folder; what is no longer wanted is
removed, what has not changed is left alone.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

from builder.publish.write import write_bytes


def digest(data: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def is_current(folder: Path, outputs: Mapping[str, str]) -> bool:
    """Whether every output stands in the folder with the digest it should have."""
    try:
        return all(digest((folder / path).read_bytes()) == wanted for path, wanted in outputs.items())
    except OSError:
        return False


def write_tree(folder: Path, outputs: Mapping[str, bytes | None]) -> int:
    """Make `folder` hold exactly these files; None means that the file stands there as it should. Counts the writes."""
    written = sum(write_bytes(folder / path, data) for path, data in outputs.items() if data is not None)
    for where, folders, names in os.walk(folder, topdown=False):
        for name in names:
            path = Path(where, name)
            if path.relative_to(folder).as_posix() not in outputs:
                path.unlink()
        for name in folders:
            inner = Path(where, name)
            if not inner.is_symlink() and not any(inner.iterdir()):
                inner.rmdir()
    return written


def shipped(folder: str) -> dict[str, bytes]:
    """The files that come with the program in that folder of this package."""
    top = files("builder.publish").joinpath(folder)
    return {entry.name: entry.read_bytes() for entry in sorted(top.iterdir(), key=lambda e: e.name) if entry.is_file()}


def manifest(rows: Iterable[Mapping[str, Any]]) -> bytes:
    """The manifest: one row for each output, sorted."""
    ordered = sorted(rows, key=lambda row: str(row["output"]))
    return (json.dumps(ordered, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()
