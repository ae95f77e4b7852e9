"""What a curator is told of one piece: its own problems, and of the bibliography only what it rests on."""

from __future__ import annotations

from builder.concern import problems_of_document
from builder.road import Road
from tests.conftest import ROOT, TODAY


def test_a_warning_about_a_source_concerns_only_what_rests_on_it() -> None:
    road = Road(ROOT, today=TODAY, remember=False)
    problems = road.walk().problems
    stale = [problem for problem in problems if problem.check == "stale-source"]
    assert {problem.path[0] for problem in stale} == {"crotch-review", "crotch-living-age"}
    for record, told in (("norway-lemming", True), ("european-nightjar", False)):
        document = road.documents(record)["page"]
        mine = problems_of_document(road.workspace, document, problems)
        assert any(problem.check == "stale-source" for problem in mine) is told, record
    assert any(problem.check == "sample-too-small" for problem in mine), "its record's own"
