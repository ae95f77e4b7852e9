"""The documents are true: commands, options, fields, house rules, checks, generated parts, and what the README shows."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from builder.check.fit.too_many_words import LIMITS
from builder.check.registry import all_checks
from builder.cli import main
from builder.load.table import MEASURES, NAMES
from builder.model.museum import HouseRules
from builder.skeleton import make_id
from tests.conftest import ROOT, copy_demo
from tests.freshen import BLOCK, DOCUMENTS, cells, fresh, models

README = (ROOT / "README.md").read_text("utf-8")
FIELDS = (ROOT / "docs/fields.md").read_text("utf-8")
RULES = (ROOT / "docs/house-rules.md").read_text("utf-8")
WRITTEN = (
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "docs/fields.md",
    "docs/house-rules.md",
    "docs/list-of-checks.md",
    "docs/citations.md",
    "docs/approvals.md",
)
PUBLISHED = re.compile(r"\b1[89]\d\d\b|\b20\d\d\b|\bn\.d\.|\bWCAG\b|guides beside")


def commands(group: click.Group, *path: str) -> dict[tuple[str, ...], click.Command]:
    """Every command with the words that call it, groups included."""
    found: dict[tuple[str, ...], click.Command] = {}
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            found |= commands(command, *path, name)
        found[*path, name] = command
    return found


def rows_of(text: str, name: str) -> list[list[str]]:
    """The rows of a generated table, without its head."""
    block = next(found[3] for found in BLOCK.finditer(text) if found[2] == name)
    return [cells(row) for row in block.splitlines()[2:]]


def command_table() -> str:
    return README.partition("## Commands")[2].partition("\n## ")[0]


@pytest.mark.parametrize("path", commands(main), ids=" ".join)
def test_every_command_has_help_with_an_example_and_a_row(path: tuple[str, ...]) -> None:
    done = CliRunner().invoke(main, [*path, "--help"])
    assert done.exit_code == 0
    assert re.search(rf"Example:\n\s+vouchered (-\S+ \S+ )?{' '.join(path)}\b", done.output), done.output
    assert re.search(rf"`[^`]*\b{path[-1]}\b", command_table()), f"README has no row for {' '.join(path)}"


@pytest.mark.parametrize("path", [(), *commands(main)], ids=lambda path: " ".join(path) or "vouchered")
def test_every_option_says_what_it_does_and_is_in_the_readme(path: tuple[str, ...]) -> None:
    command: click.Command = commands(main)[path] if path else main
    for option in command.params:
        if isinstance(option, click.Option) and option.name not in ("version", "help"):
            assert option.help, f"--{option.name} says nothing of itself"
            names = "|".join(map(re.escape, option.opts))
            assert re.search(rf"[`\s\[](?:{names})\b", command_table()), option.opts


def test_the_readme_names_no_command_or_option_that_there_is_not() -> None:
    known = commands(main)
    options = {name for command in (main, *known.values()) for option in command.params for name in option.opts}
    for code in re.findall(r"`([^`\n]+)`", README):
        words = code.replace("\\|", "|").split()
        if words[0] == "vouchered" and len(words) > 1:
            assert any(path[0] == words[1] for path in known) or words[1].startswith("-"), code
        assert {word for word in words if re.fullmatch(r"--[a-z]+", word)} <= options | {"--help"}, code


@pytest.mark.parametrize("name", DOCUMENTS)
def test_generated_parts_are_fresh(name: str) -> None:
    text = (ROOT / name).read_text("utf-8")
    assert BLOCK.search(text)
    assert text == fresh(text), "run `python -m tests.freshen`"


def test_decisions_are_listed() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    for path in sorted((ROOT / "docs/decisions").glob("*.md")):
        title = path.read_text("utf-8").splitlines()[0].removeprefix("# ")
        assert f"[{title}](docs/decisions/{path.name})" in text


@pytest.mark.parametrize("name", WRITTEN)
def test_links_of_the_documents_lead_somewhere(name: str) -> None:
    for file, place in re.findall(
        r"\]\(([^)#:\s]*)#?([^)\s:]*)\)", re.sub(r"`[^`\n]*`", "", (ROOT / name).read_text("utf-8"))
    ):
        target = (ROOT / name).parent / file if file else ROOT / name
        assert target.exists(), f"{name}: {file}"
        if place:
            heads = re.findall(r"^#+ (.+)$", target.read_text("utf-8"), re.MULTILINE)
            assert place in {make_id(head) for head in heads}, f"{name}: {file}#{place}"


def test_every_check_explains_itself_and_is_listed() -> None:
    listed = [
        re.match(r"\[([\w-]+)\]", row[0])
        for row in rows_of((ROOT / "docs/list-of-checks.md").read_text("utf-8"), "checks")
    ]
    assert sorted(found[1] for found in listed if found) == sorted(check.name for check in all_checks())
    for check in all_checks():
        done = CliRunner().invoke(main, ["explain", check.name])
        assert done.exit_code == 0 and done.output.startswith(f"# {check.name}\n")
        for head in ("What it checks", "Why it matters", "Rejected", "Accepted"):
            assert f"\n## {head}\n" in done.output, f"{check.name} has no `{head}`"
        assert check.function or check.shelf_function or check.reported_by != "check", f"nothing reports {check.name}"


def test_every_field_of_every_file_is_documented() -> None:
    blocks = [found[2] for found in BLOCK.finditer(FIELDS)]
    assert sorted(blocks) == sorted(models()), "each model has one table in docs/fields.md"
    for name in blocks:
        for row in rows_of(FIELDS, name):
            assert len(row) == 4 and len(row[1]) > 4 and row[1][-1] in ".…", f"{name}.{row[0]}: {row[1]!r} says nothing"


def test_columns_and_attributes_are_documented() -> None:
    for name in (*NAMES, *MEASURES, "keep", "seconds", "records", "prose"):
        assert re.search(rf"`{name}`|\b{name}=", FIELDS), name


def test_every_house_rule_says_what_it_rests_on() -> None:
    rows = rows_of(RULES, "house rules")
    assert [row[0].strip("`") for row in rows] == list(HouseRules.model_fields)
    pages = "".join(check.page for check in all_checks())
    for rule, limits, _, default, source in rows:
        assert len(limits) > 10 and default, rule
        assert PUBLISHED.search(source) or "our choice" in source.lower(), f"{rule}: {source!r}"
        assert rule in pages or (rule == "`words`" and "house_rules: {words:" in pages), (
            f"no page of a check names {rule}"
        )
    kinds = rows_of(RULES, "kinds of text")
    assert [row[0] for row in kinds] == list(LIMITS) and all(row[3] for row in kinds)


SIGNING = README.partition("## Sign and publish")[2].partition("\n## ")[0]


def shown(text: str) -> list[tuple[str, list[str]]]:
    """The commands of the README's console blocks, each with the lines that it shows of what they print."""
    found: list[tuple[str, list[str]]] = []
    for block in re.findall(r"```console\n(.*?)```", text, re.DOTALL):
        for line in block.rstrip("\n").split("\n"):
            if line.startswith("$ "):
                found.append((line[2:].partition("  #")[0].strip(), []))
            else:
                found[-1][1].append(line)
    return found


