"""The desk: every piece of a workspace with how it stands, read anew whenever a file has changed.

In: the folder of a workspace. Out: a `Look` at it, the same until something changes on disk. Nothing here writes.
"""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from typing import Any

from builder.approve.fingerprint import parts_of
from builder.approve.standing import Standing, collections_of, judge_piece
from builder.approve.warrant import refusal
from builder.check.case import Case
from builder.compose.document import Document
from builder.compose.piece import compose
from builder.concern import problems_of_piece
from builder.load.picture import public_picture
from builder.load.workspace import saved_state
from builder.model.approval import ApprovedPart
from builder.problem import Problem
from builder.road import Road

KINDS = {"svg": "image/svg+xml", "png": "image/png", "jpg": "image/jpeg", "jpeg": "image/jpeg", "webp": "image/webp"}
KEPT = 64


@dataclass(frozen=True)
class PieceOnDesk:
    """One piece: its case and document, how it stands, its open problems, and when its file was last saved."""

    case: Case
    document: Document
    standing: Standing
    problems: tuple[Problem, ...]
    saved: date

    @property
    def name(self) -> str:
        """`record/piece`."""
        return self.standing.piece

    @property
    def collections(self) -> frozenset[str]:
        """The collections whose objects it speaks of."""
        return collections_of(self.case, self.document)

    @property
    def signers(self) -> dict[str, str]:
        """Who may decide on it today and has a key: id to name."""
        museum = self.case.museum
        authors = self.case.pieces[self.document["piece"]].front.author
        given = {"museum": museum, "collections": self.collections, "authors": authors, "today": self.case.today}
        return {key: one.name for key, one in museum.people.items() if one.key and refusal(key, **given) is None}  # type: ignore[arg-type]

    @property
    def shown(self) -> list[str]:
        """Open problems and waivers in one line each, as a decision keeps them."""
        rows = [f"{problem.severity}: {problem.check}: {problem.message}" for problem in self.problems]
        waive = self.case.record.waive
        return rows + [f"waived: {w.check} at {w.at}: {w.reason} ({w.who}, until {w.until})" for w in waive]


class Look:
    """A workspace as it was at one moment."""

    def __init__(self, road: Road) -> None:
        self.road = road
        self._problems = road.walk(road.workspace.folders, alone=True).problems

    @cached_property
    def pieces(self) -> dict[str, PieceOnDesk]:
        """Every piece that can be read, by `record/piece`."""
        return {piece.name: piece for name in self.road.workspace.folders for piece in self._of(name)}

    def _of(self, record: str) -> Iterable[PieceOnDesk]:
        case = self.road.case(record)
        if case is None:
            return
        workspace = self.road.workspace
        for key, piece in case.pieces.items():
            document = compose(case, case.weighed, piece)
            problems = problems_of_piece(workspace, document, self._problems)
            path = workspace.root / workspace.records / record / f"{key}.md"
            try:
                saved = datetime.fromtimestamp(path.stat().st_mtime, UTC).date()
            except (OSError, ValueError, OverflowError):
                saved = self.road.today
            yield PieceOnDesk(case, document, judge_piece(case, document), tuple(problems), saved)

    @cached_property
    def waiting(self) -> list[PieceOnDesk]:
        """What waits for a decision: the one whose text was saved longest ago first."""
        found = [piece for piece in self.pieces.values() if not piece.standing.approved]
        return sorted(found, key=lambda piece: (piece.saved, piece.name))

    @property
    def signed(self) -> list[PieceOnDesk]:
        """What is approved as it stands."""
        return sorted((piece for piece in self.pieces.values() if piece.standing.approved), key=lambda one: one.name)

    @property
    def broken(self) -> list[str]:
        """Records that cannot be read, so that none of their pieces is here."""
        there = {piece.document["record"] for piece in self.pieces.values()}
        return [name for name in self.road.workspace.folders if name not in there]

    def excerpts(self, document: Document) -> dict[str, str]:
        """The excerpts of a document's sources, by source."""
        library = self.road.library
        named = {row["id"]: library.sources[row["id"]].excerpt for row in document["sources"]}
        kept = library.shared.excerpts
        return {source: kept[file] for source, file in named.items() if file and file in kept}

    def entries(self, document: Document) -> dict[str, Any]:
        """The full entries of a document's sources."""
        return {row["id"]: self.road.entries.entry(row["fields"]) for row in document["sources"]}

    @cached_property
    def _pictures(self) -> dict[str, tuple[str, str]]:
        return {
            figure["digest"]: (piece.document["record"], figure["file"])
            for piece in self.pieces.values()
            for figure in piece.document["figures"]
        }

    def picture(self, digest: str) -> tuple[bytes, str] | None:
        """The bytes and media type of a picture of some piece, by the digest of what is published of it alone."""
        if digest not in self._pictures:
            return None
        record, file = self._pictures[digest]
        data = public_picture(file, self.road.workspace.folders[record][file])
        kind = KINDS.get(file.rsplit(".", 1)[-1].lower())
        return (data, kind) if kind and hashlib.sha256(data).hexdigest() == digest else None


class Desk:
    """The workspace as it now is. `today` is asked whenever it is read."""

    def __init__(self, root: Path, *, today: Callable[[], date] = date.today) -> None:
        self.root, self._today = root, today
        self._lock = threading.Lock()
        self._state: object = None
        self._look: Look | None = None
        self._parts: OrderedDict[str, Mapping[str, ApprovedPart]] = OrderedDict()

    def look(self, *, anew: bool = False) -> Look:
        """The workspace, read again where a file has changed, the day has, or it must be. Raises NotAWorkspace."""
        with self._lock:
            today = self._today()
            state = (today, saved_state(self.root))
            if anew or self._look is None or state != self._state:
                self._look = Look(Road(self.root, today=today))
                self._state = state  # as it was before the reading: what is saved while it lasts is a change
            return self._look

    def remember(self, piece: PieceOnDesk) -> None:
        """Keep the parts of what is shown, to be able to say later what has changed since."""
        with self._lock:
            self._parts[piece.standing.fingerprint] = parts_of(piece.document)
            self._parts.move_to_end(piece.standing.fingerprint)
            while len(self._parts) > KEPT:
                self._parts.popitem(last=False)

    def parts_shown(self, fingerprint: str) -> Mapping[str, ApprovedPart] | None:
        """The parts of what was shown under that fingerprint, if it was not long ago."""
        with self._lock:
            return self._parts.get(fingerprint)
