"""What many tests share: a copy of the stock workspace, and the switch that rewrites golden files."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from builder.check.example import STOCK

settings.register_profile("unhurried", deadline=None)  # a busy machine is no fault of the program
settings.load_profile("unhurried")

ROOT = Path(__file__).parent.parent
TODAY = date(2026, 11, 25)
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
]


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--accept", action="store_true", help="rewrite the golden files; read the difference")


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    """A copy of the workspace that the checks' examples are tried on; it is clean of every problem."""
    return Path(shutil.copytree(str(STOCK), tmp_path / "stock"))


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A real browser, one for all tests; skipped where there is none, unless VOUCHERED_BROWSER=required."""
    if CHROMIUM is None:
        if os.environ.get("VOUCHERED_BROWSER") == "required":
            pytest.fail("a browser is required here, and there is no chromium")
        pytest.skip("there is no chromium on this machine")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        launched = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield launched
        launched.close()


def copy_demo(target: Path) -> Path:
    """A copy of the demo's workspace, without anything built."""
    target.mkdir(parents=True, exist_ok=True)
    shutil.copy(ROOT / "mkdocs.yml", target)
    for folder in ("demo_specimens", "content"):
        shutil.copytree(ROOT / folder, target / folder)
    return target
