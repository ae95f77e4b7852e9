"""Independent lines: roots of sources, cycles, and the largest set of items with roots of their own."""

from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, maximum_bipartite_matching

from builder.weigh.lines import DrawsOn, Item, count_lines, find_cycles, source_roots, unknown_origins


def item(key: str, *roots: str, lean: str = "against", basis: str = "observation", **more: object) -> Item:
    return Item(key, frozenset(roots), lean, basis, **more)  # type: ignore[arg-type]


def items_citing(sources: list[str], draws_on: DrawsOn, **more: str) -> list[Item]:
    roots = source_roots(draws_on)
    return [item(source, *roots[source], own=roots[source] == {source}, **more) for source in sources]


# Constructed by hand: a forest of repeaters, and a circle.
E1: Mapping[str, tuple[str, ...]] = {"B": ("A",), "C": ("A",), "D": ("C",), "E": ("F",), "A": (), "F": (), "G": ()}
E2: Mapping[str, tuple[str, ...]] = {"A": ("B",), "B": ("A",)}


def test_e1_repeaters_rest_on_three_roots() -> None:
    roots = source_roots(E1)
    assert {source: set(found) for source, found in roots.items()} == {
        "A": {"A"}, "B": {"A"}, "C": {"A"}, "D": {"A"}, "E": {"F"}, "F": {"F"}, "G": {"G"},
    }  # fmt: skip
    lines = count_lines(items_citing(list("ABCDEFG"), E1))
    assert [(line.root, [found.key for found in line.items]) for line in lines] == [
        ("A", ["A", "B", "C", "D"]),
        ("F", ["F", "E"]),
        ("G", ["G"]),
    ]
    assert find_cycles(E1) == ()


def test_e2_a_circle_is_one_root_and_is_named() -> None:
    assert source_roots(E2) == {"A": frozenset("A"), "B": frozenset("A")}
    assert len(count_lines(items_citing(["A", "B"], E2))) == 1
    assert find_cycles(E2) == (("A", "B"),)


def test_a_source_that_draws_on_itself_is_a_circle() -> None:
    assert find_cycles({"A": ("A",)}) == (("A",),)
    assert source_roots({"A": ("A",)}) == {"A": frozenset("A")}


def test_a_circle_with_a_way_out_rests_on_what_it_leads_to() -> None:
    draws_on = {"A": ("B",), "B": ("A", "C"), "C": ()}
    assert source_roots(draws_on)["A"] == {"C"}
    assert find_cycles(draws_on) == (("A", "B"),)


def test_unknown_and_undefined_sources_are_roots_of_unknown_origin() -> None:
    draws_on: DrawsOn = {"told": None, "repeats": ("told", "never-listed"), "own-data": ()}
    assert source_roots(draws_on)["repeats"] == {"told", "never-listed"}
    assert unknown_origins(draws_on) == {"told", "never-listed"}
    (line,) = count_lines([item("told", "told", basis="measurement", first_hand=True, own=True)], unknown={"told"})
    assert line.bases == {"account"} and not line.first_hand


def test_a_review_of_two_studies_never_joins_them() -> None:
    draws_on = {"review": ("a", "b"), "a": (), "b": ()}
    assert len(count_lines(items_citing(["review", "a", "b"], draws_on))) == 2
    assert len(count_lines(items_citing(["review"], draws_on))) == 1


def test_a_review_stands_for_a_study_nobody_cites() -> None:
    lines = count_lines(items_citing(["review", "a"], {"review": ("a", "b"), "a": (), "b": ()}))
    assert [(line.root, line.items[0].key) for line in lines] == [("b", "review"), ("a", "a")]


def test_room_is_made_by_moving_an_earlier_item() -> None:
    lines = count_lines([item("first", "a", "b"), item("second", "a")])
    assert [(line.root, line.items[0].key) for line in lines] == [("b", "first"), ("a", "second")]


def test_an_item_that_is_a_root_speaks_for_its_line() -> None:
    repeater = item("repeater", "a", basis="review", lean="for")
    study = item("study", "a", basis="measurement", first_hand=True, own=True)
    (line,) = count_lines([repeater, study])
    assert line.items == (study, repeater)
    assert line.bases == {"measurement"} and line.first_hand
    assert line.lean == "mixed"


def test_a_repeater_lends_no_basis_and_no_first_hand_standing() -> None:
    study = item("study", "a", basis="observation", own=True)
    (line,) = count_lines([study, item("copy", "a", basis="experiment", first_hand=True)])
    assert line.bases == {"observation"} and not line.first_hand


def test_an_item_without_roots_makes_no_line() -> None:
    assert count_lines([item("rests on nothing")]) == ()
    assert count_lines([]) == ()


