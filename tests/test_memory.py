"""What is remembered changes nothing but time: after any edit, a run with the memory says what a fresh run says."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest

from builder.build import make_outputs
from builder.memory import Memory
from builder.publish.tree import write_tree
from builder.road import MEMORY, Road, Target
from tests.conftest import TODAY


def grow(stock: Path, count: int) -> list[str]:
    """Copies of the stock record; each marks a claim of the one before it, so that records hang together."""
    names = []
    for index in range(count):
        name = f"newt-{index}"
        folder = stock / "records" / name
        shutil.copytree(stock / "records/newt", folder)
        if names:
            page = folder / "page.md"
            page.write_text(page.read_text("utf-8") + f"\nExample newts drink no milk.[^{names[-1]}.milk]\n", "utf-8")
        names.append(name)
    return names


def reports(root: Path, today: date) -> tuple[list[object], list[object]]:
    """The problems of a run that remembers, and those of a fresh one."""
    remembering = Road(root, today=today)
    first = remembering.walk()
    remembering.remember()
    fresh = Road(root, today=today, remember=False).walk()
    assert first.summary == fresh.summary
    strip = [(p.check, p.message, p.mend, p.severity, p.place, p.also) for p in first.problems]
    return strip, [(p.check, p.message, p.mend, p.severity, p.place, p.also) for p in fresh.problems]


def test_sixty_random_edits(stock: Path) -> None:
    dice = random.Random(20261125)
    names = grow(stock, 4)
    today = TODAY
    files = ["record.yml", "page.md", "label.md", "gut.csv"]
    for _ in range(60):
        kind = dice.choice(["line", "line", "shared", "date", "restore", "remove"])
        if kind == "date":
            today += timedelta(days=dice.choice([1, 40, 400]))
        elif kind == "restore":
            shutil.rmtree(stock)
            shutil.copytree("builder/check/stock", stock)
            grow(stock, 4)
        else:
            name = dice.choice(["sources.yml", "museum.yml", "glossary.yml", "excerpts/field-2001.txt"])
            path = stock / "records" / (name if kind == "shared" else f"{dice.choice(names)}/{dice.choice(files)}")
            if path.exists():
                rows = path.read_text("utf-8").split("\n")
                at = dice.randrange(len(rows))
                if kind == "remove":
                    rows.pop(at)
                else:
                    rows[at] = rows[at].replace("newt", "toad").replace("81", "18").replace("2001", "1999")
                path.write_text("\n".join(rows), "utf-8")
        remembered, fresh = reports(stock, today)
        assert remembered == fresh


def test_withdrawn_source_reaches_a_record_through_another(stock: Path) -> None:
    grow(stock, 2)
    assert reports(stock, TODAY)[0] == reports(stock, TODAY)[1]
    sources = stock / "records/sources.yml"
    text = sources.read_text("utf-8").replace("  excerpt: excerpts/field-2001.txt", "  withdrawn: by the journal, 2025")
    sources.write_text(text, "utf-8")
    remembered, fresh = reports(stock, TODAY)
    assert remembered == fresh
    assert any(row[0] == "withdrawn-source" for row in remembered)  # type: ignore[index]


def test_a_damaged_memory_is_no_memory(stock: Path) -> None:
    wanted = reports(stock, TODAY)[1]
    path = stock / MEMORY
    whole = path.read_bytes()
    for damage in (
        b"",
        b"{",
        b"[]",
        b'{"form": 1}',
        whole[: len(whole) // 2],
        whole.replace(b'"code":"', b'"code":"0'),
        b'{"entries":' + b"[" * 100_000,
    ):
        path.write_bytes(damage)
        assert reports(stock, TODAY)[0] == wanted


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_in_the_place_of_a_file_is_replaced_unread(tmp_path: Path) -> None:
    """Whoever reads it would wait for good, so this is tried in a process of its own, which is ended then."""
    pipe = tmp_path / "memory.json"
    os.mkfifo(pipe)
    work = """
import sys
from pathlib import Path
from builder.memory import Memory
from builder.publish.write import write_bytes
path = Path(sys.argv[1])
assert Memory(path).entries == {} and write_bytes(path, b"x") and path.is_file()
"""
    subprocess.run([sys.executable, "-c", work, str(pipe)], check=True, timeout=300)
    assert pipe.read_bytes() == b"x"


def test_memory_holds_nothing_that_runs(stock: Path) -> None:
    reports(stock, TODAY)
    assert set(json.loads((stock / MEMORY).read_bytes())) == {"form", "code", "entries"}
    assert Memory(stock / MEMORY).get("newt") is not None


def test_build_with_and_without_memory_writes_the_same_tree(stock: Path) -> None:
    grow(stock, 3)

    def tree() -> dict[str, bytes]:
        top = stock / "build/drafts/docs"
        return {p.relative_to(top).as_posix(): p.read_bytes() for p in sorted(top.rglob("*")) if p.is_file()}

    def write(remember: bool) -> int:
        road = Road(stock, today=TODAY, remember=remember, target=Target(True, stock / "build/drafts/docs"))
        outputs, _, problems = make_outputs(road, road.walk(), True)
        assert not problems
        written = write_tree(stock / "build/drafts/docs", outputs)
        road.remember()
        return written

    assert write(True) > 40
    first = tree()
    assert write(True) == 0 and tree() == first
    (stock / "build/drafts/docs/specimens/newt-1.md").write_text("spoilt", "utf-8")
    assert write(True) == 1 and tree() == first
    page = stock / "records/newt-0/page.md"
    page.write_text(page.read_text("utf-8").replace("eat mainly moths", "eat moths mainly"), "utf-8")
    assert write(True) == 4  # the page, its linked data, and the two lists that quote its first words
    second = tree()
    shutil.rmtree(stock / "build")
    write(False)
    assert tree() == second != first
