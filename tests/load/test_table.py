"""Diet tables: what is read whole, each fault at its line and character, and properties of any text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.load.table import MEASURES, NAMES, read_table
from tests.steps import count_steps

HEAD = "sample,prey,group,count,mass_g"
GOOD = f"{HEAD},volume_ml,year\n1,beetle,insects,2,0.25,,1964\n1,moth,insects,1,.5,3.0,1964\n2,,,,,,1965\n"


def faults_of(text: str) -> list[tuple[int, int, str, str]]:
    table, faults = read_table(text)
    assert (table is None) == bool(faults)
    return [(f.row, f.column, f.message, f.mend) for f in faults]


def only(text: str) -> tuple[int, int, str, str]:
    (fault,) = faults_of(text)
    return fault


def test_a_good_table_is_columns_of_text_with_lines() -> None:
    table, faults = read_table(GOOD)
    assert not faults and table is not None
    assert list(table.columns) == [*NAMES, *MEASURES, "year"]
    assert table.columns["prey"] == ("beetle", "moth", "") and table.columns["year"] == ("1964", "1964", "1965")
    assert table.rows == (2, 3, 4)
    assert table.measures == MEASURES
    assert table.columns["mass_g"] == ("0.25", ".5", "")
    assert table.find_cell(1, "group") == (3, 8)


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + GOOD,
        GOOD.replace("\n", "\r\n"),
        GOOD.replace("\n", "\r"),
        GOOD.replace(",", ";"),
        GOOD.replace(",", "\t"),
        GOOD.replace("moth", '"moth"').replace("year", '"year"'),
        GOOD.replace(",", " , "),
    ],
)
def test_other_ways_to_save_the_same_table(text: str) -> None:
    table, faults = read_table(text)
    assert not faults and table is not None
    assert table.columns == read_table(GOOD)[0].columns  # type: ignore[union-attr]


def test_blank_rows_do_not_count_and_do_not_shift_lines() -> None:
    table, faults = read_table(f"\n{HEAD}\n\n1,a,b,1,\n,,,,\n   \n2,a,b,1,\n\n")
    assert not faults and table is not None and table.rows == (4, 7)


def test_quoted_cells_hold_delimiters_marks_and_line_breaks() -> None:
    table, faults = read_table(f'{HEAD}\n1,"a, ""b""\nc",x,1,\n2,d,x,3,\n')
    assert not faults and table is not None
    assert table.columns["prey"] == ('a, "b"\nc', "d") and table.rows == (2, 4)
    assert table.find_cell(0, "group") == (3, 4) and table.find_cell(1, "count") == (4, 7)


@pytest.mark.parametrize(
    ("header", "column", "message", "mend"),
    [
        ("Sample,prey,group,count", 1, "did you mean `sample`?", "name it `sample`"),
        ("sample,pray,group,count", 8, "did you mean `prey`?", "name it `prey`"),
        ("sample,prey,groups,count", 13, "did you mean `group`?", "name it `group`"),
        ("sample,prey,group,mass", 19, "did you mean `mass_g`?", "name it `mass_g` and give it in that unit"),
        ("sample,prey,group,volume_cm3", 19, "did you mean `volume_ml`?", "name it `volume_ml`"),
        ("sample,prey,group,count,Mass G", 25, "did you mean `mass_g`?", "name it `mass_g`"),
        ("sample,group,count", 1, "there is no column `prey`", "begin it with the header"),
        ("sample,prey,group,year", 1, "none of the columns", "add at least one of them"),
        ("sample,prey,group,count,,x", 25, "a column has no name", "name it in the first row"),
        ("sample,prey,group,count,x,x", 27, "two columns `x`", "a name of its own"),
    ],
)
def test_header_faults(header: str, column: int, message: str, mend: str) -> None:
    row, at, said, way = only(header + "\n1,a,b,1\n")
    assert (row, at) == (1, column) and message in said and mend in way


def test_further_columns_that_look_like_a_measure_we_have_are_kept() -> None:
    table, faults = read_table("sample,prey,group,mass_g,dry_mass_g,subgroup\n1,a,b,1,0.5,c\n")
    assert not faults and table is not None and table.columns["dry_mass_g"] == ("0.5",)


@pytest.mark.parametrize(
    ("cell", "message", "mend"),
    [
        ("0,25", "with a comma in it", "write `0.25`"),
        ("1,250", "with a comma in it", "write `1.250`, or `1250` if the comma parts thousands"),
        ("1 250", "not a plain number", "write `1250`, without marks"),
        ("1_000", "not a plain number", "write `1000`, without marks"),
        ("12,345,678", "not a plain number", "write `12345678`"),
        ("3 g", "not a plain number", "write `3`; the unit"),
        ("<0.1", "not a plain number", "write one number"),
        ("1e9e9", "not a plain number", "write one number"),
        ("1," * 60, "not a plain number", "write one number"),
        ("٣", "not a plain number", "write one number"),
    ],
)
def test_numbers_in_another_notation_are_refused(cell: str, message: str, mend: str) -> None:
    row, column, said, way = only(f"sample;prey;group;mass_g\n1;a;b;1\n2;a;b; {cell}\n")
    assert (row, column) == (3, 7) and message in said and mend in way


@pytest.mark.parametrize("cell", ["1.2E-05", "5.", ".5", "+3", "-3", "NA", "–", "nan", ""])
def test_numbers_and_words_for_none_are_handed_on_as_text(cell: str) -> None:
    table, faults = read_table(f"sample,prey,mass_g\n1,a,{cell}\n")
    assert not faults and table is not None and table.columns["mass_g"] == (cell,)


def test_decimal_comma_in_a_comma_table_shows_as_a_cell_too_many() -> None:
    row, column, said, way = only("sample,prey,group,mass_g\n1,a,b,0,25\n")
    assert (row, column, said) == (2, 9, "the row has 5 cells, the header 4") and "`0.5`" in way


@pytest.mark.parametrize(
    ("body", "row", "column", "message"),
    [
        ("1,a,b,1", 2, 7, "the row has 4 cells, the header 5"),
        ("", 1, 1, "a header and no rows"),
        ('1,"a,b,1,\n2,a,b,1,', 2, 3, "never closed"),
        ('1,"a"x,b,1,', 2, 3, "text follows a closing quotation mark"),
        ("1," + "a" * 200_000 + ",b,1,", 2, 1, "a cell has more than"),
    ],
)
def test_row_faults(body: str, row: int, column: int, message: str) -> None:
    at_row, at_column, said, _ = only(f"{HEAD}\n{body}\n")
    assert (at_row, at_column) == (row, column) and message in said


def test_rows_after_broken_quotation_are_still_judged() -> None:
    found = faults_of(f'{HEAD}\n1,"a"x,b,1,\n2,a,b,3z9,\n')
    assert [fault[0] for fault in found] == [2, 3]


def test_empty_and_binary() -> None:
    assert only("")[2] == only(" \n\n")[2] == "the table is empty"
    assert only(f"{HEAD}\n1,a\0,b,1,\n")[:3] == (2, 4, "the table holds a NUL character")


def test_many_faults_are_summed_up() -> None:
    found = faults_of(f"{HEAD}\n" + "".join(f"{n},a,b,1x3,\n" for n in range(500)))
    assert len(found) == 51 and found[-1][0] == 52 and found[-1][2] == "450 more faults follow in this table"


def test_a_hundred_thousand_rows_are_read() -> None:
    text = HEAD + "\n" + "".join(f"s{n // 5},prey {n % 5},insects,{n % 9 + 1},{n % 7}.25\n" for n in range(100_000))
    table, faults = read_table(text)
    assert not faults and table is not None and len(table.rows) == 100_000


PIECES = st.sampled_from(
    [
        *NAMES,
        *MEASURES,
        ",",
        ";",
        "\t",
        "\n",
        "\r\n",
        '"',
        "1",
        "0.5",
        "0,5",
        "a",
        " ",
        "\0",
        "\ufeff",
        "nan",
        "é",
        "sampel",
    ]
)


@given(st.one_of(st.text(max_size=80), st.lists(PIECES, max_size=60).map("".join)))
def test_any_text_gives_a_table_or_faults_in_place(text: str) -> None:
    table, faults = read_table(text)
    assert (table is None) == bool(faults)
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for fault in faults:
        assert 1 <= fault.row <= len(lines) and 1 <= fault.column <= len(lines[fault.row - 1]) + 1
        assert fault.message and fault.mend
    if table is not None:
        assert {len(column) for column in table.columns.values()} == {len(table.rows)}


@given(st.lists(st.text(st.sampled_from('a b,;"\n'), max_size=8), min_size=1, max_size=5))
def test_find_cell_agrees_with_the_reader(preys: list[str]) -> None:
    rows = [f'{n},"{prey.replace(chr(34), chr(34) * 2)}x",g,1,' for n, prey in enumerate(preys)]
    table, faults = read_table("\n".join([HEAD, *rows]))
    assert not faults and table is not None
    lines = table.text.split("\n")
    for index, prey in enumerate(preys):
        row, column = table.find_cell(index, "prey")
        assert lines[row - 1][column - 1] == '"'
        row, column = table.find_cell(index, "group")
        assert lines[row - 1][column - 1 :] == "g,1," and row == table.rows[index] + prey.count("\n")


@pytest.mark.parametrize("header", ["name,", '"a";', ","])
def test_a_header_of_many_columns_is_read_once(header: str) -> None:
    """Four times as many columns may take five times as many steps, not sixteen; common practice, no source."""
    few, many = (count_steps(lambda text=header * count: read_table(text)) for count in (500, 2000))  # type: ignore[misc]
    assert many < 5 * few
