"""What the checks of wording rest on: gist, retelling, ground; and what does not fit their pages."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from builder.check.case import Case
from builder.check.engine import check_case
from builder.check.example import FRONT, STOCK
from builder.check.wording import number_not_in_claim, stronger_than_claim
from builder.check.wording.gist import count_shared, gist, stem
from builder.check.wording.jargon import JARGON, PLAIN
from builder.check.wording.retelling import Belief, denies, refutes, tells
from builder.check.wording.sentence_without_claim import SHORT_ANSWERS, closest_claims
from builder.load import load_record
from builder.load.piecetext import read_blocks
from builder.model.piece import Piece
from builder.problem import Problem
from builder.resolve import resolve
from builder.road import Road
from builder.weigh.weighing import weigh

TODAY = date(2026, 11, 25)
Read = Callable[..., list[Problem]]


@pytest.fixture(scope="module")
def road(tmp_path_factory: pytest.TempPathFactory) -> Road:
    root = tmp_path_factory.mktemp("wording") / "stock"
    shutil.copytree(STOCK, root)
    return Road(root, today=TODAY, remember=False)


@pytest.fixture(scope="module")
def case(road: Road) -> Case:
    subject = road.subject("newt")
    assert subject is not None
    return Case(subject, TODAY, weigh(subject, road.origins)[0])


@pytest.mark.parametrize(
    "words",
    [
        "suck sucks sucked sucking", "bury buries buried burying", "moth moths", "eat ate eaten eats eating",
        "stop stops stopped stopping", "foot feet", "drink drank drunk drinking", "bird birds bird's",
        "mass masses", "blind blindly", "hunt hunts hunted hunting", "tooth teeth",
        "fly flies flew", "die died dying dies", "sting stings",
    ],
)  # fmt: skip
def test_forms_of_a_word_share_a_stem(words: str) -> None:
    assert len({stem(word.removesuffix("'s")) for word in words.split()}) == 1


APART = "wing win ring rind sing sin moth mother bat bait seed see bed bee king kin spring sprint milk mile"


def test_stems_keep_different_words_apart() -> None:
    words = APART.split()
    assert len({stem(word) for word in words}) == len(words)


def test_gist_leaves_out_the_words_of_grammar() -> None:
    assert gist("The nightjar's old name is “goat-milker”, they say.") == ("nightjar", "old", "nam", "goat", "milker")


def test_shared_stems_forgive_a_spelling() -> None:
    assert count_shared(gist("colour of the feathers"), gist("the feather had a color")) == 2
    assert count_shared(gist("colour"), gist("color")) == 0  # nothing is exactly alike
    assert count_shared((), gist("milk")) == 0


def belief(text: str, *own: str) -> Belief:
    return Belief("c", text, tuple(s for s in dict.fromkeys(gist(text)) if s not in own), frozenset(own), denies(text))


GOATS = belief("Nightjars suck the milk of goats.", "nightjar")
LEMMINGS = belief("Lemmings never drink.", "lemm")


@pytest.mark.parametrize(
    "text, told",
    [
        ("An old tale has the bird suck the milk of goats at night.", True),
        ("The bird sucks goats' milk.", True),
        ("Who sucked the milk from the goat?", True),
        ("It does not suck the milk of goats.", False),
        ("That it sucks goats' milk is a mistake.", False),
        ("It sucks no milk from goats.", False),
        ("Goats give milk.", False),
        ("The bird eats moths.", False),
        ("", False),
    ],
)
def test_telling_a_belief(text: str, told: bool) -> None:
    assert tells(text, GOATS) is told


def test_a_title_tells_with_words_lifted_out() -> None:
    head = belief("Ostriches bury their heads in the sand to hide.", "ostrich")
    assert tells("Head in the sand", head, brief=True)
    assert tells("Heads and sand", head, brief=True)
    assert not tells("Head in the sand", head)
    assert not tells("Sand on the head", head, brief=True)  # another order, another matter
    assert not tells("A head above the sand and the grass", head, brief=True)
    assert not tells("No head in the sand", head, brief=True)


def test_a_belief_that_denies_is_told_by_a_denial() -> None:
    never = belief("Elephants never forget a face.", "elephant")
    assert tells("Elephants never forget a face.", never)
    assert not tells("Elephants forget a face.", never)


def test_refuting_in_the_same_sentence() -> None:
    assert refutes("It was said to suck milk, but it eats moths.")
    assert refutes("It was wrongly said to suck milk.")
    assert not refutes("It was said to suck milk.")


def test_short_answers_are_short() -> None:
    assert "no" in SHORT_ANSWERS and "not at all" in SHORT_ANSWERS and "probably not" in SHORT_ANSWERS
    assert all(len(answer.split()) < 5 for answer in SHORT_ANSWERS)


def test_closest_claims(case: Case) -> None:
    assert closest_claims(case, "They take moths above all.") == ("moths", "milk")
    assert closest_claims(case, "In spring the male has a crest.")[0] == "crest-grows"
    assert closest_claims(case, "No trace of milk.")[0] == "milk"
    assert closest_claims(case, "The weather was fine.") == ()
    assert closest_claims(case, "The weather was fine.", near=frozenset({"milk"})) == ("milk",)
    assert "guess" not in closest_claims(case, "Example newts may sleep all winter.")  # a lead is no mend
    assert closest_claims(case, "") == ()


def test_every_term_has_plain_words() -> None:
    assert all(plain and term.islower() and term not in gist(plain) for term, plain in PLAIN.items())
    assert JARGON["patellas"] == "kneecap" and "rictals" not in JARGON


def judge(case: Case, text: str, *, by: object = number_not_in_claim) -> list[Problem]:
    blocks, _ = read_blocks(text.split("\n"), 0)
    piece = next(iter(case.pieces.values()))
    return list(by.check(case, Piece(piece.id, piece.front, blocks)))  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    "sentence, faults",
    [
        ("Of 130 stomachs, 81 % was moths.", 0),
        ("Of 130 moths, 81 % was eaten.", 0),  # a count is a count, whatever is counted
        ("Of 30 stomachs most held moths.", 1),  # 30 stands in 130, but is another number
        ("81 mm of it was moths.", 1),
        ("1 % of it was moths.", 1),
        ("0.81 of the mass was moths.", 0),
        ("-81 % of it was moths.", 1),
        ("81–85 % of it was moths.", 1),
        ("Field found it in 2001, Pond in 2010.", 0),
        ("Field found it in 2002.", 1),
        ("The name dates from 1901.", 0),
        ("Two studies agree.", 0),
        ("Four studies agree.", 1),
        ("Two moths agree.", 1),
        ("The second of them was one of a kind.", 0),
        ("About 130 stomachs, or some 80 %.", 0),
        ("Exactly 130 stomachs, and 9 snails.", 1),
    ],
)
def test_numbers_of_a_claim(case: Case, sentence: str, faults: int) -> None:
    assert len(judge(case, f"{sentence}[^moths]")) == faults


def test_a_share_from_the_table_bears_a_number_out(case: Case) -> None:
    test = case.weighed.tests[("moths", 2)]
    assert test.share is not None
    share, low, high = (round(100 * number) for number in test.share[:3])
    assert judge(case, f"Insects made up {share} % of the mass.[^moths]") == []
    assert judge(case, f"Insects made up {low} to {high} % of the mass.[^moths]") == []
    assert len(judge(case, f"Insects made up {share - 2} % of the mass.[^moths]")) == 1


def case_with(road: Road, statement: str) -> Case:
    """The stock record with another statement of the claim `crest-grows`."""
    record = road.workspace.folders["newt"]["record.yml"].decode()
    old = "    statement: The crest of males grows in spring.\n"
    assert old in record
    files = {"record.yml": record.replace(old, f"    statement: {statement}\n").encode()}
    subject, _ = resolve(
        load_record(f"{road.workspace.records}/newt", {**road.workspace.folders["newt"], **files}), road.library
    )
    assert subject is not None
    return Case(subject, TODAY, weigh(subject, road.origins)[0])


@pytest.mark.parametrize(
    ("sentence", "faults"),
    [
        ("It rode out again on the third day.", 0),
        ("It rode out again on the 3rd day.", 0),
        ("It rode out again on the second day.", 1),
        ("In its second year it rode out again.", 0),  # the claim counts no years
        ("At first it rested; on the third day it rode.", 0),
        ("The second of them rested.", 0),
    ],
)
def test_another_day_in_order(road: Road, sentence: str, faults: int) -> None:
    changed = case_with(road, "A newt rode out again on the third day.")
    assert len(judge(changed, f"{sentence}[^crest-grows]")) == faults


@pytest.mark.parametrize(
    ("statement", "sentence", "told"),
    [
        ("Many newts eat snails.", "Most newts eat snails.", "Most"),
        ("Many newts eat snails.", "Many newts eat snails.", ""),
        ("Most newts eat snails.", "Many newts eat snails.", ""),
        ("Some newts eat snails.", "Newts eat snails, and many newts eat slugs.", "many"),
        ("All newts eat snails.", "Most newts eat snails.", ""),
        ("Newts eat snails.", "Most newts eat snails.", ""),  # it measures nothing
        ("Some newts eat snails.", "Most toads were asleep.", ""),  # another matter
        ("Newts often eat snails.", "Newts usually eat snails.", "usually"),
        ("Newts usually eat snails.", "Newts often eat snails.", ""),
        ("A few newts, 61 % in one pond, eat snails.", "Most newts there eat snails.", ""),
        ("Most newts eat snails.", "Nearly all newts eat snails.", "Nearly all"),
        ("In one pond 61 % eat snails.", "Nearly all newts there eat snails.", "Nearly all"),
        ("In one pond 8 % starve.", "Nearly all newts there eat.", ""),
        ("Many newts eat snails.", "“Most newts eat snails”, as they said.", ""),
    ],
)
def test_no_more_is_measured_than_the_claim_measures(road: Road, statement: str, sentence: str, told: str) -> None:
    """The order of L. R. Horn's scales, as on the page of the check; which words count as which is our choice."""
    changed = case_with(road, statement)
    found = judge(changed, f"{sentence}[^crest-grows]", by=stronger_than_claim)
    assert [problem.message.split("”")[0].lstrip("“") for problem in found] == ([told] if told else [])