def test_the_commands_of_the_readme_run_and_print_what_it_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In step 5 the evidence of `large-moths` is taken away from a copy of the demo."""
    museum = copy_demo(tmp_path / "museum")
    record = museum / "demo_specimens/european-nightjar/record.yml"
    text = record.read_text("utf-8")
    cut = text.index("    evidence:", text.index("  large-moths:"))
    record.write_text(text[:cut] + text[text.index("    recheck:", cut) :], "utf-8")
    makefile = (ROOT / "Makefile").read_text("utf-8")
    ran = []
    rest = README.replace(SIGNING, "")
    for command, lines in shown(rest):
        words = shlex.split(command)
        if words[0] == "make":
            assert re.search(rf"^{words[1]}:", makefile, re.MULTILINE), command
            continue
        assert words[0] == "vouchered", f"do not know how to try {command}"
        broken = command == "vouchered check"
        monkeypatch.chdir(museum if broken else tmp_path)
        more = ["--on", "2026-11-25"] if words[-1] == "check" else []
        done = CliRunner().invoke(main, [*words[1:], *more])
        assert done.exit_code == (1 if broken else 0), done.output
        prints_in_order(command, lines, done.output)
        if lines and "…" not in lines:
            assert done.output.strip() == "\n".join(lines).strip()
        ran.append(command)
    assert len(ran) == 5 and sum(bool(lines) for _, lines in shown(rest)) == 2


def prints_in_order(command: str, lines: list[str], output: str) -> None:
    """What is shown of an output is in it, in order; an ellipsis stands for anything."""
    at = 0
    for part in filter(None, (part.strip("\n") for part in re.split("…", "\n".join(lines)))):
        assert part in output[at:], f"{command} does not print\n{part}\nbut\n{output}"
        at = output.index(part, at) + len(part)


def test_the_way_to_a_signed_page_is_as_the_readme_tells(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A word is changed, the build leaves the page out, a curator signs, the next build has it. `review` is started and
    used in tests/review and tests/test_review_browser.py."""
    museum = copy_demo(tmp_path / "museum")
    shutil.copytree(ROOT / "docs/demo-keys", museum / "docs/demo-keys")
    text = museum / "demo_specimens/european-nightjar/page.md"
    text.write_text(text.read_text("utf-8").replace("and most of them", "and many of them", 1), "utf-8")
    monkeypatch.chdir(museum)
    monkeypatch.setenv("VOUCHERED_PASSPHRASE", "this demo key is open to all")
    page = museum / "site/specimens/european-nightjar.html"
    ran, there = [], []
    for command, lines in shown(SIGNING):
        words = shlex.split(command)
        if words[1] == "review":
            continue
        more = ["--on", "2026-11-25"] if words[1] == "build" else ["--date", "2026-11-25"]
        done = CliRunner().invoke(main, [*words[1:], *more])
        assert done.exit_code == (0 if ran else 1), done.output
        prints_in_order(command, lines, done.output)
        ran.append(words[1])
        there.append(page.exists() and "many of them are moths" in page.read_text("utf-8"))
    assert ran == ["build", "approve", "build"] and there == [False, False, True]


