"""What many tests share: a copy of the stock workspace, and the switch that rewrites golden files."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from builder.check.example import STOCK

ROOT = Path(__file__).parent.parent
TODAY = date(2026, 11, 25)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--accept", action="store_true", help="rewrite the golden files; read the difference")


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    """A copy of the workspace that the checks' examples are tried on; it is clean of every problem."""
    return Path(shutil.copytree(str(STOCK), tmp_path / "stock"))


def copy_demo(target: Path) -> Path:
    """A copy of the demo's workspace, without anything built."""
    target.mkdir(parents=True, exist_ok=True)
    shutil.copy(ROOT / "mkdocs.yml", target)
    for folder in ("demo_specimens", "content"):
        shutil.copytree(ROOT / folder, target / folder)
    return target
