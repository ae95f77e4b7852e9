"""Every file of a workspace, read once: the only reader.

In: the folder that holds `mkdocs.yml`. Out: the bytes of every file that matters, by path, and the problems met on the
way. Refused: files that are too large, links that lead out of the workspace, names that are no ids or no text.
"""

from __future__ import annotations

import hashlib
import os
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from builder.load.yamltext import read_settings
from builder.model.value import ID
from builder.problem import Place, Problem

TEXT_LIMIT = 2 * 1024 * 1024
FILE_LIMIT = 32 * 1024 * 1024
TEXT_ENDINGS = (".yml", ".yaml", ".md", ".csv", ".txt", ".csl", ".vtt")
SHARED = ("museum.yml", "sources.yml", "glossary.yml", "corrections.yml")


class NotAWorkspace(Exception):
    """There is no workspace in that folder; the message says what was looked for."""


@dataclass(frozen=True, slots=True)
class Workspace:
    """The files of a workspace, unread: `shared` and `prose` by path, `folders` by record and file name.

    `records` and `prose_folder` are the folders' own names inside the workspace.
    """

    root: Path
    records: str
    prose_folder: str
    settings: Mapping[str, object]
    settings_bytes: bytes
    shared: Mapping[str, bytes]
    folders: Mapping[str, Mapping[str, bytes]]
    prose: Mapping[str, bytes]
    problems: tuple[Problem, ...] = ()
    digests: dict[str, str] = field(default_factory=dict)

    def digest(self, record: str) -> str:
        """Fingerprint of all files of one record."""
        if record not in self.digests:
            self.digests[record] = fingerprint_files(self.folders[record])
        return self.digests[record]

    def read_line(self, file: str, number: int) -> str | None:
        """A line of a file, for a report; None where there is no such file or line."""
        name = file.removeprefix(f"{self.records}/")
        folder, _, inner = name.partition("/")
        prose = self.prose.get(file.removeprefix(f"{self.prose_folder}/"))
        data = self.folders.get(folder, {}).get(inner, self.shared.get(name, prose))
        if data is None:
            return None
        text, fault = decode(data)
        rows = text.split("\n") if fault is None else data.decode("utf-8", "replace").split("\n")
        return rows[number - 1] if 0 < number <= len(rows) else None


def fingerprint_files(files: Mapping[str, bytes]) -> str:
    """Fingerprint of named files: their names and every byte."""
    state = hashlib.blake2b(digest_size=20)
    for name in sorted(files):
        data = files[name]
        state.update(f"{name}\0{len(data)}\0".encode())
        state.update(data)
    return state.hexdigest()


def find_root(start: Path) -> Path:
    """The nearest folder at or above `start` that holds a `mkdocs.yml`. Raises `NotAWorkspace`."""
    here = start.resolve()
    for folder in (here, *here.parents):
        if (folder / "mkdocs.yml").is_file():
            return folder
    raise NotAWorkspace(f"no `mkdocs.yml` in `{start}` or above it; `vouchered new museum DIR` makes a workspace")


def saved_state(root: Path) -> tuple[tuple[str, int, int], ...]:
    """Path, time and size of every file that `read_workspace` reads: while it is the same, nothing was saved."""
    paths = [root / "mkdocs.yml"]
    try:
        *_, records, prose = _read_settings(root)
    except NotAWorkspace:
        records = prose = ""
    for name in filter(None, (records, prose)):
        for folder, folders, names in os.walk(root / name):
            folders[:] = [inner for inner in folders if not inner.startswith(".")]
            paths += [Path(folder, file) for file in names if not file.startswith(".")]
    found = []
    for path in paths:
        try:
            status = path.stat()
        except OSError:
            continue
        found.append((str(path), status.st_mtime_ns, status.st_size))
    return tuple(sorted(found))


def _read_settings(root: Path) -> tuple[bytes, Mapping[str, object], str, str]:
    """The settings as they stand and as read, and the folders of records and prose. Raises `NotAWorkspace`."""
    try:
        settings_bytes = (root / "mkdocs.yml").read_bytes()
        settings = read_settings(settings_bytes.decode("utf-8-sig"))
    except (OSError, UnicodeDecodeError) as fault:
        raise NotAWorkspace(f"`mkdocs.yml` cannot be read: {getattr(fault, 'strerror', None) or fault}") from fault
    extra = settings.get("extra")
    ours = extra.get("vouchered") if isinstance(extra, dict) else None
    ours = ours if isinstance(ours, dict) else {}
    return settings_bytes, settings, str(ours.get("records", "demo_specimens")), str(ours.get("prose", "content"))


