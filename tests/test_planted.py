"""Realistic mistakes, one in each record of one workspace: each is caught, by name, at its line, and no other."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from builder.check.example import STOCK
from builder.check.registry import all_checks
from builder.problem import Problem
from builder.road import Road
from tests.conftest import TODAY


@dataclass(frozen=True)
class Fault:
    """In `file`, `old` becomes `new`; `check` must be reported on the line that holds `line`.

    `implied` are other checks that the same mistake truly sets off.
    """

    check: str
    file: str
    old: str
    new: str
    line: str
    implied: frozenset[str] = frozenset()


def fault(check: str, file: str, old: str, new: str, line: str, *implied: str) -> Fault:
    return Fault(check, file, old, new, line, frozenset(implied))


R, P, L = "record.yml", "page.md", "label.md"
LAST = "Example newts drink no milk.[^milk]"
LABEL = "piece: label\ntitle: The example newt\nkind: object label\nobjects: [jar]\n"
TALK = "piece: talk\ntitle: The example newt\ntheme: Newts eat moths.\nobjects: [jar]\n"
POINTS = "".join(f"## Point {number}\n\nThey eat mainly moths.[^moths] What do you see?\n\n" for number in range(1, 8))
HARD = (
    "Quantitative investigation of individuals established unambiguously that lepidopterous invertebrates "
    "predominated.[^moths]\n"
) * 10
FAULTS = [
    fault("claim-without-source", R, "    evidence:\n      - {source: pond-2010, locator: p. 12, finds: the crest of males grows in spring, bears: for, basis: observation}\n", "    evidence: []\n", "crest-grows:"),
    fault("source-without-locator", R, "source: pond-2010, locator: p. 9, ", "source: pond-2010, ", "finds: moths in most droppings"),
    fault("unknown-reference", R, "source: pond-2010, locator: p. 10", "source: pond-2011, locator: p. 10", "pond-2011"),
    fault("unknown-reference", P, "[^moths] You can", "[^moth] You can", "[^moth]"),
    fault("unknown-reference", P, "look:crest", "look:crst", "look:crst"),
    fault("unknown-reference", R, "collection: bones", "collection: bone", "collection: bone"),
    fault("unknown-reference", R, "at: {figure: head", "at: {figure: haed", "figure: haed", "unused-entry"),
    fault("wrong-shape", R, "    stands: holds\n    evidence:\n      - {source: field-2001, locator: p. 104, finds: moths made", "    stand: holds\n    evidence:\n      - {source: field-2001, locator: p. 104, finds: moths made", "    stand: holds"),
    fault("wrong-shape", R, "n: 60, bears: for", "n: sixty, bears: for", "n: sixty"),
    fault("wrong-shape", R, "bears: for, basis: observation}\n      - {diet", "bears: pro, basis: observation}\n      - {diet", "bears: pro"),
    fault("wrong-shape", R, "latitude: 51.2345", "latitude: 151.2345", "latitude: 151.2345"),
    fault("wrong-shape", R, "    why: They gather", "    why:\n    note: They gather", "    why:"),
    fault("wrong-shape", L, "piece: label", "piece: lable", "piece: lable"),
    fault("wrong-shape", P, "title: What an example newt eats\n", "", "---"),
    fault("repeated-key", R, "    stands: fails\n", "    stands: fails\n    stands: open\n", "    stands: open"),
    fault("unreadable-file", R, "statement: Example newts drink no milk.", "statement: 'Example newts drink no milk.", "'Example newts drink no milk."),
    fault("unreadable-file", R, "family: Exemplaridae", "family: &f Exemplaridae", "&f"),
    fault("unused-entry", R, "questions:", "waive:\n  - {check: long-sentence, at: page.md, reason: a quotation, who: c-keeper, until: 2027-01-01}\nquestions:", "check: long-sentence"),
    fault("unused-entry", R, "diet:\n", "diet:\n  spare: {table: gut.csv, method: stomach contents, source: field-2001, locator: table 2, examined: 8, empty: 1}\n", "spare:"),
    fault("bad-identifier", R, "date: 2019", "date: 2019-13", "date: 2019-13"),
    fault("locator-beyond-abstract", R, "source: tales-1890, locator: p. 3}]", "source: short-2015, locator: p. 3}]", "short-2015"),
    fault("quote-not-found", R, "quote: moths made up 81 % of the mass of food", "quote: moths were 81 % of the mass of food", "quote: moths were"),
    fault("recheck-due", R, "    stands: fails\n", "    stands: fails\n    recheck: 2026-05\n", "recheck: 2026-05"),
    fault("belief-without-holder", R, "    held_by: [{source: tales-1890, locator: p. 3}]\n", "", "belief: Example newts drink"),
    fault("withdrawn-source", R, "- {source: pond-2010, locator: p. 12", "- {source: gone-2012, locator: p. 12", "gone-2012"),
    fault("sentence-without-claim", P, LAST, f"{LAST}\nAll of them sleep in winter.", "All of them sleep"),
    fault("sentence-without-claim", L, "Look for", "It lives in ponds. Look for", "It lives in ponds."),
    fault("sentence-without-claim", R, 'answer: "It eats mainly moths.[^moths]"', 'answer: "It eats mainly moths."', "answer:"),
    fault("number-not-in-claim", P, "81 % of the food", "91 % of the food", "91 %"),
    fault("number-not-in-claim", P, "In one study of 130 stomachs", "In one study of 310 stomachs", "310 stomachs"),
    fault("stronger-than-claim", P, "Example newts drink no milk.[^milk]", "Example newts eat moths, and nothing else at all, always.[^moths]", "always"),
    fault("belief-before-evidence", P, "title: What an example newt eats", "title: Example newts drink the milk of cows", "title: Example newts drink"),
    fault("lead-in-public-text", P, LAST, f"{LAST}\nExample newts may sleep all winter.[^guess]", "[^guess]"),
    fault("name-not-italic", P, LAST, f"{LAST}\nExemplum primum eats mainly moths.[^moths]", "Exemplum primum eats"),
    fault("bad-scientific-name", R, "scientific: Exemplum primum", "scientific: exemplum primum", "exemplum primum"),
    fault("bad-scientific-name", R, 'authority: "Writer, 1901"', 'authority: "(Writer), 1901"', "(Writer), 1901"),
    fault("long-sentence", P, LAST, f"{LAST}\nExample newts, as people who sat beside a pond on a warm night in early summer with a lamp and a net and some patience can tell, eat mainly moths, and they do it by night.[^moths]", "Example newts, as people"),
    fault("too-many-words", L, "Example newts eat mainly moths.[^moths]", "\n".join(["Example newts eat mainly moths.[^moths]"] * 22), "Example newts eat mainly moths.[^moths]"),
    fault("not-visible-here", L, "look:crest", "look:teeth", "look:teeth"),
    fault("missing-caution", R, "    hazards: {ethanol: documented}\n", "", "preparation: whole animal"),
    fault("figure-without-text-alternative", R, "alt: A newt from the side with its crest numbered, ", "", "head: {file"),
    fault("figure-without-rights", R, ", licence: CC-BY-4.0", "", "head: {file"),
    fault("store-location-shown", P, LAST, f"{LAST}\nIt stands in bay 21 on tray 4.[^aside]", "bay 21"),
    fault("locality-too-precise", P, LAST, f"{LAST}\nIt was found at 51.2345, -1.2345.[^aside]", "51.2345, -1.2345"),
    fault("private-name-shown", L, "Look for", "Given by P. Thistlewick.[^aside] Look for", "Thistlewick"),
    fault("bad-diet-table", "gut.csv", "s2,moth,insects,3,0.9", "s2,moth,insects,3,-0.9", "-0.9"),
    fault("bad-diet-table", "gut.csv", "s2,moth,insects,3,0.9", "s2,moth,insects,three,0.9", "three"),
    fault("bad-diet-table", R, "examined: 8, empty: 1", "examined: 9, empty: 1", "sample,prey,group"),
    fault("wrong-shape", "head.svg", "<desc>", "<script>1</script><desc>", "head: {file: head.svg"),
    fault("unknown-reference", R, "file: head.svg", "file: haed.svg", "haed.svg", "unused-entry"),
    fault("wrong-shape", P, "[the crest](look:crest)", "![the crest](head.svg)", "![the crest]", "sentence-without-claim"),
    fault("wrong-shape", P, "[the crest](look:crest)", "[the crest](crest.html)", "crest.html", "sentence-without-claim"),
    fault("unreadable-file", "gut.csv", "s2,moth", "s2,m\0th", "s2,m"),
    fault("not-visible-here", R, "visible_on: [jar]", "visible_on: [skull]", "Look for [the crest]"),
    fault("no-filming-here", L, "piece: label\ntitle: The example newt\nkind: object label\nobjects: [jar]\nauthor: a-writer\n---\n", "piece: script\ntitle: The example newt\nobjects: [jar, skull]\n---\n> A jar.[^aside]\n\n", "objects: [jar, skull]"),
    fault("nothing-seen-here", L, "piece: label\ntitle: The example newt\nkind: object label\nobjects: [jar]\nauthor: a-writer\n---\n", "piece: script\ntitle: The example newt\nobjects: [jar]\n---\n", "Example newts eat"),
    fault("too-fast-to-follow", L, "piece: label\ntitle: The example newt\nkind: object label\nobjects: [jar]\nauthor: a-writer\n---\n", "piece: script\ntitle: The example newt\nobjects: [jar]\naudience: schools\n---\n> A jar.[^aside]\n\n", "audience: schools"),
    fault("missing-caution", R, "hazards: {ethanol: documented}", "hazards: {ethanol: {basis: documented, checked: 2021-05}}", "checked: 2021-05"),
    fault("figure-without-text-alternative", R, "alt: A newt from the side with its crest numbered", "alt: Image of a newt", "Image of a newt"),
    fault("figure-without-rights", R, "licence: CC-BY-4.0", "licence: free for everybody", "licence: free"),
    fault("locality-too-precise", R, "show: 0.1", "show: 0.001", "show: 0.001"),
    fault("private-name-shown", R, "finds: males carry a jagged crest", "finds: males of Percival Thistlewick carry a crest", "Thistlewick carry"),
    fault("impossible-share", R, "n: 60, bears: for, basis", "n: 60, reports: {share: 61.4 %, of: 5}, bears: for, basis", "share: 61.4 %"),
    fault("units-do-not-fit", R, "unit: kJ/day", "unit: m/day", "result: {is: energy"),
    fault("calculation-disagrees", R, "says: about 2 to 6", "says: about 20 to 60", "about 20 to 60"),
    fault("stands-not-borne-out", R, "    stands: fails", "    stands: holds", "stands: holds"),
    fault("diet-test-fails", R, "at_least: 0.5", "at_least: 0.99", "at_least: 0.99"),
    fault("one-line-only", R, "- {source: pond-2010, locator: p. 9, finds: moths in most droppings, n: 60, bears: for, basis: observation}\n      - {diet: gut, group: insects, measure: mass, at_least: 0.5, bears: for}", "- {source: copy-2012, locator: p. 2, finds: moths made up 81 % of the food, bears: for, basis: account}", "evidence:", "unused-entry"),
    fault("belief-repeated", P, LAST, f"{LAST}\nThey come at night and drink milk from the cows, it is said.[^milk]\nSo a newt drank the milk, it is said, and the cow went dry.[^milk]", "and the cow went dry"),
    fault("over-time", L, "piece: label\ntitle: The example newt\nkind: object label\nobjects: [jar]", "piece: talk\ntitle: The example newt\nobjects: [jar]\ntheme: Newts eat moths.\nslot: 0.05", "slot: 0.05"),
    fault("no-single-theme", L, "piece: label\ntitle: The example newt\nkind: object label\nobjects: [jar]", "piece: talk\ntitle: The example newt\nobjects: [jar]", "title: The example newt"),
    fault("too-few-questions", L, "piece: label\ntitle: The example newt\nkind: object label\nobjects: [jar]", "piece: talk\ntitle: The example newt\nobjects: [jar]\ntheme: Newts eat moths.\nslot: 5", "slot: 5"),
    fault("too-many-points", L, f"{LABEL}author: a-writer\n---\n", f"{TALK}author: a-writer\n---\n{POINTS}", "## Point 6"),
    fault("numbers-disagree", L, "Example newts eat mainly moths.[^moths]", "Moths made up 85 % of their food by mass.[^moths]", "85 %", "number-not-in-claim"),
    fault("ambiguous-unit", P, LAST, f"{LAST}\nExample newts eat a gallon of moths.[^moths]", "a gallon of moths"),
    fault("unexplained-term", P, LAST, f"{LAST}\nExample newts eat mainly moths with their dentition.[^moths]", "their dentition"),
    fault("needs-hedge", P, LAST, f"{LAST}\nThe crest of males grows in spring.[^crest-grows]", "The crest of males"),
    fault("absence-from-too-few", R, "no milk was found in 130 stomachs, n: 130, bears: against, basis: measurement}\n      - {source: pond-2010, locator: p. 10, finds: no trace of milk in droppings, n: 60", "no milk was found in 8 stomachs, n: 8, bears: against, basis: measurement}\n      - {source: pond-2010, locator: p. 10, finds: no trace of milk in droppings, n: 9", "no "),
    fault("sample-too-small", R, "    statement: The crest of males grows in spring.\n    stands: holds\n    evidence:\n      - {source: pond-2010, locator: p. 12, finds: the crest of males grows in spring, bears: for, basis: observation}\n", "    statement: The crest of males grows in spring.\n    stands: holds\n    evidence:\n      - {source: pond-2010, locator: p. 12, finds: the crest of males grows in spring, n: 3, bears: for, basis: measurement}\n", "n: 3"),
    fault("hard-to-read", P, LAST, f"{LAST}\n{HARD}", "Quantitative investigation", "unexplained-term"),
]  # fmt: skip

SOURCE_FAULTS = [
    fault("incomplete-source", "sources.yml", "  author: [{family: Pond, given: P.}]\n", "", "pond-2010:"),
    fault("circular-sources", "sources.yml", "  standing: popular\n  draws_on: []", "  standing: popular\n  draws_on: [tales-1890]", "draws_on: [tales-1890]"),
    fault("circular-sources", "sources.yml", "  DOI: 10.1234/example.2001.12\n  standing: first-hand\n  draws_on: []", "  DOI: 10.1234/example.2001.12\n  standing: first-hand\n  draws_on: [survey-2020]", "draws_on: ", "one-line-only", "needs-hedge"),
    fault("stale-source", "sources.yml", "  volume: 3\n  page: 7-19\n  standing: first-hand\n  draws_on: []\n  seen: 2026-05-14", "  volume: 3\n  page: 7-19\n  standing: first-hand\n  draws_on: []\n  seen: 2019-05-14", "seen: 2019-05-14"),
]  # fmt: skip
"""In the bibliography, which all records share, so each in a workspace of its own."""

SHARED = """
short-2015:
  type: article-journal
  title: A short note on ponds
  author: [{family: Short, given: S.}]
  issued: 2015
  container-title: Notes
  volume: 1
  page: 1-2
  standing: popular
  draws_on: []
  seen: 2026-05-14
  read: abstract
