"""Every check's page is its test: each example is tried on the stock workspace, and reports exactly what it says."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from builder.approve.standing import judge_piece
from builder.check.engine import place
from builder.check.example import RECORD, STOCK, Example, read_examples
from builder.check.registry import CHECKS, all_checks, find_check
from builder.load.yamltext import read_yaml
from builder.road import Road
from tests.approve.signing import decide

TODAY = date(2026, 11, 25)
HEADINGS = ("## What it checks", "## Why it matters", "## Rejected", "## Accepted")
EXAMPLES = [
    pytest.param(check.name, example, id=f"{check.name}:{example.line}")
    for check in all_checks()
    for example in read_examples(check.page)
]


def standing_report(workspace: Path, pieces: set[str]) -> set[tuple[str, int, str]]:
    """What is said of how these pieces stand; a file of `approvals/` is named there without its digest."""
    road = Road(workspace, today=TODAY, remember=False)
    case = road.case(RECORD)
    assert case
    documents = {piece: document for piece, document in road.documents(RECORD).items() if piece in pieces}
    problems = [problem for document in documents.values() for problem in judge_piece(case, document).problems]
    places = [(place(problem, case.subject.loaded, "record.yml").place, problem.check) for problem in problems]
    return {(re.sub("--[0-9a-f]{12}", "", where.file), where.line, check) for where, check in places if where}


def report(workspace: Path) -> set[tuple[str, int, str]]:
    verdict = Road(workspace, today=TODAY, remember=False).walk()
    return {(p.place.file, p.place.line, p.check) for p in verdict.problems if p.place}


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    return Path(shutil.copytree(str(STOCK), tmp_path / "stock"))


def test_stock_is_clean(stock: Path) -> None:
    verdict = Road(stock, today=TODAY, remember=False).walk()
    assert [f"{p.place}: {p.check}: {p.message}" for p in verdict.problems] == []
    assert verdict.summary.claims == 4


@pytest.mark.parametrize("name, example", EXAMPLES)
def test_example(stock: Path, name: str, example: Example) -> None:
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
    known = find_check(name)
    if known and known.reported_by == "approve":
        found |= {
            row for row in standing_report(stock, {Path(path).stem for path in example.files}) if row[2] in judged
        }
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
