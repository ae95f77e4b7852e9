"""Clean prose, vouched for sentence by sentence, passes every check without an error; unvouched for, it does not.

The prose is invented (`tests/prose/clean.md`), and so are the claims (`tests/prose/vouching.txt`): half of them word
the matter differently and give figures as a source would, the others say what the sentence says.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from builder.check.example import STOCK
from builder.check.registry import all_checks
from builder.load.yamltext import read_yaml
from builder.problem import ERROR, Problem
from builder.road import Road
from builder.weigh.number import find_quantities

PROSE = Path(__file__).parents[1] / "prose"
LABEL_WORDS = 45
BOTH = {"finds": "as stated", "bears": "for"}
EVIDENCE = [
    {"source": "field-2001", "locator": "p. 104", "n": "130", "basis": "measurement", **BOTH},
    {"source": "pond-2010", "locator": "p. 9", "basis": "observation", **BOTH},
]


@dataclass(frozen=True)
class Row:
    """A sentence of the corpus: q(uestion), i(nstruction) or a(ssertion), its section, and its claim's statement."""

    kind: str
    text: str
    section: str
    claim: str


def read_corpus() -> tuple[Row, ...]:
    pairs = [line.split(" | ", 1) for line in (PROSE / "vouching.txt").read_text("utf-8").splitlines() if "|" in line]
    rows, section = [], ""
    for line in (PROSE / "clean.md").read_text("utf-8").splitlines():
        if line.startswith("# "):
            section = line[2:]
        elif line[1:2] == "|":
            statements = [claim for start, claim in pairs if line[2:].startswith(start)]
            assert len(statements) < 2
            rows.append(Row(line[0], line[2:], section, statements[0] if statements else line[2:]))
    assert len([row for row in rows if row.claim != row.text]) == len(pairs)
    return tuple(rows)


CORPUS = read_corpus()
ASSERTED = tuple(row for row in CORPUS if row.kind == "a")


def lay_out(root: Path, claim_of: dict[int, int] | None) -> None:
    """Write the corpus as pieces of the stock record. `claim_of` gives the mark of each assertion; None, no marks."""
    shutil.copytree(STOCK, root)
    folder = root / "records" / "newt"
    record: Any = read_yaml((folder / "record.yml").read_text("utf-8")).value
    record["questions"] = []
    record["claims"] = {
        f"c{number}": {
            "statement": row.claim,
            "stands": "holds",
            "evidence": EVIDENCE,
        }
        for number, row in enumerate(ASSERTED)
    }
    (folder / "record.yml").write_text(json.dumps(record, ensure_ascii=False, indent=1), "utf-8")
    for name in ("page.md", "label.md"):
        (folder / name).unlink()
    for name, text in pieces(claim_of):
        (folder / name).write_text(text, "utf-8")


def pieces(claim_of: dict[int, int] | None) -> Iterator[tuple[str, str]]:
    """A talk of the talk, labels of the labels, a page of each other section."""
    numbers = {id(row): number for number, row in enumerate(ASSERTED)}
    for order, section in enumerate(dict.fromkeys(row.section for row in CORPUS)):
        use = {"Labels": "label", "Talk": "talk"}.get(section, "page")
        lines: list[str] = []
        count = part = 0
        for row in (row for row in CORPUS if row.section == section):
            number = numbers.get(id(row))
            mark = "" if number is None or claim_of is None else f"[^c{claim_of[number]}]"
            if use == "label" and count + len(row.text.split()) > LABEL_WORDS:
                yield f"label-{part}.md", front(use, part) + "\n".join(lines) + "\n"
                lines, count, part = [], 0, part + 1
            lines.append(escape(row.text) + mark)
            count += len(row.text.split())
        yield f"{use}-{order + 100}.md", front(use, order) + "\n".join(lines) + "\n"


def front(use: str, number: int) -> str:
    return f"---\npiece: {use}\ntitle: Text {number}\nkind: {'object label' if use == 'label' else 'text'}\n---\n"


def escape(text: str) -> str:
    return text.replace("*", r"\*").replace("_", r"\_")


def problems(root: Path) -> list[Problem]:
    return list(Road(root, today=date(2026, 11, 25), remember=False).walk().problems)


def told(found: Iterable[Problem]) -> list[str]:
    return [f"{problem.place}: {problem.check}: {problem.message}" for problem in found]


@pytest.fixture(scope="module")
def clean(tmp_path_factory: pytest.TempPathFactory) -> list[Problem]:
    root = tmp_path_factory.mktemp("clean") / "museum"
    lay_out(root, {number: number for number in range(len(ASSERTED))})
    return problems(root)


def test_corpus_is_large_and_varied() -> None:
    assert len(CORPUS) >= 250 and len(ASSERTED) >= 200
    assert sum(row.claim != row.text for row in ASSERTED) >= 100
    assert sum(bool(find_quantities(row.text)) for row in ASSERTED) >= 80


def test_no_false_error(clean: list[Problem]) -> None:
    assert told(problem for problem in clean if problem.severity == ERROR) == []


def test_few_warnings(clean: list[Problem]) -> None:
    """A warning may be right on prose like this, but not often."""
    groups = {check.name: check.group for check in all_checks()}
    warnings = [problem for problem in clean if groups[problem.check] in ("wording", "fit")]
    assert len(warnings) <= 5, told(warnings)


def test_every_assertion_needs_its_mark(tmp_path: Path) -> None:
    lay_out(tmp_path / "museum", None)
    found = [problem for problem in problems(tmp_path / "museum") if problem.check == "sentence-without-claim"]
    assert len(found) == len(ASSERTED)


def test_numbers_of_another_claim_do_not_do(tmp_path: Path) -> None:
    shift = {number: (number + 7) % len(ASSERTED) for number in range(len(ASSERTED))}
    lay_out(tmp_path / "museum", shift)
    found = [problem for problem in problems(tmp_path / "museum") if problem.check == "number-not-in-claim"]
    stated = [q for row in ASSERTED for q in find_quantities(row.text) if q.kind not in ("weak", "ordinal")]
    assert len(found) >= 0.9 * len(stated)
