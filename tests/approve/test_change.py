"""What changed, named in words, and what of it is grave.

The list of what always re-opens an approval (number, unit, range, negation, name, source, place, figure, hazard, date,
person) is common practice with no published source.
"""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from builder.approve.change import Change, find_changes, word_diff
from builder.approve.fingerprint import fingerprint_of, parts_of, plain_parts, seal_of
from builder.approve.gravity import words_gravity
from builder.approve.people import people_changes
from tests.approve.signing import museum, signed, stock_documents

PAGE: Any = stock_documents()["page"]


def changes(edit: Any) -> list[Change]:
    document = deepcopy(PAGE)
    edit(document)
    then, now = parts_of(PAGE), parts_of(document)
    assert seal_of(then) != seal_of(now)
    found = list(find_changes(then, now))
    assert found, "the fingerprint differs, and nothing says in what"
    return found


def say(text: str, *, kind: str = "paragraph") -> Any:
    return {"kind": kind, "sentences": [{"spans": [{"text": text}]}]}


@pytest.mark.parametrize(
    "then, now, mark",
    (
        ("It eats 20 moths.", "It eats 30 moths.", "number"),
        ("It eats twenty moths.", "It eats thirty moths.", "number"),
        ("It weighs 20 g.", "It weighs 20 kg.", "unit"),
        ("It weighs 20 to 30 g.", "It weighs 20 g.", "number"),
        ("It eats nearly 20 moths.", "It eats 20 moths.", "number"),
        ("It drinks milk.", "It does not drink milk.", "negation"),
        ("It doesn't bite.", "It does bite.", "negation"),
        ("It is not dull and not blue.", "It is dull and not blue.", "negation"),
        ("It may eat moths.", "It eats moths.", "certainty"),
        ("It eats mostly moths.", "It eats only moths.", "certainty"),
        ("It was named by Linnaeus.", "It was named by Buffon.", "name"),
        ("It comes from Wales.", "It comes from Kent.", "name"),
        ("It arrives in May.", "It arrives in June.", "date"),
        ("It was found in 1887.", "It was found in 1878.", "date"),
    ),
)
def test_grave_words(then: str, now: str, mark: str) -> None:
    assert mark in words_gravity(then, now)
    assert mark in words_gravity(now, then)


@pytest.mark.parametrize(
    "then, now",
    (
        ("It eats moths at dusk.", "It feeds on moths at dusk."),
        ("It eats moths, and beetles.", "It eats moths and beetles."),
        ("It eats moths at dusk.", "At dusk it eats moths."),
    ),
)
def test_other_words_are_not_grave(then: str, now: str) -> None:
    assert words_gravity(then, now) == set()


def test_a_new_sentence_is_one_change() -> None:
    found = changes(lambda d: d["blocks"].insert(0, say("A newt is worth a look.")))
    assert [(c.kind, c.now) for c in found] == [("added", "A newt is worth a look.")]


def test_a_sentence_moved_is_no_other_sentence() -> None:
    def turn(document: Any) -> None:
        document["blocks"].append(document["blocks"].pop(0))

    assert {c.kind for c in changes(turn)} == {"moved"}


def test_signs_and_capitals_are_small() -> None:
    def edit(document: Any) -> None:
        span = document["blocks"][0]["sentences"][0]["spans"][0]
        span["text"] = span["text"].replace(".", "!")

    (found,) = changes(edit)
    assert found.small and not found.serious and str(found).startswith("sentence 1 changed (small): ")