def test_a_dangling_mark_is_told_elsewhere(case: Case) -> None:
    text = "Always 999 moths.[^nowhere] And 999 more.[^moths][^nowhere]"
    assert judge(case, text) == [] and judge(case, text, by=stronger_than_claim) == []


def test_the_mend_names_the_numbers_there_are(case: Case) -> None:
    (problem,) = judge(case, "Moths made up 91 % of it.[^moths]")
    assert "`81 %`" in problem.mend and "`130`" not in problem.mend
    assert problem.also[0][0] == "claim `moths`"
    assert (problem.spot and (problem.spot.column, problem.spot.length)) == (15, 4)


BITS = (
    "always only 81 % 1.5 mm no [^moths] [^milk] [^guess] [^aside] [c](look:crest) *E. primum*"
    " Exemplum dorsal – “ ” ( ) . "
    "? ! # - > drink milk cows but half 2001 Exemplaridae *sp.* \\ \x00 é ß İ"
)
TEXTS = st.text(max_size=200) | st.lists(st.sampled_from(BITS.split(" ")), max_size=30).map(" ".join)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=TEXTS, use=st.sampled_from(["page", "label", "talk", "script"]))
@example(text="*[^moths]*", use="label")
@example(text="[^moths]", use="talk")
def test_no_text_makes_a_check_raise(road: Road, text: str, use: str) -> None:
    files = {**road.workspace.folders["newt"], f"{use}.md": (FRONT[use] + text).encode("utf-8", "replace")}
    subject, _ = resolve(load_record("records/newt", files), road.library)
    assert subject is not None
    case = Case(subject, TODAY, weigh(subject, road.origins)[0])
    for problem in check_case(case):
        assert problem.place and problem.message and problem.mend
