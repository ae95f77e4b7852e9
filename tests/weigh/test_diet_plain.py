"""The plain form of a diet result: JSON and back changes no bit, and data of any other shape is no result."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.diet import DietResult, weigh_diet
from builder.weigh.diet_plain import as_plain, from_plain
from tests.weigh.test_diet import BY_HAND, Row, make_table, rows_of_tables, table_of


def through_json(result: DietResult) -> DietResult | None:
    return from_plain(json.loads(json.dumps(as_plain(result))))


def assert_same(result: DietResult) -> None:
    """`==` takes 1 for 1.0; the text of both tells them apart, and every float by its last bit."""
    found = through_json(result)
    assert found == result and repr(found) == repr(result)


@settings(max_examples=60, deadline=None)
@given(rows_of_tables, st.booleans(), st.booleans(), st.booleans())
def test_json_and_back_changes_no_bit(rows: list[Row], clustered: bool, grouped: bool, by_volume: bool) -> None:
    more: dict[str, Any] = {"cluster": tuple(str(int(sample) // 3) for sample, _, _, _ in rows) if clustered else None}
    if grouped:
        more["group"] = tuple("early" if prey < "c" else "late" for _, prey, _, _ in rows)
    if by_volume:
        more |= {"volume": tuple(mass for _, _, _, mass in rows), "mass": None}
    assert_same(weigh_diet(table_of(rows, **more), resamples=50))


def test_whole_limits_stay_whole_and_gaps_and_empty_tables_come_back() -> None:
    few = weigh_diet(table_of(BY_HAND[:3]), resamples=50)
    breadth = through_json(few)
    assert breadth is not None and breadth.prey.levins_B is not None
    assert [type(limit) for limit in breadth.prey.levins_B[1:3]] == [int, int]
    assert_same(few)
    assert_same(weigh_diet(table_of([("s1", "a", 1, 2), ("s2", "a", 3, None), ("s3", "", None, None)]), resamples=50))
    assert_same(weigh_diet(table_of([("s1", "", None, None), ("s2", "", None, None)]), resamples=50))
    assert_same(weigh_diet(make_table(40, 15, 5), resamples=50))


def places(plain: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every part of plain data, the whole first."""
    yield path
    inner = plain.items() if isinstance(plain, dict) else enumerate(plain) if isinstance(plain, list) else ()
    for key, part in inner:
        yield from places(part, (*path, key))


def put(plain: Any, path: tuple[Any, ...], junk: Any) -> Any:
    """A copy of plain data with something else in one place."""
    if not path:
        return junk
    copy = json.loads(json.dumps(plain))
    part = copy
    for key in path[:-1]:
        part = part[key]
    part[path[-1]] = junk
    return copy


WRONG = (True, -1, 10**400, 2.5e300, float("nan"), float("inf"), "\ud800", "x", [], {}, [[]], {"x": [1]}, [1, 2, 3, 4])


def test_no_part_may_be_of_another_shape() -> None:
    plain = json.loads(json.dumps(as_plain(weigh_diet(make_table(12, 5, 2), resamples=50))))
    dice = random.Random(7)
    taken = list(places(plain))
    refused = 0
    for path in dice.sample(taken, 400) + taken[:20]:
        for junk in WRONG:
            found = from_plain(put(plain, path, junk))
            if found is None:
                refused += 1
            else:  # a name may be any text, a limit any number; of measures, gaps, kinds and points there may be none
                assert junk in ("x", -1, [], {}), path
                assert json.loads(json.dumps(as_plain(found))) == put(plain, path, junk), path
    assert refused > 4_000


@pytest.mark.parametrize("junk", [None, 1, "", "twelve texts", [], {}, [None] * 12, {str(n): n for n in range(12)}])
def test_what_is_no_result_at_all(junk: Any) -> None:
    assert from_plain(junk) is None


@pytest.mark.parametrize(
    ("place", "junk"), [(0, 0), (1, 99), (4, "weight"), (5, None), (11, 0), (11, 1), (3, [0.5, 0.6, 0.7, "wilson"])]
)
def test_figures_that_cannot_be(place: int, junk: Any) -> None:
    plain = json.loads(json.dumps(as_plain(weigh_diet(table_of(BY_HAND), resamples=50))))
    assert from_plain(plain) is not None
    assert from_plain(put(plain, (place,), junk)) is None
