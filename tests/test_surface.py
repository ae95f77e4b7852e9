"""The public surface, and that everything public says what it is."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import builder

TOP = Path(builder.__file__).parent
MODULES = [path for path in sorted(TOP.rglob("*.py")) if path.name != "__main__.py"]


def test_surface_is_sorted_whole_and_real() -> None:
    assert builder.__all__ == sorted(builder.__all__) == sorted(builder._HOMES)
    for name in builder.__all__:
        assert getattr(builder, name).__doc__
    with pytest.raises(AttributeError):
        builder.nothing  # noqa: B018


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(TOP).as_posix())
def test_public_things_have_docstrings(path: Path) -> None:
    tree = ast.parse(path.read_text("utf-8"))
    if path.stem != "__init__" or tree.body:
        assert ast.get_docstring(tree), "the module says nothing of itself"
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert ast.get_docstring(node), f"`{node.name}` says nothing of itself"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(TOP).as_posix())
def test_no_module_is_two_rooms(path: Path) -> None:
    if path.name != "cli.py":
        assert len(path.read_text("utf-8").split("\n")) <= 360
