"""Reading a diet table: every fault names its row, and no table comes of figures that cannot be trusted."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.weigh.diet import weigh_diet
from builder.weigh.diet_table import TableFault, read_table

HEADINGS = ("sample", "prey", "group", "count", "mass_g", "year")
GOOD = ("1,moth,insects,2,0.5,2021", "1,beetle,insects,1,0.2,2021", "2,moth,insects,1,0.4,2022", "3,,,,,2022")


def columns(*rows: str, headings: tuple[str, ...] = HEADINGS) -> dict[str, list[str]]:
    cells = [row.split(",") for row in rows]
    return {name: [row[place] for row in cells] for place, name in enumerate(headings)}


def faults_of(*rows: str, **more: object) -> list[TableFault]:
    return list(read_table(columns(*rows), **more)[1])  # type: ignore[arg-type]


def test_a_good_table_has_no_faults() -> None:
    table, faults = read_table(columns(*GOOD), cluster="year", examined=3, empty=1)
    assert faults == () and table is not None
    assert table.prey == ("moth", "beetle", "moth", "") and table.count == (2, 1, 1, None)
    assert table.volume is None and table.cluster == ("2021", "2021", "2022", "2022")


def test_a_prey_without_group_is_its_own() -> None:
    table, _ = read_table(columns("1,moth,,1,0.5,2021", "1,beetle,insects,1,1,2021"))
    assert table is not None and table.group == ("moth", "insects")
    table, _ = read_table({"sample": ["1"], "prey": ["moth"], "count": ["1"]})
    assert table is not None and table.group == ("moth",)


@pytest.mark.parametrize(
    ("row", "column", "message"),
    [
        ("4,fly,insects,-1,0.1,2022", "count", "`count` is `-1`, less than nothing"),
        ("4,fly,insects,1,-0.1,2022", "mass_g", "`mass_g` is `-0.1`, less than nothing"),
        ("4,fly,insects,two,0.1,2022", "count", "`count` is `two`, which is not a number"),
        ("4,fly,insects,1_000,0.1,2022", "count", "`count` is `1_000`, which is not a number"),
        ("4,fly,insects,٣,0.1,2022", "count", "`count` is `٣`, which is not a number"),
        ("4,fly,insects,inf,0.1,2022", "count", "`count` is `inf`, which is not a number"),
        ("4,fly,insects,1,1e300,2022", "mass_g", "`mass_g` is `1e300`, too large for a sample"),
        ("1,moth,insects,1,0.1,2021", None, "sample `1` has `moth` twice, first in row 2"),
        ("3,fly,insects,1,0.1,2022", None, "sample `3` is empty in one row and holds prey in another (5)"),
        ("3,,,,,2022", None, "sample `3` has `an empty sample` twice, first in row 5"),
        (",fly,insects,1,0.1,2022", "sample", "the row names no sample"),
        ("4,,insects,1,0.1,2022", "prey", "sample `4` has figures here but no prey"),
        ("4,none,,,,2022", "prey", "`prey` is `none`, which would count as a kind of prey"),
        ("4,fly,insects,0,0.0,2022", None, "`fly` in sample `4` has nothing but 0"),
        ("4,fly,insects,,,2022", None, "`fly` in sample `4` has no figure at all"),
        ("4,moth,birds,1,1,2022", "group", "`moth` is in group `birds` here, in `insects` in row 2"),
        ("4,Moth,insects,1,1,2022", "prey", "`Moth` is spelt `moth` in row 2"),
        ("2,fly,insects,1,1,2023", "year", "sample `2` is in `2023` here, in `2022` in row 4"),
        ("4,fly,insects,1,1,", "year", "`year` is empty"),
    ],
)
def test_each_fault_names_its_row(row: str, column: str | None, message: str) -> None:
    table, faults = read_table(columns(*GOOD, row), cluster="year")
    assert table is None
    assert (6, column, message) in [(fault.row, fault.column, fault.message) for fault in faults]
    assert all(fault.row == 6 and fault.mend for fault in faults)


def test_marks_for_missing_figures_may_not_be_mixed() -> None:
    rows = ("1,moth,insects,2,,2021", "2,moth,insects,2,NA,2021", "3,moth,insects,1,-,2021", "4,,,,,2021")
    assert [(fault.row, fault.message) for fault in faults_of(*rows)] == [
        (3, "a missing figure is `NA` here and an empty cell in row 2"),
        (4, "a missing figure is `-` here and an empty cell in row 2"),
    ]
    one_way = ("1,moth,insects,2,NA,2021", "2,moth,insects,2,NA,2021", "4,,,,,2021")
    assert faults_of(*one_way) == []


def test_a_column_of_shares_holds_shares() -> None:
    cells = columns(*GOOD) | {"gut_share": ["0.5", "45", "1", ""]}
    table, (fault,) = read_table(cells)
    assert table is None and (fault.row, fault.column) == (3, "gut_share")
    assert fault.message == "`gut_share` is `45`, but a share is at most 1"


def test_examined_and_empty_are_held_to_what_is_there() -> None:
    table, faults = read_table(columns(*GOOD), examined=34, empty=3)
    assert table is not None  # the figures are sound, the record is not
    assert [fault.message for fault in faults] == [
        "`examined` says 34 samples, the table holds 3",
        "`empty` says 3 samples, the table holds 1",
    ]


def test_columns_that_are_not_there() -> None:
    _, faults = read_table({"sample": ["1"], "food": ["moth"]}, cluster="year")
    assert [fault.message for fault in faults] == [
        "the table has no column `prey`; it has `sample`, `food`",
        "the table has no column of figures; it has `sample`, `food`",
        "the table has no column `year` to cluster by; it has `sample`, `food`",
    ]
    assert read_table({})[0] is None
    _, faults = read_table({"sample": [], "prey": [], "count": []})
    assert [fault.message for fault in faults] == ["the table holds no rows"]
    with pytest.raises(ValueError):
        read_table({"sample": ["1"], "prey": []})


def test_rows_carry_the_numbers_of_the_file() -> None:
    _, (fault,) = read_table(columns("1,moth,insects,x,1,2021"), row_numbers=[40])
    assert fault.row == 40


def test_a_table_too_large_to_weigh_is_refused() -> None:
    many = [str(number) for number in range(1200)]
    _, (fault,) = read_table({"sample": ["1"] * 1200, "prey": many, "count": ["1"] * 1200})
    assert fault.row is None and fault.message == "1200 kinds of prey in 1 samples are too many to weigh"


def test_a_column_without_a_single_figure_counts_for_none() -> None:
    table, faults = read_table(columns("1,moth,insects,1,,2021", "2,moth,insects,1,,2021"))
    assert faults == () and table is not None and table.mass is None


cells = st.sampled_from(["", "1", "2", "0", "-1", "NA", "moth", "Moth", "1.5", "1e9", "nan", "½"]) | st.text(max_size=4)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(*[cells] * 6), max_size=6), st.booleans(), st.none() | st.integers(0, 9))
def test_any_text_gives_a_table_or_faults(rows: list[tuple[str, ...]], clustered: bool, examined: int | None) -> None:
    given_columns = {name: [row[place] for row in rows] for place, name in enumerate(HEADINGS)}
    table, faults = read_table(given_columns, cluster="year" if clustered else None, examined=examined)
    assert table is not None or faults
    assert all(fault.message and fault.mend for fault in faults)
    if table is not None:
        weigh_diet(table, resamples=50)
