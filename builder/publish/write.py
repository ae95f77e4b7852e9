"""Write files: the only writer. A file that holds the same bytes already is left as it is.

Each file is written beside its place and then moved there, so that no reader ever meets half a file.
"""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path


def write_new(path: Path, data: bytes, *, mode: int = 0o644) -> None:
    """Write a file that is not there yet, whole or not at all. Raises FileExistsError where it is, or OSError."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".writing-")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, mode)
        _put(temporary, path)
    finally:
        Path(temporary).unlink(missing_ok=True)


def _put(temporary: str, path: Path) -> None:
    """Give the file its name, unless that is taken."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        if os.path.lexists(path):
            raise FileExistsError(17, "the file is there already", str(path)) from None
        os.replace(temporary, path)


def write_bytes(path: Path, data: bytes) -> bool:
    """Write `data` to `path` unless it stands there already; says whether anything was written. Raises OSError."""
    with suppress(OSError):
        if path.is_file() and path.read_bytes() == data:  # what is no ordinary file is not read, but replaced
            return False
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".writing-")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        os.chmod(temporary, 0o644)
        os.replace(temporary, path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
    return True
