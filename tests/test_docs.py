"""The documentation is true: commands, checks, the guide's tree, and the report that the README prints."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from builder.check.registry import all_checks
from builder.cli import main
from tests.conftest import ROOT, copy_demo
from tests.freshen import fresh

README = (ROOT / "README.md").read_text("utf-8")


def commands(group: click.Group, *path: str) -> list[tuple[str, ...]]:
    found: list[tuple[str, ...]] = []
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            found += commands(command, *path, name)
        found.append((*path, name))
    return found


@pytest.mark.parametrize("path", commands(main), ids=" ".join)
def test_every_command_has_help_with_an_example_and_a_row(path: tuple[str, ...]) -> None:
    done = CliRunner().invoke(main, [*path, "--help"])
    assert done.exit_code == 0 and "Example:" in done.output
    assert re.search(rf"`[^`]*\b{path[-1]}\b", README), f"README has no row for {' '.join(path)}"


def test_the_guide_is_fresh() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    assert text == fresh(text), "run `python -m tests.freshen`"


def test_decisions_are_listed() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    for path in sorted((ROOT / "docs/decisions").glob("*.md")):
        assert f"docs/decisions/{path.name}" in text


def test_links_of_the_documents_lead_somewhere() -> None:
    for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md"):
        for target in re.findall(r"\]\(([^)#:]+)\)", (ROOT / name).read_text("utf-8")):
            assert (ROOT / target).exists(), f"{name}: {target}"


def test_every_check_explains_itself() -> None:
    for check in all_checks():
        done = CliRunner().invoke(main, ["explain", check.name])
        assert done.exit_code == 0 and done.output.startswith(f"# {check.name}\n")


def test_the_report_in_the_readme_is_the_real_one(tmp_path: Path) -> None:
    """The evidence of `large-moths` is taken away in a copy of the demo, as the README says."""
    root = copy_demo(tmp_path / "museum")
    record = root / "demo_specimens/european-nightjar/record.yml"
    text = record.read_text("utf-8")
    start = text.index("  large-moths:")
    cut = text.index("    evidence:", start)
    end = text.index("    recheck:", cut)
    record.write_text(text[:cut] + text[end:], "utf-8")
    done = CliRunner().invoke(main, ["-w", str(root), "check", "--on", "2026-11-25"])
    assert done.exit_code == 1
    found = re.search(r"^error: claim-without-source.*?(?=\n\n)", done.output, re.DOTALL | re.MULTILINE)
    assert found
    assert found.group() in README, found.group()