def test_thousands_of_sources_take_no_recursion() -> None:
    size = 20_000
    chain: dict[str, tuple[str, ...]] = {f"s{n:05}": (f"s{n + 1:05}",) for n in range(size)}
    ring = chain | {f"s{size:05}": ("s00000",)}
    assert set(source_roots(chain).values()) == {frozenset({f"s{size:05}"})}
    assert set(source_roots(ring).values()) == {frozenset({"s00000"})}
    assert len(find_cycles(ring)[0]) == size + 1
    moves = [item(f"i{n}", f"r{n}", f"r{n + 1}") for n in range(3000)] + [item("last", "r0")]
    assert len(count_lines(moves)) == 3001  # every item has to move up by one root
    crowd = [item(f"i{n}", *(f"r{m}" for m in range(100))) for n in range(3000)]
    assert len(count_lines(crowd)) == 100


graphs = st.dictionaries(
    st.sampled_from("abcdefgh"), st.none() | st.lists(st.sampled_from("abcdefghxy"), max_size=3).map(tuple)
)
claims = st.lists(
    st.builds(
        item,
        st.uuids().map(str),
        st.sampled_from("abcde"),
        st.sampled_from("abcde"),
        lean=st.sampled_from(["for", "against", "mixed"]),
        basis=st.sampled_from(["observation", "review"]),
        own=st.just(False),
    ),
    max_size=8,
)


@settings(max_examples=100, deadline=None)
@given(graphs)
def test_roots_and_cycles_agree_with_a_reference_library(draws_on: DrawsOn) -> None:
    names = sorted(set(draws_on) | {drawn for found in draws_on.values() for drawn in found or ()})
    links = np.zeros((len(names), len(names)))
    for source, found in draws_on.items():
        for drawn in found or ():
            links[names.index(source), names.index(drawn)] = 1
    if not names:
        assert source_roots(draws_on) == {} and find_cycles(draws_on) == ()
        return
    _, label = connected_components(csr_array(links), connection="strong")
    reach = np.linalg.matrix_power(np.eye(len(names)) + links, len(names)) > 0
    roots = source_roots(draws_on)
    for here, name in enumerate(names):
        dead_ends = {
            min(names[k] for k in range(len(names)) if label[k] == label[there])
            for there in range(len(names))
            if reach[here, there] and all(reach[k, there] for k in range(len(names)) if reach[there, k])
        }
        assert roots[name] == dead_ends
    cycles = find_cycles(draws_on)
    rings = {label[k] for k in range(len(names)) if links[k, k] or (label == label[k]).sum() > 1}
    assert {label[names.index(cycle[0])] for cycle in cycles} == rings and len(cycles) == len(rings)
    for cycle in cycles:
        for source, drawn in zip(cycle, (*cycle[1:], cycle[0]), strict=True):
            assert drawn in (draws_on[source] or ())


@settings(max_examples=100, deadline=None)
@given(claims)
def test_as_many_lines_as_a_maximum_matching(found: list[Item]) -> None:
    lines = count_lines(found)
    if found:
        table = csr_array(np.array([[root in one.roots for root in "abcde"] for one in found]))
        assert len(lines) == (maximum_bipartite_matching(table, perm_type="column") >= 0).sum()
    assert sorted(one.key for line in lines for one in line.items) == sorted(one.key for one in found)
    assert all(line.root in one.roots for line in lines for one in line.items)
    assert len({line.root for line in lines}) == len(lines)


@settings(max_examples=100, deadline=None)
@given(claims, st.randoms())
def test_order_never_changes_the_count(found: list[Item], random: object) -> None:
    shuffled = list(found)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert len(count_lines(shuffled)) == len(count_lines(found))


@settings(max_examples=100, deadline=None)
@given(graphs.filter(bool), st.data())
def test_a_copy_of_a_source_never_adds_a_line(draws_on: DrawsOn, data: st.DataObject) -> None:
    cited = data.draw(st.lists(st.sampled_from(sorted(draws_on)), min_size=1, unique=True))
    before = count_lines(items_citing(cited, draws_on), unknown=unknown_origins(draws_on))
    copied = data.draw(st.sampled_from(cited))
    copy_added = {**draws_on, "copy": (copied,)}
    found = items_citing(cited, copy_added)
    found += items_citing(["copy"], copy_added)
    after = count_lines(found, unknown=unknown_origins(copy_added))
    if len(source_roots(draws_on)[copied]) == 1:
        assert len(after) == len(before)
        assert [line.bases for line in after] == [line.bases for line in before]
    else:  # the copy of a review may stand for a second study it reviews, never for more than its roots
        assert len(after) <= len(frozenset().union(*(one.roots for one in found)))


@settings(max_examples=100, deadline=None)
@given(claims, st.permutations("abcde"))
def test_the_names_of_roots_do_not_matter_to_the_count(found: list[Item], names: list[str]) -> None:
    renamed = [
        Item(one.key, frozenset(names["abcde".index(root)] for root in one.roots), one.lean, one.basis) for one in found
    ]
    assert len(count_lines(renamed)) == len(count_lines(found))


@pytest.mark.parametrize(
    ("leans", "expected"), [(("for", "for"), "for"), (("for", "against"), "mixed"), (("mixed", "mixed"), "mixed")]
)
def test_a_line_leans_as_its_items_do(leans: tuple[str, str], expected: str) -> None:
    (line,) = count_lines([item("a", "a", lean=leans[0], own=True), item("b", "a", lean=leans[1])])
    assert line.lean == expected
