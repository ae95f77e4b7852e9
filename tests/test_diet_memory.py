"""Results of diet tables are remembered by the hash of the table: nothing else weighs one anew, and nothing is lost."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import builder.road
import builder.spread
from builder.cli import main
from builder.load.table import Table, read_table
from builder.memory import DietMemory
from builder.model.record import Diet
from builder.road import MEMORY, MEMORY_OF_DIETS, Road, Target
from builder.weigh import weighing
from builder.weigh.diet import DietResult, weigh_diet
from builder.weigh.weighing import table_key
from tests.conftest import TODAY

CSV = "sample,prey,group,count,mass_g,year\n1,moth,insects,2,0.5,2021\n2,snail,molluscs,1,0.4,2022\n3,,,,,2022\n"
DIET = Diet(table="gut.csv", method="stomachs", source="field-2001", examined=3, empty=1, cluster="year")


@pytest.fixture
def weighed(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Grows by one for each table that is weighed in this process: the number of its rows."""
    told: list[int] = []

    def count(table: Any, **more: Any) -> DietResult:
        told.append(len(table.sample))
        return weigh_diet(table, **more)

    monkeypatch.setattr(weighing, "weigh_diet", count)
    return told


def check(root: Path, *, only: list[str] | None = None, remember: bool = True, tasks: bool = False) -> list[str]:
    """What a run says that remembers."""
    road = Road(root, today=TODAY, remember=remember, tasks=tasks)
    verdict = road.walk(only)
    road.remember()
    return [f"{problem.place}: {problem.message}" for problem in verdict.problems]


def edit(root: Path, name: str, old: str, new: str) -> None:
    path = root / "records/newt" / name
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


def remembered(root: Path) -> list[str]:
    return sorted(os.listdir(root / MEMORY_OF_DIETS))


def table_of(text: str) -> Table:
    table, faults = read_table(text)
    assert table is not None and not faults
    return table


def test_every_input_changes_the_key(monkeypatch: pytest.MonkeyPatch) -> None:
    key = table_key(table_of(CSV), DIET)
    keys = {key}
    for row in range(3):
        for name, column in table_of(CSV).columns.items():
            cells = [f"{cell}0" if place == row else cell for place, cell in enumerate(column)]
            keys.add(table_key(replace(table_of(CSV), columns=table_of(CSV).columns | {name: tuple(cells)}), DIET))
    keys.add(table_key(table_of(CSV.replace("mass_g", "volume_ml")), DIET))
    keys.add(table_key(table_of(CSV + "4,,,,,2022\n"), DIET))
    for change in ({"examined": 4}, {"examined": None}, {"empty": 0}, {"empty": None}, {"cluster": None}):
        keys.add(table_key(table_of(CSV), DIET.model_copy(update=change)))
    monkeypatch.setattr(weighing, "RESAMPLES", 3_000)
    keys.add(table_key(table_of(CSV), DIET))
    assert len(keys) == 1 + 3 * 6 + 2 + 5 + 1


def test_what_changes_no_figure_keeps_the_key() -> None:
    key = table_key(table_of(CSV), DIET)
    rows = [row.split(",") for row in CSV.splitlines()]
    turned = "\n\n".join(";".join(reversed(row)) for row in rows)
    assert table_key(table_of(turned), DIET) == key
    assert table_key(table_of(CSV), DIET.model_copy(update={"note": "so", "source": "other", "locator": "p. 3"})) == key


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("page.md", "eat mainly moths", "eat moths mainly"),
        ("label.md", "Example newts", "The example newts"),
        ("record.yml", "Example newts drink no milk.", "Example newts never drink milk."),
        ("record.yml", "locator: table 1", "locator: table 2"),
    ],
)
def test_other_edits_weigh_nothing_anew(stock: Path, weighed: list[int], name: str, old: str, new: str) -> None:
    check(stock)
    assert len(weighed) == 1
    before = remembered(stock)
    edit(stock, name, old, new)
    told = check(stock)
    assert len(weighed) == 1 and remembered(stock) == before and len(before) == 1
    assert told == check(stock, remember=False)
    assert len(weighed) == 2


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("gut.csv", "1.2", "1.3"),
        ("gut.csv", "snail", "slug"),
        ("gut.csv", "sample,prey,group,count,mass_g", "sample,prey,group,count,volume_ml"),
        ("record.yml", "examined: 8, empty: 1", "empty: 1"),
        ("record.yml", "examined: 8, empty: 1", "examined: 8"),
        ("record.yml", "examined: 8, empty: 1", "examined: 8, empty: 1, cluster: group"),
    ],
)
def test_each_input_weighs_anew(stock: Path, weighed: list[int], name: str, old: str, new: str) -> None:
    if "cluster" in new:  # which group a sample is of: no table has such a column unless each sample holds one kind
        rows = "".join(f"s{n},moth,insects,{n},1.{n}\n" for n in range(1, 8)) + "s8,,none,,\n"
        (stock / "records/newt/gut.csv").write_text(f"sample,prey,group,count,mass_g\n{rows}", "utf-8")
    check(stock)
    before = remembered(stock)
    edit(stock, name, old, new)
    told = check(stock)
    assert len(weighed) == 2 and len(before) == 1 and remembered(stock) != before
    assert told == check(stock, remember=False)