gone-2012:
  type: article-journal
  title: Crests of spring
  author: [{family: Gone, given: G.}]
  issued: 2012
  container-title: Notes
  volume: 2
  page: 1-20
  standing: first-hand
  draws_on: []
  seen: 2026-05-14
  withdrawn: by the journal, 2020, because the data were made up
copy-2012:
  type: book
  title: Newts retold
  author: [{family: Copy, given: C.}]
  issued: 2012
  publisher: Example Press
  standing: popular
  draws_on: [field-2001]
  seen: 2026-05-14
"""


def name_of(index: int) -> str:
    return f"planted-{index:02d}"


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, list[Problem]]]:
    """The workspace with all faults in it, and the problems of each record."""
    root = tmp_path_factory.mktemp("planted") / "museum"
    shutil.copytree(str(STOCK), root)
    newt = root / "records/newt"
    for index, planted in enumerate(FAULTS):
        folder = root / "records" / name_of(index)
        shutil.copytree(newt, folder)
        path = folder / planted.file
        text = path.read_text("utf-8")
        assert planted.old in text, (index, planted.check, planted.old)
        path.write_text(text.replace(planted.old, planted.new, 1), "utf-8")
    sources = root / "records/sources.yml"
    sources.write_text(sources.read_text("utf-8") + SHARED, "utf-8")
    verdict = Road(root, today=TODAY, remember=False).walk()
    return root, {outcome.id: list(outcome.problems) for outcome in verdict.outcomes}


def test_there_are_enough_and_of_many_kinds() -> None:
    assert len(FAULTS) >= 65
    assert len({planted.check for planted in FAULTS}) >= 38
    assert all(planted.line for planted in FAULTS)


def test_the_record_they_are_planted_in_is_clean(found: tuple[Path, dict[str, list[Problem]]]) -> None:
    assert found[1]["newt"] == []


@pytest.mark.parametrize("index", range(len(FAULTS)), ids=lambda index: f"{index:02d}-{FAULTS[index].check}")
def test_planted_fault_is_caught(index: int, found: tuple[Path, dict[str, list[Problem]]]) -> None:
    root, problems = found
    planted = FAULTS[index]
    own = problems[name_of(index)]
    told = [(p.check, p.place and (p.place.file.rsplit("/", 1)[-1], p.place.line), p.message) for p in own]
    hits = [p for p in own if p.check == planted.check and p.place]
    assert hits, told
    lines = set()
    for problem in hits:
        assert problem.place is not None
        lines.add((root / problem.place.file).read_text("utf-8").split("\n")[problem.place.line - 1])
    assert all(planted.line in line for line in lines), (planted.line, told)
    assert planted.implied <= {p.check for p in own}, told
    strangers = {p.check for p in own} - {planted.check} - planted.implied
    assert not strangers, told


@pytest.mark.parametrize("planted", SOURCE_FAULTS, ids=lambda planted: planted.check)
def test_planted_fault_of_the_bibliography_is_caught(tmp_path: Path, planted: Fault) -> None:
    root = Path(shutil.copytree(str(STOCK), tmp_path / "museum"))
    path = root / "records" / planted.file
    text = path.read_text("utf-8")
    assert text.count(planted.old) == 1
    path.write_text(text.replace(planted.old, planted.new), "utf-8")
    told = Road(root, today=TODAY, remember=False).walk().problems
    lines = path.read_text("utf-8").split("\n")
    assert {problem.check for problem in told} == {planted.check} | planted.implied, told
    places = [problem.place for problem in told if problem.check == planted.check and problem.place]
    assert places and all(place.file == f"records/{planted.file}" for place in places)
    assert all(planted.line in lines[place.line - 1] for place in places), told


def test_every_check_has_a_mistake_planted_for_it() -> None:
    """But for checks of approvals, which need signatures: `tests/approve` forges those."""
    planted = {fault.check for fault in (*FAULTS, *SOURCE_FAULTS)}
    asked = {check.name for check in all_checks() if check.group != "approval"}
    assert sorted(asked - planted) == []
