"""The demo is signed as it stands, by its invented curators, and goes out whole; one changed word holds a piece back.

Where the first test fails after a change of the demo or of how documents are composed: read what changed, then run
`python -m tests.sign_demo`.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.approve.standing import judge_piece
from builder.build import make_outputs
from builder.road import Road, Target
from tests.conftest import ROOT, TODAY, copy_demo
from tests.sign_demo import sign_demo


def test_every_piece_of_the_demo_stands_as_it_was_signed() -> None:
    road = Road(ROOT, today=TODAY, remember=False)
    for record in road.workspace.folders:
        case = road.case(record)
        assert case
        for piece, document in road.documents(record).items():
            standing = judge_piece(case, document)
            assert standing.approved, f"{record}/{piece}: {standing.state}: {[str(c) for c in standing.changes][:3]}"


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    return copy_demo(tmp_path / "museum")


def test_one_changed_word_keeps_its_piece_in_and_no_other(demo: Path) -> None:
    label = demo / "demo_specimens/ostrich/label.md"
    label.write_text(label.read_text("utf-8").replace("mostly new grass", "mostly old grass"), "utf-8")
    road = Road(demo, today=TODAY, remember=False, target=Target(False, demo / "build/docs"))
    verdict = road.walk()
    waiting = [row for outcome in verdict.outcomes for row in outcome.waiting]
    assert [(row.record, row.piece) for row in waiting] == [("ostrich", "label")]
    assert waiting[0].reason.startswith("out of date: ") and "old" in waiting[0].reason
    outputs, rows, _ = make_outputs(road, verdict, False)
    assert "documents/ostrich--label.pdf" not in outputs and "specimens/ostrich.md" in outputs
    assert not any(row["output"].startswith("documents/ostrich--label") for row in rows)
    approvals = {row["output"]: row["approval"] for row in rows if row["record"]}
    assert all(len(each) == 1 and len(each[0]) == 64 for each in approvals.values()), "each file names who signed it"
    assert [p.check for p in verdict.problems if p.severity == "error"] == ["approval-out-of-date"]
    assert list(sign_demo(demo)) == ["ostrich/label"]


def test_a_page_says_by_whose_office_and_when_it_was_signed(demo: Path) -> None:
    road = Road(demo, today=TODAY, remember=False, target=Target(False, demo / "build/docs"))
    outputs, _, _ = make_outputs(road, road.walk(["ostrich"]), False)
    text = (outputs["specimens/ostrich.md"] or b"").decode()
    assert "Read and signed, as it stands here, by the curator of birds on 24\u00a0November 2026." in text
    assert "Ines Brackwater" not in text.partition("## Who checked this")[2], "the office, not the person"
