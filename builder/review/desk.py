"""The desk: every piece of a workspace with how it stands, read anew whenever a file has changed.

In: the folder of a workspace. Out: a `Look` at it, the same until something changes on disk. Nothing here writes.
"""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from typing import Any

from builder.approve.fingerprint import parts_of
from builder.approve.standing import Standing, collections_of, judge_piece
from builder.approve.warrant import refusal
from builder.check.case import Case
from builder.check.engine import sort_problems
from builder.compose.document import Document
from builder.compose.piece import compose
from builder.concern import problems_of_piece
from builder.load.picture import public_picture
from builder.load.workspace import saved_state
from builder.model.approval import ApprovedPart
from builder.problem import WARNING, Problem
from builder.road import Road

KINDS = {"svg": "image/svg+xml", "png": "image/png", "jpg": "image/jpeg", "jpeg": "image/jpeg", "webp": "image/webp"}
KEPT = 64


@dataclass(frozen=True)
class Row:
    """A piece in the list: what is read of it there, without the document itself."""

    name: str
    title: str
    use: str
    animal: str
    state: str
    approved: bool
    signers: tuple[str, ...]
    lapses: date | None
    saved: date
    errors: int
    warnings: int
    sources: tuple[str, ...]


Rows = tuple[str, tuple[Row, ...]]
"""The rows of a record's pieces, behind the key of what they depend on; no key where nothing is remembered of it."""


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
    def row(self) -> Row:
        """It as it stands in the list."""
        errors = sum(problem.severity == "error" for problem in self.problems)
        return Row(
            self.name, self.document["title"], self.document["kind"],
            self.document["taxon"].get("common", self.document["record"]), self.standing.state, self.standing.approved,
            tuple(self.signers.values()), self.standing.lapses, self.saved, errors, len(self.problems) - errors,
            tuple(source["id"] for source in self.document["sources"]),
        )  # fmt: skip

    @property
    def shown(self) -> list[str]:
        """Open problems and waivers in one line each, as a decision keeps them."""
        rows = [f"{problem.severity}: {problem.check}: {problem.message}" for problem in self.problems]
        waive = self.case.record.waive
        return rows + [f"waived: {w.check} at {w.at}: {w.reason} ({w.who}, until {w.until})" for w in waive]


