"""`weigh`: what it prints and its JSON, on a table whose every figure can be worked out by hand."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder.cli import main

# Constructed for testing, exact by hand: five stomachs, of which one is empty.
TABLE = """sample,prey,group,count,mass_g
S1,A,a,4,2
S1,B,b,1,6
S2,A,a,6,3
S3,B,b,2,9
S3,C,c,1,1
S4,A,a,2,1
S4,C,c,3,3
S5,,,,
"""


def run(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(main, list(words))
    if done.exception and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done.exit_code, done.output


@pytest.fixture
def weighed(stock: Path) -> Path:
    record = stock / "records/newt/record.yml"
    text = record.read_text("utf-8").replace("examined: 8, empty: 1", "examined: 5, empty: 1")
    text = text.replace("group: insects, measure: mass, at_least: 0.5", "group: a, measure: mass, at_least: 0.1")
    record.write_text(text, "utf-8")
    (stock / "records/newt/gut.csv").write_text(TABLE, "utf-8")
    return stock


def test_json_of_a_table_worked_by_hand(weighed: Path) -> None:
    """FO, N, W, IRI (Pinkas et al. 1971), IRI share (Cortés 1997), PSIRI (Brown et al. 2012), prey-specific abundance
    (Amundsen et al. 1996) and index of preponderance (Natarajan & Jhingran 1961) of the table above."""
    code, said = run("-w", str(weighed), "weigh", "newt", "--format", "json")
    assert code == 0
    diet = json.loads(said)["diet"]["gut"]
    assert (diet["examined"], diet["empty"], diet["vacuity"]) == (5, 1, 0.2)
    expected = {
        "A": {
            "FO": 0.75,
            "N": 12 / 19,
            "W": 0.24,
            "IRI": 6536.8421,
            "IRI_share": 0.536733,
            "PSIRI": 0.4625,
            "abundance": 0.4,
            "preponderance": 0.321429,
            "FO_all": 0.6,
        },
        "B": {
            "FO": 0.5,
            "N": 3 / 19,
            "W": 0.6,
            "IRI": 3789.4737,
            "IRI_share": 0.311150,
            "PSIRI": 0.314583,
            "abundance": 0.833333,
            "preponderance": 0.535714,
            "FO_all": 0.4,
        },
        "C": {
            "FO": 0.5,
            "N": 4 / 19,
            "W": 0.16,
            "IRI": 1852.6316,
            "IRI_share": 0.152118,
            "PSIRI": 0.222917,
            "abundance": 0.285714,
            "preponderance": 0.142857,
            "FO_all": 0.4,
        },
    }
    for prey, figures in expected.items():
        for name, value in figures.items():
            found = diet["prey"][prey]
            assert found[name] == pytest.approx(value, rel=1e-5), (prey, name)
            assert found[f"{name}_low"] <= found[name] <= found[f"{name}_high"], (prey, name)
    assert diet["levins_B"] == pytest.approx(1 / (0.24**2 + 0.6**2 + 0.16**2), rel=1e-5)
    assert diet["levins_BA"] == pytest.approx((diet["levins_B"] - 1) / 2, rel=1e-5)
    assert (diet["iri_measure"], diet["levins_measure"], diet["log_base"]) == ("mass", "mass", "e")
    assert diet["curve"][0][0] == 1 and diet["curve"][-1] == [4, 3.0]


def test_json_of_claims_and_calculations(stock: Path) -> None:
    plain = json.loads(run("-w", str(stock), "weigh", "newt", "--format", "json")[1])
    assert plain["record"] == "newt"
    assert plain["claims"]["milk"] == {
        "stands": "fails",
        "stands_computed": "fails",
        "lines": 2,
        "evidence": "medium",
        "agreement": "high",
        "confidence": "high",
    }
    assert plain["calculations"]["nightly"] == {"low": 2.0, "high": 6.0, "unit": "count"}


def test_text_says_it_in_sentences(weighed: Path) -> None:
    code, said = run("-w", str(weighed), "weigh", "newt")
    assert code == 0
    told = (
        "Two independent lines", "Would raise it:", "5 samples, 1 empty (20.0 %)", "the 4 with food",
        "preponderance", "Levins' B 2.26, B_A 0.63 (mass)", "(logarithm to base e)",
        "3 kinds of prey seen, about 3.0 expected (Chao2)", "nightly: How many moths", "the text says about 2 to 6",
    )  # fmt: skip
    assert [words for words in told if words not in said] == []
    assert said == run("-w", str(weighed), "weigh", "newt")[1]


def test_cells_of_a_table_never_touch(weighed: Path) -> None:
    """Even where every share is 100 % and its interval as wide as it gets."""
    rows = [row.rstrip() for row in run("-w", str(weighed), "weigh", "newt")[1].split("\n")]
    at = next(index for index, row in enumerate(rows) if row.split()[:1] == ["prey"])
    heading, *cells = (re.split(r" {2,}", row.strip()) for row in rows[at : at + 7])
    assert heading == ["prey", "FO", "N", "mass", "specific", "IRI", "PSIRI", "preponderance"]
    assert [len(row) for row in cells] == [8, 7] * 3
    assert cells[0] == ["A", "75.0", "63.2", "24.0", "40.0", "53.7", "46.2", "32.1"]
    assert len({len(row) for row in rows[at : at + 7]}) == 1


def test_overlap_of_two_tables(weighed: Path) -> None:
    """The invented bass and walleye diets of the FSA package's `dietOverlap` example: Schoener 0.631384, Pianka
    0.808396 on the shares (recomputed from its inputs)."""
    folder = weighed / "records/newt"
    for name, counts in (("gut", (55, 35, 23, 7, 3, 1)), ("gut2", (23, 45, 2, 17, 7, 2))):
        rows = [f"S1,{kind},{kind},{count}" for kind, count in zip("pqrstu", counts, strict=True)]
        (folder / f"{name}.csv").write_text("\n".join(["sample,prey,group,count", *rows]) + "\n", "utf-8")
    record = folder / "record.yml"
    one = "gut: {table: gut.csv, method: stomach contents, source: field-2001, locator: table 1, examined: 5, empty: 1}"
    text = record.read_text("utf-8")
    assert one in text
    one_sample = one.replace("examined: 5, empty: 1", "examined: 1, empty: 0")
    two = one_sample.replace("gut", "gut2")
    record.write_text(text.replace(one, f"{one_sample}\n  {two}"), "utf-8")
    code, said = run("-w", str(weighed), "weigh", "newt")
    assert code == 0
    assert "gut and gut2: overlap by count, Schoener 0.63, Pianka 0.81 (1 is the same diet)" in said


def test_floats_have_six_significant_digits(weighed: Path) -> None:
    """Beyond them machines may differ, and nobody reads them."""

    def numbers(value: object) -> Iterator[float]:
        if isinstance(value, float):
            yield value
        elif isinstance(value, dict | list):
            for part in value.values() if isinstance(value, dict) else value:
                yield from numbers(part)

    found = list(numbers(json.loads(run("-w", str(weighed), "weigh", "newt", "--format", "json")[1])))
    assert len(found) > 100 and all(value == float(f"{value:.6g}") for value in found)


def test_a_calculation_without_a_result_says_why(weighed: Path) -> None:
    record = weighed / "records/newt/record.yml"
    text = record.read_text("utf-8")
    record.write_text(text.replace("moth: {value: 0.5 to 1, unit: kJ,", "moth: {value: 0.5 to 1, unit: g,"), "utf-8")
    found = json.loads(run("-w", str(weighed), "weigh", "newt", "--format", "json")[1])["calculations"]["nightly"]
    assert found["fault"] == "units-do-not-fit" and "measures a number" in found["message"]
    assert "no result: " in run("-w", str(weighed), "weigh", "newt")[1]


def test_a_bad_table_is_told(weighed: Path) -> None:
    path = weighed / "records/newt/gut.csv"
    path.write_text(TABLE.replace("S2,A,a,6,3", "S2,A,a,-6,3"), "utf-8")
    code, said = run("-w", str(weighed), "weigh", "newt", "--format", "text")
    assert code == 1 and "gut.csv:4" in said


def test_no_such_record(stock: Path) -> None:
    code, said = run("-w", str(stock), "weigh", "newd")
    assert code == 2 and "did you mean `newt`" in said
