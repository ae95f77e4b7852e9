"""The public surface is small, real and free to import, and everything public says what it is."""

from __future__ import annotations

import ast
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

import builder

TOP = Path(builder.__file__).parent
MODULES = [path for path in sorted(TOP.rglob("*.py")) if path.name != "__main__.py"]
SURFACE = ["Outcome", "Place", "Problem", "Road", "Severity", "Target", "Verdict"]


def name_of(path: Path) -> str:
    return path.relative_to(TOP).as_posix()


def test_surface_is_what_was_chosen() -> None:
    assert builder.__all__ == SURFACE == sorted(SURFACE), "a name once promised stays; think before you add one"
    assert sorted(builder._HOMES) == SURFACE


@pytest.mark.parametrize("name", SURFACE)
def test_public_names_are_real_and_documented(name: str) -> None:
    thing = getattr(builder, name)
    assert thing.__name__ == name and thing.__module__ == builder._HOMES[name]
    assert thing.__doc__ and not thing.__doc__.startswith(f"{name}("), "a docstring of its own, not the dataclass's"
    assert getattr(import_module(thing.__module__), name) is thing


def test_each_name_is_defined_once() -> None:
    defined = [
        node.name
        for path in MODULES
        if "model" not in path.parts  # a calculation of a record has an outcome too
        for node in ast.parse(path.read_text("utf-8")).body
        if isinstance(node, ast.ClassDef) and node.name in SURFACE
    ]
    assert sorted(defined) == SURFACE


def test_other_names_are_refused() -> None:
    with pytest.raises(AttributeError, match="nothing"):
        builder.nothing  # noqa: B018


def test_importing_the_package_costs_nothing_until_a_name_is_asked_for() -> None:
    code = (
        "import sys, builder; heavy = {'pydantic', 'numpy', 'click', 'yaml', 'builder.road'};"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules);"
        "builder.Road; assert 'builder.road' in sys.modules"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=TOP.parent, check=False)
    assert done.returncode == 0, done.stderr


def test_the_command_line_starts_without_what_only_some_commands_need() -> None:
    code = (
        "import sys, builder.cli; heavy = {'numpy', 'pint', 'citeproc', 'jinja2'}; assert not heavy & set(sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=TOP.parent, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_public_things_have_docstrings(path: Path) -> None:
    tree = ast.parse(path.read_text("utf-8"))
    said = ast.get_docstring(tree)
    assert said, "the module says nothing of itself"
    first = " ".join(said.split("\n\n")[0].split())
    assert first[-1] in ".:" or first.endswith(".md"), f"the docstring opens with no sentence: {first!r}"
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert ast.get_docstring(node), f"`{node.name}` says nothing of itself"


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_no_module_is_two_rooms(path: Path) -> None:
    assert len(path.read_text("utf-8").split("\n")) <= 360