class Look:
    """A workspace as it was at one moment. `known` are the rows of an earlier look of the same day, by record."""

    def __init__(self, road: Road, known: Mapping[str, Rows] | None = None) -> None:
        self.road = road
        self.known = known or {}
        self._told: dict[str, list[Problem]] = {}
        self._kept: OrderedDict[str, tuple[PieceOnDesk, ...]] = OrderedDict()
        self._shown: dict[str, tuple[str, str]] = {}
        top = f"{road.workspace.records}/"
        for problem in road.walk(road.workspace.folders, alone=True).problems:
            record, slash, _ = (problem.place.file.removeprefix(top) if problem.place else "").partition("/")
            of_source = record == "sources.yml" and problem.severity == WARNING and problem.path
            key = f"source {problem.path[0]}" if of_source else record if slash else ""
            self._told.setdefault(key, []).append(problem)

    @cached_property
    def pieces(self) -> dict[str, PieceOnDesk]:
        """Every piece that can be read, by `record/piece`: all at once, for which a large museum has to wait."""
        return {piece.name: piece for name in self.road.workspace.folders for piece in self._make(name)}

    def piece(self, name: str) -> PieceOnDesk | None:
        """The piece `record/piece`, if it can be read; no other record is looked at."""
        record = name.partition("/")[0]
        if record not in self.road.workspace.folders:
            return None
        return next((piece for piece in self._pieces_of(record) if piece.name == name), None)

    def _pieces_of(self, record: str) -> tuple[PieceOnDesk, ...]:
        """The pieces of a record, the last few of which are kept."""
        if record not in self._kept:
            self._kept[record] = self._make(record)
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        return self._kept[record]

    def _make(self, record: str) -> tuple[PieceOnDesk, ...]:
        case = self.road.case(record)
        made = []
        for key, piece in case.pieces.items() if case else ():
            assert case
            document = compose(case, case.weighed, piece)
            problems = self._problems_of(record, key, [source["id"] for source in document["sources"]])
            made.append(PieceOnDesk(case, document, judge_piece(case, document), problems, self._saved(record, key)))
            self._shown |= {figure["digest"]: (record, figure["file"]) for figure in document["figures"]}
        return tuple(made)

    def _problems_of(self, record: str, piece: str, sources: Sequence[str]) -> tuple[Problem, ...]:
        """The problems of a piece, looked for only where they may be: its record, its sources, what all share."""
        keys = (record, "", *(f"source {source}" for source in sources))
        told = sort_problems(problem for key in keys for problem in self._told.get(key, ()))
        return tuple(problems_of_piece(self.road.workspace, record, piece, sources, told))

    def _saved(self, record: str, piece: str) -> date:
        """The day on which the text of a piece was last saved."""
        path = self.road.workspace.root / self.road.workspace.records / record / f"{piece}.md"
        try:
            return datetime.fromtimestamp(path.stat().st_mtime, UTC).date()
        except (OSError, ValueError, OverflowError):
            return self.road.today

    @cached_property
    def rows(self) -> dict[str, Rows]:
        """The rows of every record's pieces. Only records that changed since the earlier look are composed anew."""
        found = {}
        for record in self.road.workspace.folders:
            entry = self.road.memory.kept.get(record)
            key = entry["key"] if entry else ""
            known = self.known.get(record)
            rows = known[1] if key and known and known[0] == key else tuple(piece.row for piece in self._make(record))
            found[record] = key, tuple(self._refreshed(record, row) for row in rows)
        return found

    @property
    def rows_so_far(self) -> Mapping[str, Rows]:
        """The rows, if anybody has asked for them, else those of the look before."""
        return self.rows if "rows" in self.__dict__ else self.known

    def _refreshed(self, record: str, row: Row) -> Row:
        """A row with what may change while its record does not: problems of shared files, and the day of its file."""
        piece = row.name.partition("/")[2]
        told = self._problems_of(record, piece, row.sources)
        errors = sum(problem.severity == "error" for problem in told)
        return replace(row, saved=self._saved(record, piece), errors=errors, warnings=len(told) - errors)

    @cached_property
    def waiting(self) -> list[Row]:
        """What waits for a decision: the one whose text was saved longest ago first."""
        found = [row for _, rows in self.rows.values() for row in rows if not row.approved]
        return sorted(found, key=lambda row: (row.saved, row.name))

    @property
    def signed(self) -> list[Row]:
        """What is approved as it stands."""
        return sorted((row for _, rows in self.rows.values() for row in rows if row.approved), key=lambda row: row.name)

    @property
    def broken(self) -> list[str]:
        """Records that cannot be read, so that none of their pieces is here."""
        return [record for record, (_, rows) in self.rows.items() if not rows]

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
    def _pictures(self) -> dict[str, list[tuple[str, str]]]:
        """Every picture in the records' folders, whether a piece shows it or not, by the digest of its public part."""
        found: dict[str, list[tuple[str, str]]] = {}
        for record, files in self.road.workspace.folders.items():
            for file, data in files.items():
                if file.rsplit(".", 1)[-1].lower() in KINDS:
                    digest = hashlib.sha256(public_picture(file, data)).hexdigest()
                    found.setdefault(digest, []).append((record, file))
        return found

    def picture(self, digest: str) -> tuple[bytes, str] | None:
        """The bytes and media type of a picture of some piece, by the digest of what is published of it alone."""
        if digest not in self._shown:
            for record, _ in self._pictures.get(digest, ()):
                self._pieces_of(record)
        if digest not in self._shown:
            return None
        record, file = self._shown[digest]
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
                before = self._look if self._look and self._look.road.today == today else None
                self._look = Look(Road(self.root, today=today), before.rows_so_far if before else None)
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