SCAFFOLD = """\
name: {common: European nightjar}
title: A nightjar, step by step
objects:
  skin: {catalogue_number: X.1, preparation: study skin, collection: birds, hazards: {arsenic: assumed}}
anatomy:
  bristles: {term: bristles, look_for: the stiff feathers, visible_on: [skin]}
"""
FRONT = "---\npiece: page\ntitle: A nightjar, step by step\nobjects: [skin]\n---\n"


def test_the_examples_of_the_readme_pass(tmp_path: Path) -> None:
    root = copy_demo(tmp_path / "museum")
    folder = root / "demo_specimens/step-by-step"
    folder.mkdir()
    lead, sourced = re.findall(r"```yaml\n(.*?)```", README, re.DOTALL)
    (written,) = re.findall(r"```markdown\n(.*?)```", README, re.DOTALL)
    for claims, page, expected in (
        (lead, "Look closer.\n", None),
        (sourced, written, None),
        (lead, written, "lead-in-public-text"),
    ):
        (folder / "record.yml").write_text(SCAFFOLD + claims, "utf-8")
        (folder / "page.md").write_text(FRONT + page, "utf-8")
        done = CliRunner().invoke(main, ["-w", str(root), "check", "step-by-step", "--on", "2026-11-25"])
        found = re.findall(r"^error: ([\w-]+)", done.output, re.MULTILINE)
        assert found == ([expected] if expected else []), done.output
