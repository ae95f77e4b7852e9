"""Same input, same output: two builds in other surroundings give the same bytes."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import copy_demo

SURROUNDINGS = [
    {"PYTHONHASHSEED": "1", "TZ": "Pacific/Auckland", "LC_ALL": "C", "LANG": "C"},
    {"PYTHONHASHSEED": "77", "TZ": "America/Lima", "LC_ALL": "C.UTF-8", "LANG": "tr_TR.UTF-8"},
]


def files_of(top: Path) -> dict[str, bytes]:
    return {path.relative_to(top).as_posix(): path.read_bytes() for path in sorted(top.rglob("*")) if path.is_file()}


@pytest.mark.slow
def test_two_builds_give_the_same_bytes(tmp_path: Path) -> None:
    built = []
    for index, surroundings in enumerate(SURROUNDINGS):
        root = copy_demo(tmp_path / f"place-{index}" / ("deep" * (index + 1)))
        command = [sys.executable, "-m", "builder", "-w", str(root), "build", "--drafts", "--on", "2026-11-25"]
        done = subprocess.run(command, env={**os.environ, **surroundings}, capture_output=True, text=True, check=False)
        assert (root / "build/drafts/site/index.html").is_file(), done.stdout + done.stderr
        built.append((files_of(root / "build/drafts/docs"), files_of(root / "build/drafts/site")))
        manifest = (root / "build/drafts/manifest.json").read_text("utf-8")
        assert str(tmp_path) not in manifest
    (tree, site), (other_tree, other_site) = built
    assert tree == other_tree
    assert sorted(site) == sorted(other_site)
    differing = [name for name in site if site[name] != other_site[name]]
    assert differing == []
    joined = b"".join(site.values())
    assert str(tmp_path).encode() not in joined
