"""Cautions: each in its parts, with how certain it is, and none without the line that the museum's own rules win."""

from __future__ import annotations

import pytest

from builder.check.showing.missing_caution import DRY, FLUID, FLUIDS, MINERALS
from builder.compose.caution import CERTAINTY, DANGERS, DEFERRAL, GENERAL, caution, cautions_of
from builder.model.record import Hazard


def test_the_line_of_deferral_is_whole() -> None:
    assert DEFERRAL == (
        "This note is not a risk assessment. Follow local law and your museum’s own health and safety procedures; "
        "where they differ, they win."
    )


def test_a_caution_says_what_it_is_and_how_certain() -> None:
    made = caution("arsenic", "assumed")
    assert made["what"].startswith("Arsenic (assumed, not tested): a poison")
    assert "gloves" in made["who"]
    assert "children" in made["stage"]


def test_a_check_and_a_note_are_told() -> None:
    made = caution("sharp", "documented", checked="2026-03", note="a pin in the left wing.")
    assert made["what"].startswith("Sharp (documented, last checked 2026-03): ")
    assert made["what"].endswith(". a pin in the left wing.")


def test_unknown_is_not_safe() -> None:
    assert "treat it as present" in caution("mercury", "unknown")["what"]
    assert caution("beryllium", "documented")["who"] == GENERAL.who
    assert caution("beryllium", "documented")["what"] == "Beryllium (documented)."


def test_every_basis_of_the_model_has_words() -> None:
    assert set(CERTAINTY) == set(Hazard.model_json_schema()["properties"]["basis"]["enum"])


@pytest.mark.parametrize("danger", [*FLUIDS, FLUID, *DRY, *MINERALS], ids=lambda danger: danger.hazard)
def test_every_hazard_that_a_preparation_implies_is_known(danger: object) -> None:
    for hazard in danger.ids:  # type: ignore[attr-defined]
        assert caution(hazard, "assumed")["who"] != GENERAL.who, hazard


def test_no_id_stands_for_two_dangers() -> None:
    ids = [one for danger in DANGERS for one in danger.ids]
    assert len(ids) == len(set(ids))
    assert all(danger.what.startswith("{name}: ") for danger in DANGERS)


def test_the_handling_of_a_document_keeps_its_order() -> None:
    rows = cautions_of([
        {"object": "jar", "hazard": "ethanol", "basis": "documented"},
        {"object": "skull", "hazard": "hidden-pins", "basis": "tested", "note": "two"},
    ])  # fmt: skip
    assert [(row["object"], row["what"].split(":")[0]) for row in rows] == [
        ("jar", "Ethanol (documented)"), ("skull", "Hidden pins (tested)"),
    ]  # fmt: skip
