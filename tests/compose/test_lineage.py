"""Lineage: whose year, in which order, and who drew on whom, also through works that are not shown."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from builder.compose.lineage import make_lineage
from builder.model.record import Claim
from builder.model.source import Source


def source(*draws_on: str, issued: str | None = None, standing: str = "popular", original: str | None = None) -> Source:
    fields: dict[str, Any] = {"type": "webpage", "standing": standing, "draws_on": list(draws_on)}
    fields |= {"issued": issued} if issued else {}
    fields |= {"original-date": original} if original else {}
    return Source.model_validate(fields)


def claim(*history: tuple[str, int | None], held_by: tuple[str, ...] = ()) -> Claim:
    return Claim.model_validate(
        {
            "belief": "b",
            "statement": "s",
            "held_by": [{"source": key, "locator": "p. 1"} for key in held_by],
            "history": [
                {"source": key, "locator": "p. 1", "told": "t"} | ({} if year is None else {"year": str(year)})
                for key, year in history
            ],
        }
    )


def lineage(sources: dict[str, Source], made: Claim, *roots: str) -> list[tuple[str, str]]:
    return [(teller["source"], teller["year"]) for teller in make_lineage(sources, made, roots)]


def test_a_page_of_today_is_not_of_the_year_it_tells_of() -> None:
    sources = {"worm": source(issued="1655", standing="historical"), "page": source("worm")}
    assert lineage(sources, claim(("page", 1557), ("page", 1655)), "worm") == [("worm", "1655"), ("page", "")]


def test_an_ancient_text_is_of_the_year_it_tells() -> None:
    sources = {
        "aristotle": source(standing="historical"),
        "pliny": source(issued="1855", standing="historical", original="0077"),
        "browne": source(issued="1646", standing="historical"),
    }
    made = claim(("aristotle", -350), ("pliny", 77), ("browne", 1558))
    assert lineage(sources, made) == [("aristotle", "350 BC"), ("pliny", "77"), ("browne", "1646")]


def test_edges_pass_through_works_that_are_not_shown() -> None:
    sources = {"root": source(), "between": source("root"), "page": source("between"), "other": source()}
    tellers = make_lineage(sources, claim(("page", None), ("other", None)), ["root"])
    assert [(t["source"], t["draws_on"], t["told"]) for t in tellers] == [
        ("root", [], False),
        ("page", ["root"], True),
        ("other", [], True),
    ]


def test_undated_tellings_stay_between_their_neighbours() -> None:
    """Pliny's place in a history that a dated work follows is before it, whatever else stands behind the belief."""
    sources = {
        "nail": source(issued="1927", standing="first-hand"),
        "pliny": source(standing="historical"),
        "browne": source(issued="1646", standing="historical"),
        "between": source(),
        "zoo": source("nail"),
        "page": source(),
    }
    made = claim(("pliny", None), ("browne", 1646), ("between", None), ("zoo", 1927), held_by=("page",))
    assert [key for key, _ in lineage(sources, made, "nail")] == ["pliny", "browne", "between", "nail", "zoo", "page"]


def test_an_undated_reprint_shown_follows_its_undated_original() -> None:
    sources = {"first": source(), "reprint": source("first", issued="1877"), "late": source(issued="1958")}
    made = claim(("reprint", 1877), ("late", 1958), held_by=("first",))
    assert [key for key, _ in lineage(sources, made)] == ["first", "reprint", "late"]


def test_an_undated_original_comes_before_the_first_that_drew_on_it() -> None:
    sources = {
        "original": source(),
        "first": source("original", issued="1877"),
        "other": source(issued="1880"),
        "second": source("original", issued="1900"),
        "early": source(issued="1870"),
    }
    made = claim(("early", 1870), ("first", 1877), ("other", 1880), ("second", 1900))
    assert [key for key, _ in lineage(sources, made, "original")] == ["early", "original", "first", "other", "second"]


def test_a_late_book_that_tells_of_old_times_does_not_make_its_neighbours_late() -> None:
    sources = {
        "schutt": source(issued="2008"),
        "darwin": source(standing="historical"),
        "bates": source(issued="1863", standing="historical"),
    }
    made = claim(("schutt", None), ("darwin", None), ("bates", 1863))
    assert [key for key, _ in lineage(sources, made)] == ["darwin", "bates", "schutt"]


def test_a_circle_and_unknown_ids_do_no_harm() -> None:
    sources = {"a": source("b"), "b": source("a"), "c": source("c", "gone")}
    assert sorted(lineage(sources, claim(("a", 1900), ("b", None), ("gone", 1800)), "c", "lost")) == [
        ("a", ""),
        ("b", ""),
        ("c", ""),
    ]


@st.composite
def histories(draw: st.DrawFn) -> tuple[dict[str, Source], Claim, list[str]]:
    """Works without circles, each drawing only on those before it and out no earlier; some in the history, some not."""
    count = draw(st.integers(1, 8))
    years = sorted(draw(st.lists(st.integers(1000, 2020), min_size=count, max_size=count)))
    sources = {}
    for index in range(count):
        drawn = draw(st.sets(st.integers(0, index - 1), max_size=2)) if index else set()
        issued = draw(st.sampled_from([None, str(years[index])]))
        sources[f"s{index}"] = source(*(f"s{other}" for other in sorted(drawn)), issued=issued)
    told = draw(st.lists(st.sampled_from(list(sources)), max_size=6))
    held = draw(st.lists(st.sampled_from(list(sources)), max_size=3))
    roots = draw(st.lists(st.sampled_from(list(sources)), max_size=3))
    return sources, claim(*((key, None) for key in told), held_by=tuple(held)), roots


@given(histories())
@settings(max_examples=100, deadline=None)
def test_nothing_is_lost_and_nobody_stands_before_what_he_drew_on(case: tuple[Any, Claim, list[str]]) -> None:
    sources, made, roots = case
    tellers = make_lineage(sources, made, roots)
    keys = [teller["source"] for teller in tellers]
    told = {each.source for each in made.history} | {each.source for each in made.held_by}
    assert sorted(keys) == sorted(told | set(roots))
    assert {teller["source"] for teller in tellers if teller["told"]} == told
    for teller in tellers:
        assert all(keys.index(drawn) < keys.index(teller["source"]) for drawn in teller["draws_on"])
    if not any(teller["draws_on"] for teller in tellers):
        years = [int(teller["year"]) for teller in tellers if teller["year"]]
        assert all(one <= other for one, other in pairwise(years))
