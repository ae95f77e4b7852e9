"""What rests on what: a few records are read for it, and none that matters is left out."""

from __future__ import annotations

import pytest

from builder.resolve.uses import find_nodes, find_uses, narrow
from builder.road import Road
from tests.conftest import TODAY, copy_demo


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Road:
    return Road(copy_demo(tmp_path_factory.mktemp("uses")), today=TODAY, remember=False)


def test_what_is_left_out_rests_on_nothing_asked_for(demo: Road) -> None:
    """For every source, and every id of every record, alone and with its record, as if all records had been read."""
    draws_on = {key: source.draws_on or () for key, source in demo.library.sources.items()}
    every = {name: subject for name in demo.workspace.folders if (subject := demo.subject(name))}
    asked = dict.fromkeys(draws_on)
    for name, subject in every.items():
        for section in ("claims", "objects", "figures", "anatomy", "diet", "calculations"):
            for key in getattr(subject.record, section):
                asked |= dict.fromkeys((key, f"{name}.{key}"))
    assert len(asked) > 300
    spared = 0
    for wanted in asked:
        names = narrow(demo.workspace.folders, draws_on, wanted)
        few = {name: every[name] for name in names}
        nodes = find_nodes(every.values(), draws_on, wanted)
        assert nodes == find_nodes(few.values(), draws_on, wanted), wanted
        for node in nodes:
            assert find_uses(every, draws_on, node) == find_uses(few, draws_on, node), wanted
        spared += len(every) - len(names)
    assert spared > len(asked)


def test_a_chain_of_sources_and_of_records_is_followed() -> None:
    folders = {
        "newt": {"record.yml": b"claims: {moths: {evidence: [{source: review}]}}"},
        "frog": {"page.md": b"It does as newts do.[^newt.moths]"},
        "toad": {"page.md": b"It does as frogs do.[^frog.newts]", "head.svg": b"<svg/>"},
        "eft": {"record.yml": b"source: other, after the original-2 and a firefrog.moths, pre-original"},
        "olm": {"record.yml": b'source: "\\x6friginal"'},
        "axolotl": {"head.svg": b"original"},
    }
    sources = {"original": (), "study": ("original",), "review": ("study", "other"), "other": ()}
    assert narrow(folders, sources, "original") == ("newt", "frog", "toad", "olm")
    assert narrow(folders, sources, "newt.moths") == ("newt", "frog", "toad", "olm")
    assert narrow(folders, sources, "eft.x") == ("eft", "olm")
    assert narrow(folders, sources, "nothing") == ("olm",)


def test_no_id_is_out_of_reach(demo: Road) -> None:
    for wanted in ("", ".", "..", "a.b.c", "é", "caf\udce9", "x" * 10_000):
        assert isinstance(narrow(demo.workspace.folders, {}, wanted), tuple)
