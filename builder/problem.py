"""What a check reports: a problem, where it is, and the mend.

Nothing here knows about printing or about files on disk; a `Place` names a file by its path inside the workspace.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

Path = tuple[str | int, ...]
"""A way into a file's tree, such as `("claims", "milk", "evidence", 0)`."""


class Severity(StrEnum):
    """Errors stop publication; warnings do not."""

    ERROR = "error"
    WARNING = "warning"


ERROR, WARNING = Severity.ERROR, Severity.WARNING


@dataclass(frozen=True, slots=True, order=True)
class Spot:
    """A stretch of one line of a text: line and column count from 1, length in characters."""

    line: int = 1
    column: int = 1
    length: int = 1


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A spot in a file of the workspace; `file` is relative, with forward slashes."""

    file: str
    line: int = 1
    column: int = 1
    length: int = 1


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault found: which check, how grave, where, what is wrong, and what to do about it.

    A check gives either a `path` into the tree of the file it looks at or a `spot` in its text; the engine turns
    either into a `place`. `file` is given only by a check that speaks about another file than the one it was handed;
    `severity` only by one that has two grades, else it is that of the check.
    """

    check: str
    message: str
    mend: str
    path: Path = ()
    spot: Spot | None = None
    severity: Severity | None = None
    file: str = ""
    at_key: bool = False
    place: Place | None = None
    also: tuple[tuple[str, Place], ...] = ()

    @property
    def order(self) -> tuple[str, int, int, str, str]:
        """Sort key: file, line, column, check, message."""
        place = self.place or Place(self.file)
        return (place.file, place.line, place.column, self.check, self.message)