def test_records_with_one_table_share_its_result(stock: Path, weighed: list[int]) -> None:
    for name in ("toad", "frog"):
        shutil.copytree(stock / "records/newt", stock / f"records/{name}")
    check(stock)
    assert len(weighed) == 1 and len(remembered(stock)) == 1


def test_deleting_it_changes_nothing(stock: Path, weighed: list[int]) -> None:
    told = check(stock)
    first = remembered(stock)
    shutil.rmtree(stock / MEMORY_OF_DIETS)
    assert check(stock) == told and len(weighed) == 1  # the record itself is remembered: nobody asks for the table
    (stock / MEMORY).unlink()
    assert check(stock) == told and len(weighed) == 2 and remembered(stock) == first


SPOILT: dict[str, Callable[[bytes], bytes]] = {
    "nothing": lambda data: b"",
    "half": lambda data: data[: len(data) // 2],
    "no JSON": lambda data: b"{",
    "no text": lambda data: b"\xff\xfe\n\xff",
    "another digit": lambda data: data.replace(b"0.", b"0.1", 1),
    "without its digest": lambda data: data.partition(b"\n")[2],
    "a list too deep": lambda data: b"[" * 200_000,
    "code": lambda data: b"cos\nsystem\n(S'touch spoilt'\ntR.",
}
FOREIGN = [None, 7, "text", [], {}, [1, 2], [None] * 12, [[]] * 12, [1e400] * 12, {"examined": 8}]


@pytest.mark.parametrize("how", SPOILT)
def test_a_spoilt_result_is_none(stock: Path, weighed: list[int], how: str) -> None:
    wanted = check(stock)
    (stock / MEMORY).unlink()
    path = stock / MEMORY_OF_DIETS / remembered(stock)[0]
    whole = path.read_bytes()
    path.write_bytes(SPOILT[how](whole))
    assert check(stock) == wanted and len(weighed) == 2
    assert path.read_bytes() == whole


@pytest.mark.parametrize("plain", FOREIGN, ids=str)
def test_a_result_of_another_shape_is_none(stock: Path, weighed: list[int], plain: Any) -> None:
    wanted = check(stock)
    (stock / MEMORY).unlink()
    path = stock / MEMORY_OF_DIETS / remembered(stock)[0]
    whole = path.read_bytes()
    foreign = DietMemory(stock / MEMORY_OF_DIETS)
    foreign.keep(table_key(*_the_table(stock)), plain)
    foreign.write()
    assert path.read_bytes() != whole and json.loads(path.read_bytes().split(b"\n")[1]) == plain
    assert check(stock) == wanted and len(weighed) == 2
    assert path.read_bytes() == whole


def _the_table(root: Path) -> tuple[Table, Diet]:
    subject = Road(root, today=TODAY, remember=False).subject("newt")
    assert subject is not None
    return subject.loaded.tables["gut"], subject.record.diet["gut"]


def test_a_folder_that_is_none_is_no_memory(stock: Path) -> None:
    wanted = check(stock)
    shutil.rmtree(stock / "build")
    (stock / "build").mkdir()
    (stock / MEMORY_OF_DIETS).write_text("in the way", "utf-8")
    road = Road(stock, today=TODAY)
    assert [f"{problem.place}: {problem.message}" for problem in road.walk().problems] == wanted
    with pytest.raises(OSError):
        road.remember()
    assert CliRunner().invoke(main, ["-w", str(stock), "check", "--on", str(TODAY)]).exit_code == 0


def test_what_another_version_wrote_is_not_found(stock: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    check(stock)
    key = table_key(*_the_table(stock))
    assert DietMemory(stock / MEMORY_OF_DIETS).get(key) is not None
    monkeypatch.setattr("builder.memory.code_digest", lambda: "another")
    assert DietMemory(stock / MEMORY_OF_DIETS).get(key) is None


def test_what_is_in_use_no_more_is_dropped_by_a_whole_run_alone(stock: Path) -> None:
    shutil.copytree(stock / "records/newt", stock / "records/toad")
    check(stock)
    (first,) = remembered(stock)
    (stock / MEMORY_OF_DIETS / "mine.json").write_text("[]", "utf-8")
    (stock / MEMORY_OF_DIETS / "notes.txt").write_text("mine", "utf-8")
    edit(stock, "gut.csv", "1.2", "1.3")
    check(stock, only=["newt"])
    assert first in remembered(stock) and len(remembered(stock)) == 4
    check(stock)
    assert first in remembered(stock) and len(remembered(stock)) == 4  # the toad's
    shutil.rmtree(stock / "records/toad")
    check(stock, only=["newt"])
    assert first in remembered(stock)
    check(stock, tasks=True)
    assert first not in remembered(stock) and len(remembered(stock)) == 3
    shutil.rmtree(stock / "records/newt")
    check(stock)
    assert remembered(stock) == ["mine.json", "notes.txt"]


def test_results_cross_from_one_process_to_the_other(stock: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for index in range(40):
        folder = stock / f"records/newt-{index}"
        shutil.copytree(stock / "records/newt", folder)
        table = folder / "gut.csv"
        table.write_text(table.read_text("utf-8").replace("1.2", f"1.2{index:02}"), "utf-8")
    monkeypatch.setattr(builder.road, "MANY", 2)
    monkeypatch.setattr(builder.spread, "count_cores", lambda: 2)
    told = check(stock)
    assert len(remembered(stock)) == 41

    def refuse(table: Any, **more: Any) -> DietResult:
        raise AssertionError("weighed anew")

    monkeypatch.setattr(weighing, "weigh_diet", refuse)
    (stock / MEMORY).unlink()
    assert check(stock) == told and len(remembered(stock)) == 41
    monkeypatch.setattr(builder.road, "MANY", 1_000)
    (stock / MEMORY).unlink()
    assert check(stock) == told


def test_remembered_figures_are_those_weighed(stock: Path) -> None:
    check(stock)
    fresh, again = (Road(stock, today=TODAY, remember=remember).case("newt") for remember in (False, True))
    assert fresh is not None and again is not None
    assert repr(again.weighed) == repr(fresh.weighed) and again.weighed == fresh.weighed


def test_weigh_and_review_read_it_and_write_nothing(stock: Path, weighed: list[int]) -> None:
    run = CliRunner().invoke(main, ["-w", str(stock), "weigh", "newt"])
    assert run.exit_code == 0 and len(weighed) == 1 and not (stock / "build").exists()
    check(stock)
    assert len(weighed) == 2
    assert CliRunner().invoke(main, ["-w", str(stock), "weigh", "newt"]).output == run.output
    assert len(weighed) == 2
    before = {path: path.read_bytes() for path in (stock / "build").rglob("*") if path.is_file()}
    assert Road(stock, today=TODAY).documents("newt")
    assert len(weighed) == 2
    assert {path: path.read_bytes() for path in (stock / "build").rglob("*") if path.is_file()} == before
    done = CliRunner().invoke(main, ["-w", str(stock), "check", "--forget", "--on", str(TODAY)])
    assert done.exit_code == 0 and len(weighed) == 3
    assert {path: path.read_bytes() for path in (stock / "build").rglob("*") if path.is_file()} == before


def test_a_build_shares_it_with_a_check(stock: Path, weighed: list[int]) -> None:
    check(stock)
    road = Road(stock, today=TODAY, target=Target(True, stock / "build/drafts/docs"))
    road.walk()
    assert len(weighed) == 1
