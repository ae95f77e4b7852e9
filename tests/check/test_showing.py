"""What a preparation implies, how dates of hazards turn, and which licences are understood."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.check.showing.missing_caution import review_day
from builder.road import Road
from tests.conftest import TODAY

PREPARATION = "preparation: whole animal (EtOH)"


def told(stock: Path, check: str, today: date = TODAY, *, remember: bool = False) -> list[str]:
    road = Road(stock, today=today, remember=remember)
    verdict = road.walk()
    if remember:
        road.remember()
    return [problem.message for problem in verdict.problems if problem.check == check]


def edit(stock: Path, old: str, new: str, name: str = "records/newt/record.yml") -> None:
    path = stock / name
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


@pytest.mark.parametrize(
    "preparation, hazard",
    [
        ("whole animal (EtOH)", "ethanol"),  # Darwin Core's own example of `preparations`
        ("in spirit", "ethanol"),
        ("whole, 70 % IMS", "ethanol"),
        ("fixed in 10 % formalin", "formaldehyde"),
        ("whole animal (isopropanol)", "isopropanol"),
        ("wet specimen", "fluid"),
        ("study skin", "arsenic"),
        ("taxidermy mount", "arsenic"),
        ("skin | skeleton", "arsenic"),
        ("lower jaw", "sharp"),
        ("pinned", "sharp"),
        ("frozen carcass", "infection"),
    ],
)
def test_a_preparation_implies_its_hazard(stock: Path, preparation: str, hazard: str) -> None:
    edit(stock, PREPARATION, f"preparation: {preparation}")
    edit(stock, "    hazards: {ethanol: documented}\n", "")
    assert [message for message in told(stock, "missing-caution") if f"`{hazard}`" in message]


@pytest.mark.parametrize(
    "preparation",
    ["shed skin", "mounted skeleton", "mounted on a slide", "resin cast of a skull", "nest", "blown eggs"],
)
def test_others_imply_none(stock: Path, preparation: str) -> None:
    edit(stock, PREPARATION, f"preparation: {preparation}")
    edit(stock, "    hazards: {ethanol: documented}\n", "")
    assert told(stock, "missing-caution") == []


def test_a_remembered_verdict_turns_on_the_day_the_check_grows_old(stock: Path) -> None:
    edit(stock, "hazards: {ethanol: documented}", "hazards: {ethanol: {basis: documented, checked: 2024-12-01}}")
    days = [date(2026, 11, 25), date(2026, 11, 30), date(2026, 12, 1), date(2026, 12, 2)]
    remembered = [len(told(stock, "missing-caution", day, remember=True)) for day in days]
    assert remembered == [len(told(stock, "missing-caution", day)) for day in days] == [0, 0, 1, 1]


@given(day=st.dates(date(1, 1, 1), date(9990, 12, 31)), months=st.integers(0, 120))
def test_a_check_is_reviewed_after_so_many_months(day: date, months: int) -> None:
    due = review_day(day.isoformat(), months)
    if due is None:  # past the last year of the calendar
        assert day.year + months // 12 >= 9999
        return
    assert (due.year - day.year) * 12 + due.month - day.month == months
    assert due.day <= day.day and (due.day == day.day or day.day > 28)