def test_what_matters_is_marked() -> None:
    for edit, part, mark in (
        (lambda d: d["sources"][0]["fields"].update(issued="1999"), "sources/", "source"),
        (lambda d: d["sources"][0].update(withdrawn="by the journal"), "sources/", "source"),
        (lambda d: d["sources"][0].update(standing="hearsay"), "sources/", "source"),
        (lambda d: d["figures"][0].update(digest="0" * 64), "figures/", "image"),
        (lambda d: d["handling"][0].update(basis="unknown"), "handling/", "hazard"),
        (lambda d: d["handling"].pop(), "handling/", "hazard"),
        (lambda d: d["objects"][0].update(place="somewhere else"), "objects/", "place"),
        (lambda d: d["objects"][0].update(catalogue_number="X"), "objects/", "name"),
        (lambda d: d["claims"][0]["evidence"][0].update(locator="p. 9"), "claims/", "evidence"),
        (lambda d: d["claims"][0]["weight"].update(confidence="low"), "claims/", "evidence"),
        (lambda d: d["claims"][0].update(stands="open"), "claims/", "evidence"),
        (lambda d: d["diets"][0].update(digest="0" * 64), "diets/", "number"),
        (lambda d: d["taxon"].update(scientific="Aliud secundum"), "name", "name"),
        (lambda d: d["front"].update(author=["Somebody Else"]), "front/author", "person"),
        (lambda d: d["blocks"][0]["sentences"][0].pop("claims"), "text/", "evidence"),
    ):
        (found,) = changes(edit)
        assert found.part.startswith(part) and mark in found.marks, found


def leaves(value: Any, path: tuple[Any, ...] = ()) -> Any:
    if isinstance(value, dict | list) and value:
        for key in value if isinstance(value, dict) else range(len(value)):
            yield from leaves(value[key], (*path, key))
    else:
        yield path


@pytest.mark.parametrize("piece", ("page", "label"))
def test_every_value_of_a_document_is_in_some_part(piece: str) -> None:
    document: Any = stock_documents()[piece]
    whole = seal_of(parts_of(document))
    assert fingerprint_of(document) == whole
    for path in leaves(document):
        if path[-1] == "number" and path[0] in ("claims", "cues"):
            continue  # the numbers of marks follow from their order
        copy = deepcopy(document)
        here = copy
        for part in path[:-1]:
            here = here[part]
        value = here[path[-1]]
        if isinstance(value, list | dict):
            continue  # nothing in it
        here[path[-1]] = value + 1 if isinstance(value, int) else f"{value}~"
        if path[-1] in ("cue",) or (len(path) > 1 and path[-2] == "claims" and path[0] != "claims"):
            here[path[-1]] = 99  # a mark that leads elsewhere
        assert seal_of(parts_of(copy)) != whole, path


def test_order_of_entries_is_none_of_its_business() -> None:
    copy = deepcopy(PAGE)
    for section in ("claims", "cues", "objects", "figures", "sources", "handling", "terms", "diets", "sums"):
        copy[section] = copy[section][::-1]
    assert seal_of(parts_of(copy)) == seal_of(parts_of(PAGE))


def test_names_of_parts_are_their_own() -> None:
    for document in stock_documents().values():
        names = [name for name, _ in plain_parts(document)]
        assert len(names) == len(set(names))


def test_word_diff_loses_nothing() -> None:
    then, now = "It eats  20 moths, at dusk.", "It eats 30 moths at dusk!"
    stretches = word_diff(then, now)
    assert "".join(text for kind, text in stretches if kind != "in") == then
    assert "".join(text for kind, text in stretches if kind != "out") == now


def test_who_may_decide_is_told_when_it_changes() -> None:
    approval = signed(PAGE).approval
    assert people_changes(None, museum()) == () and people_changes(approval, museum()) == ()
    house = museum(
        a_writer={"may_approve": ["jars"]},
        j_jars=None,
        b_bones={"may_approve": ["bones", "jars"], "key": "other"},
        c_keeper={"role": "director"},
    )
    assert people_changes(approval, house) == (
        "Ada Writer (`a-writer`, educator) may now approve for `jars`",
        "Con Keeper (`c-keeper`) was curator and is director",
        "Bea Bones (`b-bones`) may now approve for `jars` too",
        "Bea Bones (`b-bones`) has another signing key",
        "`j-jars`, who was curator, may no longer approve anything",
    )
