"""Run the site generator on the tree, judge what it made, and put it in the place of the last site.

In: a tree of Markdown and the workspace's `mkdocs.yml`. Out: the site, or the problems; the last good site stands until
a new one is whole. The generator is plain `mkdocs build --strict` in a process of its own.
"""

from __future__ import annotations

import ctypes
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from builder.problem import ERROR, Place, Problem
from builder.publish.links import judge_links
from builder.publish.tree import digest, shipped
from builder.publish.write import write_bytes
from builder.render.colophon import Colophon

CONFIG = """INHERIT: {inherit}
docs_dir: {docs}
extra:
  draft: {draft}
  feed: {feed}
  colophon: {colophon}
theme:
  name: null
  custom_dir: {theme}
  static_templates: [404.html, sitemap.xml]
"""


OLD = "site.old"


class GeneratorFailed(Exception):
    """The generator stopped; the message holds what it said."""


def stamp_of(root: Path, tree: Path, colophon: Colophon) -> str:
    """Fingerprint of everything a site is made of: the tree, the settings, the foot, the theme, the generator."""
    from importlib.metadata import version

    parts = [f"{name} {version(name)}" for name in ("mkdocs", "mkdocs-material")]
    parts += [digest((root / "mkdocs.yml").read_bytes()), json.dumps(colophon, sort_keys=True)]
    parts += [f"{name} {digest(data)}" for name, data in shipped("theme").items()]
    for where, folders, names in os.walk(tree):
        folders.sort()
        parts += [
            f"{Path(where, n).relative_to(tree).as_posix()} {digest(Path(where, n).read_bytes())}"
            for n in sorted(names)
        ]
    return digest("\n".join(parts).encode())


def write_config(root: Path, tree: Path, colophon: Colophon, *, draft: bool) -> Path:
    """Write the generator's settings for a tree: the workspace's own, with the tree's folder and our theme files."""
    work = tree.parent
    theme = work / "theme"
    for name, data in shipped("theme").items():
        write_bytes(theme / name, data)
    config = work / "mkdocs.yml"
    text = CONFIG.format(
        inherit=os.path.relpath(root / "mkdocs.yml", work),
        docs=tree.name,
        draft=str(draft).lower(),
        feed=json.dumps("corrections.xml" if (tree / "corrections.xml").is_file() else ""),
        colophon=json.dumps(colophon),
        theme=theme.name,
    )
    write_bytes(config, text.encode())
    return config


def quiet_environment() -> dict[str, str]:
    """The environment for the generator: no clock in what it writes, no notices."""
    return {
        **os.environ,
        "SOURCE_DATE_EPOCH": os.environ.get("SOURCE_DATE_EPOCH", "0"),
        "NO_MKDOCS_2_WARNING": "1",
        "DISABLE_MKDOCS_2_WARNING": "true",
        "PYTHONHASHSEED": "0",
    }


def build_site(
    root: Path, tree: Path, site: Path, colophon: Colophon, *, draft: bool, pages: Iterable[str]
) -> tuple[Path, list[Problem]]:
    """Build the site of `tree` into a fresh folder beside `site` and judge it. Raises `GeneratorFailed`.

    Gives the fresh folder, to be put in place with `swap`, and the problems found in it.
    """
    config = write_config(root, tree, colophon, draft=draft)
    fresh = tree.parent / "site.new"
    shutil.rmtree(fresh, ignore_errors=True)
    command = [
        sys.executable,
        "-m",
        "mkdocs",
        "build",
        "--strict",
        "--config-file",
        str(config),
        "--site-dir",
        str(fresh),
    ]
    ran = subprocess.run(command, env=quiet_environment(), capture_output=True, text=True, cwd=root, check=False)
    if ran.returncode != 0:
        shutil.rmtree(fresh, ignore_errors=True)
        said = [
            row for row in ran.stderr.split("\n") if row.startswith(("WARNING", "ERROR", "Aborted", "Error", "Config"))
        ]
        last = ran.stderr.strip().rpartition("\n")[2]  # of a crash, what it was, without the program's own lines
        raise GeneratorFailed("\n".join(said) or last or f"mkdocs ended with {ran.returncode}")
    problems = [
        Problem("unreadable-file", f"the generator made no page of `{page}`", "report this: it is our fault",
                severity=ERROR, place=Place(page))
        for page in pages
        if not (fresh / page).with_suffix(".html").is_file()
    ]  # fmt: skip
    share_search(fresh)
    return fresh, problems + judge_links(fresh)


def share_search(site: Path) -> None:
    """Write the search index a second time, as a script, which a page opened from a file share may read."""
    index = site / "search" / "search_index.json"
    if index.is_file():
        text = json.dumps(json.loads(index.read_bytes()), ensure_ascii=False, separators=(",", ":"))
        write_bytes(index.with_suffix(".js"), f"window.voucheredIndex = {text};\n".encode())


def swap(fresh: Path, site: Path) -> None:
    """Put the fresh site in the place of the last one, in one step where the system can exchange two folders.

    Where it cannot, nothing stands there for the moment between two renames; `restore` mends a stop in that moment.
    """
    old = fresh.with_name(OLD)
    shutil.rmtree(old, ignore_errors=True)
    if site.exists() and exchange(fresh, site):
        fresh.rename(old)
    else:
        if site.exists():
            site.rename(old)
        try:
            fresh.rename(site)
        except OSError:
            if old.exists():
                old.rename(site)
            raise
    shutil.rmtree(old, ignore_errors=True)


def restore(work: Path, site: Path) -> None:
    """Put the last good site back where a build was stopped between taking it away and putting the new one there."""
    old = work / OLD
    if old.is_dir() and not site.exists():
        old.rename(site)


def exchange(one: Path, other: Path) -> bool:
    """Exchange two folders in one step; False where the system has no such call (Linux has: renameat2(2))."""
    try:
        call = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError, TypeError):
        return False
    here, swapping = -100, 2  # AT_FDCWD, RENAME_EXCHANGE
    return bool(call(here, os.fsencode(one), here, os.fsencode(other), swapping) == 0)
