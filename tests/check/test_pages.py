"""Every check's page is its test: each example is tried on the stock workspace, and reports exactly what it says."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from builder.check.example import RECORD, STOCK, Example, read_examples
from builder.check.registry import CHECKS, all_checks, find_check
from builder.load.yamltext import read_yaml
from builder.road import Road
from tests.approve.signing import decide, give_keys

TODAY = date(2026, 11, 25)
HEADINGS = ("## What it checks", "## Why it matters", "## Rejected", "## Accepted")
EXAMPLES = [
    pytest.param(check.name, example, id=f"{check.name}:{example.line}")
    for check in all_checks()
    for example in read_examples(check.page)
]


def report(workspace: Path) -> set[tuple[str, int, str]]:
    verdict = Road(workspace, today=TODAY, remember=False).walk()
    # a file of `approvals/` is named there without its digest
    return {(re.sub("--[0-9a-f]{12}", "", p.place.file), p.place.line, p.check) for p in verdict.problems if p.place}


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    return Path(shutil.copytree(str(STOCK), tmp_path / "stock"))


def test_stock_is_clean(stock: Path) -> None:
    verdict = Road(stock, today=TODAY, remember=False).walk()
    assert [f"{p.place}: {p.check}: {p.message}" for p in verdict.problems] == []
    assert verdict.summary.claims == 4


@pytest.mark.parametrize("name, example", EXAMPLES)
def test_example(stock: Path, name: str, example: Example) -> None:
    known = find_check(name)
    if known and known.group == "approval":
        give_keys(stock)
    decided = {path: text for path, text in example.files.items() if "/approvals/" in path}
    for path, text in decided.items():
        decide(stock, RECORD, Path(path).stem, read_yaml(text).value)  # type: ignore[arg-type]
    for path, text in example.files.items():
        if path in decided:
            continue
        file = stock / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    judged = {name} | {check for _, _, check in example.expected}
    found = {row for row in report(stock) if row[2] in judged}
    if known and known.group == "approval":  # the stock's other pieces wait for a curator as well
        found = {row for row in found if row[0] in example.files}
    assert found == set(example.expected)


@pytest.mark.parametrize("entry", CHECKS)
def test_page_is_whole(entry: str) -> None:
    name = entry.split("/")[1]
    check = find_check(name)
    assert check is not None
    assert check.page.startswith(f"# {name}\n")
    positions = [check.page.find(heading) for heading in HEADINGS]
    assert positions == sorted(positions) and positions[0] > 0
    examples = read_examples(check.page)
    assert any(example.expected and not example.accepted for example in examples)
    assert any(example.accepted and not example.expected for example in examples)
    assert check.function or check.shelf_function or check.reported_by != "check"
