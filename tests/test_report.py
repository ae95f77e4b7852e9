"""Reports: the line and the caret for people, JSON as documented, SARIF as its published schema asks."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from builder import report
from builder.problem import Place, Problem, Severity
from builder.road import Road
from tests.conftest import TODAY

SCHEMA = Path(__file__).parent / "data/sarif-2.1.0-rtm.5.json"


def problem(line: int = 1, column: int = 1, length: int = 1, **more: object) -> Problem:
    return Problem(
        "claim-without-source",
        "it is so",
        "mend it",
        severity=Severity.ERROR,
        place=Place("r/record.yml", line, column, length),
        **more,
    )  # type: ignore[arg-type]


def told(found: Problem, line: str | None) -> list[str]:
    summary = report.summarise([found], records=1, claims=2, sentences=3, asides=0)
    return report.as_text([found], summary, lambda file, number: line, {"r": "A title"}).split("\n")


def test_text_shows_the_place_the_line_the_caret_why_and_the_mend() -> None:
    rows = told(problem(4, 3, 4), "  milk: x")
    assert rows[0] == "error: claim-without-source: it is so"
    assert rows[1] == "  --> r/record.yml:4:3  (A title)"
    assert rows[2:4] == ["    4 |   milk: x", "      |   ^^^^"]
    assert rows[4].startswith("  why:  A visitor") and rows[5] == "  mend: mend it"
    assert rows[-2] == "1 error, 0 warnings in 1 record (2 claims, 3 sentences, 0 asides)"


@pytest.mark.parametrize(
    "line, column, length, caret",
    [
        ("日本語: x", 6, 1, " " * 8 + "^"),  # wide characters take two columns
        ("e\u0301te: x", 6, 1, " " * 4 + "^"),  # a combining accent takes none
        ("\tkey: x", 2, 3, " ^^^"),
        ("short", 40, 5, " " * 5 + "^"),  # beyond the end: at the end
    ],
)
def test_the_caret_stands_under_its_word(line: str, column: int, length: int, caret: str) -> None:
    assert told(problem(1, column, length), line)[3].removeprefix("      | ") == caret


def test_long_lines_are_cut_round_the_place_and_unseen_signs_shown() -> None:
    rows = told(problem(1, 500, 4), "x" * 499 + "HERE" + "y" * 500)
    assert len(rows[2]) < 130
    at = rows[3].index("^")
    assert rows[2][at : at + 4] == "HERE" and rows[3].count("^") == 4
    assert "\u202e" not in told(problem(), "a\u202eb")[2]


def test_a_file_that_cannot_be_shown_still_has_its_place() -> None:
    rows = told(problem(9, 9), None)
    assert rows[1].startswith("  --> r/record.yml:9:9") and rows[2].startswith("  why:")


def test_both_places_of_a_quarrel_are_shown() -> None:
    rows = told(problem(2, 1, 3, also=(("first given here", Place("r/record.yml", 1, 1, 3)),)), "key: x")
    assert "  first given here: r/record.yml:1:1" in rows


def spoilt(stock: Path) -> Road:
    record = stock / "records/newt/record.yml"
    record.write_text(
        record.read_text("utf-8")
        .replace("    stands: fails\n", "    stands: fails\n    stands: open\n")
        .replace("locator: p. 12, ", ""),
        "utf-8",
    )
    return Road(stock, today=TODAY, remember=False)


def test_json_is_as_documented(stock: Path) -> None:
    verdict = spoilt(stock).walk()
    plain = json.loads(report.as_json(verdict.problems, verdict.summary))
    assert set(plain) == {"problems", "summary"}
    assert set(plain["summary"]) == {"records", "claims", "sentences", "asides", "errors", "warnings"}
    for row in plain["problems"]:
        assert set(row) == {"check", "severity", "file", "line", "column", "message", "mend"}
        assert row["severity"] in ("error", "warning") and row["file"] == "records/newt/record.yml" and row["line"] > 1
    assert plain["summary"]["errors"] == sum(row["severity"] == "error" for row in plain["problems"]) == 2


def test_sarif_is_as_its_schema_asks(stock: Path) -> None:
    """SARIF 2.1.0 (OASIS); the schema as published, see tests/data/README.md."""
    schema = json.loads(SCHEMA.read_text("utf-8"))
    validator = jsonschema.Draft4Validator(schema)
    for verdict in (Road(stock, today=TODAY, remember=False).walk(), spoilt(stock).walk()):
        log = json.loads(report.as_sarif(verdict.problems, "0.1.0"))
        assert [error.message for error in validator.iter_errors(log)] == []
        run = log["runs"][0]
        rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
        assert [rules[result["ruleIndex"]] for result in run["results"]] == [
            result["ruleId"] for result in run["results"]
        ]
    assert len(run["results"]) == 2 and run["results"][0]["relatedLocations"]
    region = run["results"][0]["locations"][0]["physicalLocation"]["region"]
    assert region["endColumn"] > region["startColumn"]


def test_the_schema_has_teeth() -> None:
    validator = jsonschema.Draft4Validator(json.loads(SCHEMA.read_text("utf-8")))
    assert list(validator.iter_errors({"version": "2.1.0", "runs": [{"results": []}]}))
