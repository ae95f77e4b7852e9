"""The whole road on small workspaces: what goes in, and the Markdown, report and JSON that must come out.

`pytest tests/test_golden.py --accept` rewrites what is expected; a person reads the difference before it is committed.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from builder import report
from builder.build import make_outputs
from builder.check.example import STOCK
from builder.road import Road, Target
from tests.conftest import TODAY

GOLDEN = Path(__file__).parent / "golden"
SHOWN = ("specimens/newt.md", "specimens/index.md", "beliefs.md", "sources.md", "glossary.md", "index.md")


def hold(name: str, text: str, *, accept: bool) -> None:
    path = GOLDEN / name
    if accept:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert path.is_file(), f"no golden file {name}; run with --accept and read it"
    assert text == path.read_text("utf-8")


def test_the_stock_as_drafts(stock: Path, request: pytest.FixtureRequest) -> None:
    accept = request.config.getoption("--accept")
    road = Road(stock, today=TODAY, remember=False, target=Target(True, stock / "build/drafts/docs"))
    outputs, rows, problems = make_outputs(road, road.walk(), True)
    assert not problems
    for name in SHOWN:
        data = outputs[name]
        assert data is not None
        hold(f"stock/{name}", data.decode(), accept=accept)
    documents = {row["output"]: row["document"] for row in rows if row["document"]}
    hold("stock/documents.json", json.dumps(documents, indent=1, sort_keys=True) + "\n", accept=accept)


def test_the_stock_spoilt(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    accept = request.config.getoption("--accept")
    root = Path(shutil.copytree(str(STOCK), tmp_path / "spoilt"))
    record = root / "records/newt/record.yml"
    text = record.read_text("utf-8")
    text = text.replace("    stands: holds\n", "    stand: holds\n", 1).replace(
        "source: pond-2010, locator: p. 10", "source: pond-2012, locator: p. 10"
    )
    text = (
        text.replace("locator: p. 12, ", "")
        .replace("title: What", "title: What\ntitle: What")
        .replace("show: no", "show: maybe")
    )
    record.write_text(text, "utf-8")
    page = root / "records/newt/page.md"
    page.write_text(page.read_text("utf-8") + "\nAll newts can fly.\nIn 75 stomachs there was milk.[^milk]\n", "utf-8")
    road = Road(root, today=TODAY, remember=False)
    verdict = road.walk()
    told = report.as_text(verdict.problems, verdict.summary, road.workspace.read_line, road.titles(verdict))
    hold("spoilt/report.txt", told, accept=accept)
    hold("spoilt/report.json", report.as_json(verdict.problems, verdict.summary), accept=accept)


def test_a_public_build_of_what_nobody_signed_holds_no_specimen(stock: Path) -> None:
    road = Road(stock, today=TODAY, remember=False, target=Target(False, stock / "build/docs"))
    outputs, rows, _ = make_outputs(road, road.walk(), False)
    assert not [name for name in outputs if name.startswith("specimens/") and name != "specimens/index.md"]
    assert not [row for row in rows if row["document"]]
    everything = b"".join(data for data in outputs.values() if data)
    assert b"drink the milk of cows" not in everything.split(b"checks")[0]
