"""A stage imports only from stages before it; only load reads files and only publish writes them; only cli prints."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent / "builder"
ORDER = [
    "problem", "spread", "model", "load", "resolve", "weigh", "check", "compose", "render", "approve", "recording", "publish",
    "skeleton", "task", "outcome", "output", "report", "concern", "memory", "dependence", "road", "todo", "duedates", "build", "preview", "review", "cli",
]  # fmt: skip
MODULES = sorted(TOP.rglob("*.py"))
OPENERS = {"open", "read_text", "read_bytes", "write_text", "write_bytes", "mkdir", "unlink", "rename", "replace_file"}
READS_FILES = {"load", "publish", "memory", "preview", "review", "build", "cli"}


def stage_of(module: str) -> str:
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else "__init__"


def imports(path: Path) -> Iterator[tuple[str, int]]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "builder":
            names = [f"builder.{name.name}" for name in node.names] if node.module == "builder" else [node.module]
            yield from ((name, node.lineno) for name in names)
        elif isinstance(node, ast.Import):
            yield from ((name.name, node.lineno) for name in node.names if name.name.split(".")[0] == "builder")


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(TOP).as_posix())
def test_imports_point_up_the_road(path: Path) -> None:
    parts = path.relative_to(TOP).with_suffix("").parts
    here = parts[0]
    if here in ("__init__", "__main__"):
        return
    assert here in ORDER, f"{here} has no place on the road"
    for module, line in imports(path):
        other = stage_of(module)
        assert ORDER.index(other) <= ORDER.index(here), f"line {line}: {here} imports {module}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(TOP).as_posix())
def test_only_the_ends_touch_files(path: Path) -> None:
    here = path.relative_to(TOP).with_suffix("").parts[0]
    if here in READS_FILES:
        return
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name in OPENERS:
                source = ast.unparse(node)
                # what comes with the program is read through importlib.resources, wherever it is needed
                assert "files(" in source or "joinpath" in source or ".page" in source, f"line {node.lineno}: {source}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(TOP).as_posix())
def test_only_the_command_prints_or_exits(path: Path) -> None:
    if path.parent.name == "cli":
        return
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call):
            source = ast.unparse(node.func)
            assert source not in ("print", "sys.exit", "exit", "quit", "click.echo"), f"line {node.lineno}"


def test_weighing_is_the_only_part_of_weigh_that_knows_records() -> None:
    for path in (TOP / "weigh").glob("*.py"):
        if path.stem in ("weighing", "__init__"):
            continue
        for module, line in imports(path):
            assert module.startswith("builder.weigh"), f"{path.name}:{line} imports {module}"