def read_workspace(root: Path) -> Workspace:
    """Read every file under the records and prose folders named in `mkdocs.yml`. Raises `NotAWorkspace`."""
    settings_bytes, settings, records, prose = _read_settings(root)
    reader = _Reader(root)
    for name in (records, prose):
        if Path(name).is_absolute() or ".." in Path(name).parts:
            raise NotAWorkspace(f"`mkdocs.yml` names the folder `{name}`, which lies outside the workspace")
        if not reader.inside(root / name):
            raise NotAWorkspace(f"the folder `{name}` is a link that leads out of the workspace; move the files in")
    if not (root / records).is_dir():
        raise NotAWorkspace(f"`mkdocs.yml` says that the records are in `{records}`, but there is no such folder")
    shared: dict[str, bytes] = {}
    folders: dict[str, Mapping[str, bytes]] = {}
    for entry in reader.entries(records):
        path = f"{records}/{entry.name}"
        if entry.is_dir():
            if entry.name == "excerpts":
                shared |= {f"excerpts/{name}": data for name, data in reader.files(path).items()}
                continue
            files = reader.files(path)
            if "record.yml" not in files and f"{path}/record.yml" not in reader.refused:
                if any(not name.startswith(".") for name in files):
                    mend = "add a `record.yml` (`vouchered new record NAME` writes one), or move the folder away"
                    reader.refuse(path, f"the folder `{entry.name}` holds no `record.yml`", mend)
                continue
            if not ID.fullmatch(entry.name):
                mend = "rename the folder: small letters a to z, digits and hyphens"
                reader.refuse(path, f"`{entry.name}` cannot serve as a record's id", mend)
                continue
            folders[entry.name] = files
        elif entry.name in SHARED or entry.name.endswith(".csl"):
            data = reader.read(path)
            if data is not None:
                shared[entry.name] = data
    prose_files = reader.files(prose) if (root / prose).is_dir() else {}
    problems = tuple(reader.problems)
    return Workspace(root, records, prose, settings, settings_bytes, shared, folders, prose_files, problems)


def is_odd(name: str) -> bool:
    """Whether a name on disk cannot be shown or kept as text: bytes that are no UTF-8, or control characters."""
    return any(unicodedata.category(c) in ("Cc", "Cs") for c in name)


def escape_name(name: str) -> str:
    """A name on disk as text for people: each byte that is no UTF-8, and each control character, as `\\xE9`."""
    plain = (f"\\x{ord(c) & 0xFF:02X}" if unicodedata.category(c) in ("Cc", "Cs") else c for c in name)
    return "".join(plain)


class _Reader:
    def __init__(self, root: Path) -> None:
        self.root = root
        self.problems: list[Problem] = []
        self.refused: set[str] = set()

    def entries(self, folder: str) -> list[os.DirEntry[str]]:
        try:
            found = sorted(
                (e for e in os.scandir(self.root / folder) if not e.name.startswith(".")), key=lambda e: e.name
            )
        except OSError as fault:
            self.refuse(folder, f"the folder cannot be read: {fault.strerror}", "give the program leave to read it")
            return []
        return [entry for entry in found if self._is_fit(folder, entry)]

    def _is_fit(self, folder: str, entry: os.DirEntry[str]) -> bool:
        """Whether an entry has a name that can be shown, and leads nowhere else; what is not fit is refused."""
        name = escape_name(entry.name)
        if is_odd(entry.name):
            what = "holds bytes that are no UTF-8 text, or a control character"
            mend = "rename it: letters, digits and hyphens serve on every disk and in every address"
            self.refuse(f"{folder}/{name}", f"the name `{name}` {what}", mend)
            return False
        if entry.is_symlink() and not self.inside(Path(entry.path)):
            mend = "copy what it leads to into its place"
            self.refuse(f"{folder}/{name}", f"`{name}` is a link that leads out of the workspace", mend)
            return False
        return True

    def files(self, folder: str, inner: str = "") -> dict[str, bytes]:
        found: dict[str, bytes] = {}
        for entry in self.entries(f"{folder}/{inner}" if inner else folder):
            name = f"{inner}/{entry.name}" if inner else entry.name
            if entry.is_dir():
                if name.count("/") < 8 and not entry.is_symlink():
                    found |= self.files(folder, name)
            else:
                data = self.read(f"{folder}/{name}")
                if data is not None:
                    found[name] = data
        return found

    def read(self, path: str) -> bytes | None:
        full = self.root / path
        limit = TEXT_LIMIT if path.endswith(TEXT_ENDINGS) else FILE_LIMIT
        try:
            size = full.stat().st_size
            if size > limit:
                message = f"the file holds {size:,} bytes; {limit:,} are the most that is read"
                self.refuse(path, message, "split it, or take out what does not belong in it")
                return None
            if not full.is_file():
                self.refuse(path, "this is not an ordinary file", "replace it by one")
                return None
            return full.read_bytes()
        except OSError as fault:
            self.refuse(path, f"the file cannot be read: {fault.strerror}", "give the program leave to read it")
            return None

    def refuse(self, path: str, message: str, mend: str) -> None:
        self.refused.add(path)
        self.problems.append(Problem("unreadable-file", message, mend, place=Place(path)))

    def inside(self, path: Path) -> bool:
        """Whether a path, its links followed, stays in the workspace."""
        try:
            return path.resolve().is_relative_to(self.root.resolve())
        except (OSError, RuntimeError):
            return False


def decode(data: bytes) -> tuple[str, Problem | None]:
    """Bytes as text with plain line ends, or the problem that they are not UTF-8 text."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        message = f"byte {fault.start + 1} (0x{data[fault.start]:02X}) is not UTF-8 text"
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            message = "the file is in UTF-16, not UTF-8"
        place = Place("", line)
        return "", Problem("unreadable-file", message, "save the file as UTF-8 in your editor", place=place)
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        message = "the file holds zero bytes: it is not text"
        return "", Problem("unreadable-file", message, "replace it by a text file", place=Place("", line))
    return text.replace("\r\n", "\n").replace("\r", "\n"), None
