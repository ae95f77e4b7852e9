"""Agreement, evidence, confidence and where a belief stands, cell by cell and as sentences."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.confidence import (
    AGREEMENTS,
    CONFIDENCES,
    EVIDENCES,
    Agreement,
    Evidence,
    Stands,
    compare_stands,
    explain,
    judge_agreement,
    judge_evidence,
    name_improvements,
    state_confidence,
    weigh_lines,
)
from builder.weigh.lines import Item, Line, count_lines


def line(root: str, *, lean: str = "against", basis: str = "observation", **more: object) -> Line:
    return Line(root, (Item(root, frozenset({root}), lean, basis, own=True, **more),))  # type: ignore[arg-type]


def lines_leaning(leans: str) -> tuple[Line, ...]:
    words = {"f": "for", "a": "against", "m": "mixed"}
    return tuple(line(f"s{number:02}", lean=words[lean]) for number, lean in enumerate(leans))


@pytest.mark.parametrize(
    ("leans", "expected"),
    [
        ("", "low"),
        ("f", "medium"),
        ("m", "medium"),
        ("ff", "high"),
        ("fa", "low"),
        ("fm", "low"),
        ("mm", "low"),
        ("ffa", "medium"),  # exactly two thirds
        ("ffam", "low"),
        ("ffffffffm", "medium"),  # 8 of 9 is under 0.9
        ("aaaaaaaaaf", "high"),  # exactly 0.9
    ],
)
def test_agreement_is_the_share_of_the_majority_side(leans: str, expected: str) -> None:
    assert judge_agreement(lines_leaning(leans)) == expected


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        ((), "limited"),
        ((line("a"),), "limited"),
        ((line("a", basis="measurement", first_hand=True, sample=30),), "medium"),
        ((line("a", basis="experiment", first_hand=True, sample=31),), "medium"),
        ((line("a", basis="measurement", first_hand=True, sample=29),), "limited"),
        ((line("a", basis="measurement", first_hand=True),), "limited"),
        ((line("a", basis="measurement", sample=500),), "limited"),
        ((line("a", basis="observation", first_hand=True, sample=500),), "limited"),
        ((line("a"), line("b")), "medium"),
        ((line("a"), line("b"), line("c", first_hand=True)), "medium"),  # one basis only
        ((line("a"), line("b"), line("c", basis="specimen")), "medium"),  # none first-hand
        ((line("a"), line("b"), line("c", basis="specimen", first_hand=True)), "robust"),
    ],
)
def test_evidence_counts_lines_bases_and_hands(found: tuple[Line, ...], expected: str) -> None:
    assert judge_evidence(found) == expected


def test_an_unknown_origin_counts_as_an_account_whatever_it_says() -> None:
    told = Item("told", frozenset({"told"}), "for", "experiment", first_hand=True, sample=900, own=True)
    assert judge_evidence(count_lines([told])) == "medium"
    assert judge_evidence(count_lines([told], unknown={"told"})) == "limited"
    others = [Item(key, frozenset(key), "for", "account", own=True) for key in "ab"]
    assert judge_evidence(count_lines([told, *others])) == "robust"
    assert judge_evidence(count_lines([told, *others], unknown={"told"})) == "medium"


def test_the_house_rule_moves_what_sample_is_adequate() -> None:
    found = (line("a", basis="measurement", first_hand=True, sample=12),)
    assert weigh_lines(found).evidence == "limited"
    assert weigh_lines(found, adequate_sample=12).evidence == "medium"


# L3: Mastrandrea et al. 2010, IPCC guidance note on uncertainty: five terms, a 3 x 3 grid whose cells it leaves open;
# confidence grows towards robust evidence with high agreement. The terms inside the grid are this program's choice.
@pytest.mark.parametrize(
    ("evidence", "terms"),
    [
        ("limited", ("very low", "low", "medium")),
        ("medium", ("low", "medium", "high")),
        ("robust", ("medium", "high", "very high")),
    ],
)
def test_l3_each_cell_has_its_term(evidence: Evidence, terms: tuple[str, ...]) -> None:
    assert tuple(state_confidence(evidence, agreement) for agreement in AGREEMENTS) == terms


def test_l3_confidence_never_falls_towards_a_stronger_cell() -> None:
    cells = list(itertools.product(EVIDENCES, AGREEMENTS))
    for weak, strong in itertools.product(cells, cells):
        evidence_grows = EVIDENCES.index(weak[0]) <= EVIDENCES.index(strong[0])
        if evidence_grows and AGREEMENTS.index(weak[1]) <= AGREEMENTS.index(strong[1]):
            assert CONFIDENCES.index(state_confidence(*weak)) <= CONFIDENCES.index(state_confidence(*strong))


@pytest.mark.parametrize(
    ("leans", "expected"),
    [("", "open"), ("a", "fails"), ("f", "holds"), ("m", "partly"), ("fa", "partly"), ("faa", "fails"),
     ("ffa", "holds"), ("ffaa", "partly"), ("mmm", "partly"), ("aam", "fails"), ("afm", "partly")],
)  # fmt: skip
def test_where_it_stands(leans: str, expected: str) -> None:
    assert weigh_lines(lines_leaning(leans)).stands == expected


@pytest.mark.parametrize(
    ("declared", "computed", "expected"),
    [
        ("fails", "fails", "the same"),
        ("open", "open", "the same"),
        ("fails", "partly", "more"),
        ("holds", "partly", "more"),
        ("holds", "fails", "more"),
        ("fails", "holds", "more"),
        ("partly", "open", "more"),
        ("holds", "open", "more"),
        ("partly", "fails", "less"),
        ("partly", "holds", "less"),
        ("open", "partly", "less"),
        ("open", "fails", "less"),
    ],
)
def test_a_declared_result_may_not_say_more(declared: Stands, computed: Stands, expected: str) -> None:
    assert compare_stands(declared, computed) == expected


def test_five_repeaters_collapse_to_one_line_in_words() -> None:
    works = [Item(f"book-{n}", frozenset({"aristotle"}), "for", "account") for n in range(5)]
    told = explain(weigh_lines(count_lines(works)), names={"aristotle": "Aristotle"})
    assert told == (
        "Five works repeat it; they rest on one: Aristotle.",
        "It leans for the belief; a single line cannot agree or disagree, so agreement is taken as medium.",
        "The evidence is limited: one line (account, not first-hand).",
        "Limited evidence with medium agreement gives low confidence.",
        "On this evidence the belief holds.",
    )


def test_several_lines_in_words() -> None:
    weight = weigh_lines(
        (line("a", first_hand=True), line("b", basis="specimen"), line("c"), line("d", lean="mixed", first_hand=True))
    )
    assert explain(weight, about="statement", names={"a": "Lee 1990", "b": "the skin"}) == (
        "Four independent lines of evidence: Lee 1990, the skin, `c` and `d`.",
        "Of the four, three against the statement and one mixed: agreement is medium.",
        "The evidence is robust: four lines (observation and specimen; first-hand).",
        "Robust evidence with medium agreement gives high confidence.",
        "On this evidence the statement fails.",
    )
    assert name_improvements(weight) == ("more independent lines, or a study that settles why the present ones differ",)


def test_one_measured_line_says_whether_its_sample_is_enough() -> None:
    small = weigh_lines((line("a", basis="measurement", first_hand=True, sample=3),))
    assert "from a sample of 3, where 30 are asked: too few" in " ".join(explain(small))
    assert name_improvements(small) == (
        "a second, independent measurement",
        "a first-hand measurement or experiment on at least 30",
    )
    large = weigh_lines((line("a", basis="measurement", first_hand=True, sample=130),))
    assert "from a sample of 130, where 30 are asked: enough" in " ".join(explain(large))
    assert name_improvements(large) == ("a second, independent measurement",)


def test_nothing_at_all_is_a_result_too() -> None:
    weight = weigh_lines(())
    assert (weight.evidence, weight.agreement, weight.confidence, weight.stands) == (
        "limited", "low", "very low", "open",
    )  # fmt: skip
    assert explain(weight) == (
        "Nothing that can be traced to a source or an object bears on it yet, so the question is open.",
    )
    assert name_improvements(weight)


def test_an_unknown_origin_is_said() -> None:
    told = Item("told", frozenset({"told"}), "for", "observation", own=True)
    sentences = explain(weigh_lines(count_lines([told], unknown={"told"})))
    assert "What `told` drew on is not known, so it counts as an account." in sentences


line_sets = st.lists(
    st.builds(
        line,
        st.uuids().map(str),
        lean=st.sampled_from(["for", "against", "mixed"]),
        basis=st.sampled_from(["experiment", "measurement", "observation", "specimen", "review", "account"]),
        first_hand=st.booleans(),
        sample=st.none() | st.integers(0, 100),
    ),
    max_size=12,
).map(tuple)


@settings(max_examples=100, deadline=None)
@given(line_sets, st.randoms())
def test_order_never_matters(found: tuple[Line, ...], random: object) -> None:
    shuffled = list(found)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = weigh_lines(found), weigh_lines(shuffled)
    assert (one.agreement, one.evidence, one.confidence, one.stands) == (
        other.agreement, other.evidence, other.confidence, other.stands,
    )  # fmt: skip
    assert name_improvements(one) == name_improvements(other)


@settings(max_examples=100, deadline=None)
@given(line_sets, st.sampled_from(AGREEMENTS))
def test_a_further_line_never_weakens_the_evidence(found: tuple[Line, ...], agreement: Agreement) -> None:
    grown = (*found, line("further"))
    assert EVIDENCES.index(judge_evidence(grown)) >= EVIDENCES.index(judge_evidence(found))
    assert CONFIDENCES.index(state_confidence(judge_evidence(grown), agreement)) >= CONFIDENCES.index(
        state_confidence(judge_evidence(found), agreement)
    )


@settings(max_examples=100, deadline=None)
@given(line_sets)
def test_improvements_are_named_until_nothing_is_left_to_improve(found: tuple[Line, ...]) -> None:
    weight = weigh_lines(found)
    assert bool(name_improvements(weight)) == (weight.confidence != "very high")
    assert all(sentence.endswith(".") for sentence in explain(weight))
