"""Write a decision into a record's `approvals/`, once, whole, and as it was signed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from builder.approve.decision import decision_file, decision_text, message_of
from builder.approve.signature import is_signed
from builder.load.approvaltext import FOLDER, read_approval
from builder.publish.write import write_new


class NotAsSigned(Exception):
    """What would be read back is not what was signed; nothing was written, or it was taken away again."""


def write_decision(folder: Path, plain: Mapping[str, Any]) -> Path:
    """Write a signed decision into the record's folder and read it back; gives its path.

    Raises NotAsSigned, FileExistsError where the same decision is there already, and OSError.
    """
    data = decision_text(plain)
    path = folder / FOLDER / decision_file(plain)
    _hold(path.name, data, plain)
    write_new(path, data)
    found = path.read_bytes()
    if found != data:
        path.unlink(missing_ok=True)
        raise NotAsSigned(f"`{path.name}` did not come back from the disk as it was written")
    return path


def _hold(name: str, data: bytes, plain: Mapping[str, Any]) -> None:
    read = read_approval(name, data)
    if read.approval is None:
        raise NotAsSigned(read.problems[0].message)
    if read.plain != plain or not is_signed(read.approval.key, read.approval.signature, message_of(read.plain)):
        raise NotAsSigned("the signature does not fit what would be written")
