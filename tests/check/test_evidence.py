"""What the checks of evidence do at their edges: what does not fit their pages."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.problem import Problem
from builder.road import Road
from tests.conftest import TODAY

FIELD = "{source: field-2001, locator: p. 104, bears: for"


def found(stock: Path, check: str, **parts: str) -> list[Problem]:
    """The problems of one check, once keys of the record stand for what the stock has under them."""
    path = stock / "records/newt/record.yml"
    text = path.read_text("utf-8")
    for key, body in parts.items():
        start = text.index(f"\n{key}:\n") + 1
        ends = [at for line in ("claims", "calculations", "questions") if (at := text.find(f"\n{line}:", start)) > 0]
        text = text[:start] + f"{key}:\n{body}" + (text[min(ends) + 1 :] if ends else "")
    path.write_text(text, "utf-8")
    return [problem for problem in Road(stock, today=TODAY, remember=False).walk().problems if problem.check == check]


def claim(statement: str, *evidence: str, stands: str = "holds") -> str:
    rows = "".join(f"      - {entry}\n" for entry in evidence)
    return f"  moths:\n    statement: {statement}\n    stands: {stands}\n    evidence:\n{rows}"


@pytest.mark.parametrize(
    ("looks", "asks"),
    [(28, True), (29, False)],  # 1 − 0.05^(1/28) is 10.2 %, 1 − 0.05^(1/29) is 9.8 %
)
def test_absence_at_the_edge_of_the_house_rule(stock: Path, looks: int, asks: bool) -> None:
    evidence = f"{FIELD}, finds: no snail in any stomach, n: {looks}, basis: specimen}}"
    told = found(stock, "absence-from-too-few", claims=claim("Example newts never eat snails.", evidence))
    assert [problem.severity for problem in told] == ["warning"] * asks
    if asks:
        assert "0 of 28" in told[0].message and "10.2 % (one-sided 95 % limit)" in told[0].message
        assert told[0].mend.startswith("look at 29 or more")


@pytest.mark.parametrize(
    "finds",
    [
        "64 % shared, where 67 % would be expected without favour to kin",
        "no less than 81 % moths",
        "10 of 20 ate snails",
    ],
)
def test_a_negation_that_is_no_finding_of_nothing(stock: Path, finds: str) -> None:
    evidence = f'{FIELD}, finds: "{finds}", n: 20, basis: observation}}'
    body = claim("Example newts do not share with kin alone.", evidence)
    assert found(stock, "absence-from-too-few", claims=body) == []


@pytest.mark.parametrize(
    ("at_most", "needed"),
    [("0", 29), ("0.05", 59), ("0.2", 14), ("0.34", 8), ("0.35", None)],  # 0 of 7 leaves up to 34.8 %
)
def test_absence_in_a_diet_table_is_held_to_what_the_claim_says(stock: Path, at_most: str, needed: int | None) -> None:
    evidence = f"{{diet: gut, group: fish, measure: occurrence, at_most: {at_most}, bears: for}}"
    told = found(stock, "absence-from-too-few", claims=claim("Example newts eat few fish.", evidence))
    assert [problem.mend.split(" or more")[0] for problem in told] == ([f"look at {needed}"] if needed else [])


def test_a_misspelt_kind_of_prey_is_told_once(stock: Path) -> None:
    evidence = "{diet: gut, group: mollusc, measure: occurrence, at_most: 0.01, bears: for}"
    body = claim("Example newts eat few snails.", evidence)
    told = found(stock, "diet-test-fails", claims=body)
    assert len(told) == 1 and "did you mean `molluscs`" in told[0].message
    assert found(stock, "absence-from-too-few", claims=body) == []


def test_each_ambiguous_unit_of_a_sentence_is_pointed_at(stock: Path) -> None:
    page = stock / "records/newt/page.md"
    said = "In Washington a newt may eat two gallons of moths and a pint of worms.[^moths]"
    page.write_text(page.read_text("utf-8") + f"\n{said}\n", "utf-8")
    told = found(stock, "ambiguous-unit")
    assert [problem.message.split("”")[0] for problem in told] == ["“gallons", "“pint"]
    columns = [problem.spot.column for problem in told if problem.spot]
    assert columns == [said.index("gallons") + 1, said.index("pint") + 1]


def test_a_low_claim_is_named_with_its_own_confidence(stock: Path) -> None:
    """A sum beside it is passed over and lends it nothing."""
    body = claim("Example newts need 2 to 6 moths.", "{calculation: nightly, bears: for}")
    body += "  grows:\n    statement: The crest grows.\n    stands: holds\n    evidence:\n"
    body += f"      - {FIELD}, finds: the crest grows, basis: account}}\n"
    page = stock / "records/newt/page.md"
    head = page.read_text("utf-8").split("---\n")[1]
    page.write_text(f"---\n{head}---\nThe crest grows on 2 to 6 moths.[^moths][^grows]\n", "utf-8")
    told = found(stock, "needs-hedge", claims=body)
    assert [problem.message.rpartition(": ")[2] for problem in told] == ["`grows` (low)"]


def test_a_lead_needs_no_hedge_as_it_needs_a_source_first(stock: Path) -> None:
    page = stock / "records/newt/page.md"
    page.write_text(page.read_text("utf-8") + "\nExample newts sleep all winter.[^guess]\n", "utf-8")
    assert found(stock, "needs-hedge") == []
    assert found(stock, "lead-in-public-text") != []


@pytest.mark.parametrize(
    ("says", "told"),
    [("1338.30", "1,338.26 g"), ("1339", "1,338.3 g"), ("1338.26", ""), ("about 1338", ""), ("1300", "1,338.3 g")],
)
def test_a_sum_is_told_finely_enough_to_see_the_difference(stock: Path, says: str, told: str) -> None:
    """The mean parts of an ostrich egg, in grams, as an abstract prints them (Nikolova, Agricultural Sciences)."""
    source = "source: field-2001, locator: p. 105"
    body = "  nightly:\n    question: Do the parts add up?\n    inputs:\n"
    for name, value in (("white", "730.92"), ("yolk", "342.12"), ("shell", "265.22")):
        body += f"      {name}: {{value: {value}, unit: g, {source}}}\n"
    body += f"    result: {{is: white + yolk + shell, unit: g, says: {says}}}\n"
    problems = found(stock, "calculation-disagrees", calculations=body)
    assert [problem.message.split(" comes to ")[1].split(";")[0] for problem in problems] == ([told] if told else [])


def test_impossible_shares_are_refused_at_every_precision(stock: Path) -> None:
    """27 of 44 is 61.36 %: printed with none, one or two decimals it can exist, one digit aside it cannot."""
    shares = {"61 %": 0, "61.4 %": 0, "61.36 %": 0, "61.4": 0, "61.3 %": 1, "62 %": 1, "101 %": 1, "-1 %": 1}
    for share, count in shares.items():
        evidence = f"{FIELD}, finds: moths, reports: {{share: {share}, of: 44}}, basis: observation}}"
        told = found(stock, "impossible-share", claims=claim("Example newts eat mainly moths.", evidence))
        assert len(told) == count, share
