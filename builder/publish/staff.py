"""Where what is for staff alone may be written.

In: a workspace and a path. Out: the public folder it lies in, if any, and whether something else would be lost. Only
looks; nothing is written here.
"""

from __future__ import annotations

from pathlib import Path

from builder.load.workspace import Workspace

STAFF_FOLDER = "build/staff"


def public_folder(workspace: Workspace, path: Path) -> str | None:
    """The folder inside the workspace that may become public and holds that path, else None."""
    root = workspace.root.resolve()
    there = path.resolve()
    site = str(workspace.settings.get("site_dir", "site"))
    folders = (site, "build/docs", "build/drafts", workspace.prose_folder, workspace.records)
    for name in folders:
        if there.is_relative_to((root / name).resolve()):
            return name
    return None


def overwrites(workspace: Workspace, path: Path, *, marks: tuple[bytes, ...], title: bytes = b"") -> bool:
    """Whether a file is there that is none of ours and does not lie below `build/staff`.

    Ours begin with one of `marks`, or are PDFs that hold the `title`.
    """
    if not path.exists() or path.resolve().is_relative_to((workspace.root / STAFF_FOLDER).resolve()):
        return False
    if not path.is_file():
        return True
    data = path.read_bytes()
    if data.startswith(b"%PDF"):
        return not title or title not in data
    return not data.startswith(marks)
