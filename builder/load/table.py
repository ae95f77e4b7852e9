"""Read a diet table: text of a CSV file to columns of text.

In: the decoded text, one row for one kind of prey in one sample, under the header
`sample,prey,group,count,mass_g,volume_ml` in any order; `group` may be left out, of the last three at least one is
needed, and any further columns are kept.  Comma, semicolon or tab parts the cells; quoted cells may hold any of them
and line breaks.

Out: a `Table` that knows where each cell stands, or no table and the faults, each with line and character.  Refuses, as
faults: NUL characters, broken quotation, cells too many or too few, a header that misses or doubles a name, and amounts
in another notation than plain decimal (decimal comma, thousands marks, `1_000`, a unit, a range).  What the rows mean
together, and which words stand for a missing amount, is judged where the table is weighed.
"""

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import islice

from rapidfuzz.fuzz import ratio

NAMES = ("sample", "prey", "group")
NEEDED = ("sample", "prey")
MEASURES = ("count", "mass_g", "volume_ml")
_MOST_FAULTS = 50
# Likeness of 100 from which a name is a near miss: `pray` for `prey` is 75, `mass` for `mass_g` 80, `dry_mass_g` 75.
_ALIKE = {**dict.fromkeys(NAMES, 75.0), **dict.fromkeys(MEASURES, 80.0)}

_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_DIGIT = re.compile(r"\d")
_DECIMAL_COMMA = re.compile(r"[0-9]+,[0-9]+")
_THOUSANDS = re.compile(r"[0-9]{1,3}(?:[,_'’\s][0-9]{3})+(?:\.[0-9]+)?|[0-9]+(?:_[0-9]+)+")
_WITH_UNIT = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*[A-Za-zµ%]{1,8}")


@dataclass(frozen=True, slots=True)
class TableFault:
    """A fault at line `row` and character `column` of the file, both from 1."""

    row: int
    column: int
    message: str
    mend: str


@dataclass(frozen=True, slots=True)
class Table:
    """A diet table by columns: `columns[name][i]` is the trimmed cell of row `i`, which begins on line `rows[i]`."""

    columns: Mapping[str, tuple[str, ...]]
    rows: tuple[int, ...]
    delimiter: str = field(default=",", repr=False)
    text: str = field(default="", repr=False)

    @property
    def measures(self) -> tuple[str, ...]:
        """Those of `count`, `mass_g`, `volume_ml` that the table has."""
        return tuple(name for name in MEASURES if name in self.columns)

    def find_cell(self, index: int, name: str) -> tuple[int, int]:
        """Line and character, from 1, at which the cell of row `index` in column `name` begins."""
        return _find_cell(self.text.split("\n"), self.delimiter, self.rows[index], list(self.columns).index(name))


def read_table(text: str) -> tuple[Table | None, tuple[TableFault, ...]]:
    """Return the table and no faults, or None and the faults by place: at most 51, the last sums up the rest."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    if "\0" in text:
        row = next(n for n, line in enumerate(lines, 1) if "\0" in line)
        column = lines[row - 1].index("\0") + 1
        return None, (
            TableFault(
                row, column, "the table holds a NUL character", "save it again as CSV in UTF-8, not as a workbook"
            ),
        )
    first = next((n for n, line in enumerate(lines) if line.strip()), None)
    if first is None:
        return None, (TableFault(1, 1, "the table is empty", _header_mend()),)
    delimiter = _find_delimiter(lines[first])
    faults: list[TableFault] = []
    rows, cells = _read_rows(lines, delimiter, faults)
    if not rows:
        return None, _in_order(faults or [TableFault(first + 1, 1, "the table is empty", _header_mend())])
    names = [name.strip() for name in cells[0]]
    wrong = list(_header_faults(names, lines, delimiter, rows[0]))
    if wrong:
        return None, _in_order(faults + wrong)
    if len(rows) == 1 and not faults:
        faults.append(TableFault(rows[0], 1, "the table has a header and no rows", "add a row for each kind of prey"))
    width = len(names)
    odd = [index for index, row in enumerate(cells) if len(row) != width]
    if odd:
        faults += [_width_fault(rows[index], cells[index], names, delimiter, lines) for index in odd]
        left_out = set(odd)
        rows = [row for index, row in enumerate(rows) if index not in left_out]
        cells = [row for index, row in enumerate(cells) if index not in left_out]
    by_column = [column[1:] for column in zip(*cells, strict=True)]
    columns = {name: tuple(map(str.strip, cells)) for name, cells in zip(names, by_column, strict=True)}
    table = Table(columns, tuple(rows[1:]), delimiter, text)
    for index, name, message, mend in _number_faults(table):
        place = table.rows[index], 1
        if len(faults) < 4 * _MOST_FAULTS:
            place = _find_cell(lines, delimiter, table.rows[index], names.index(name))
        faults.append(TableFault(*place, message, mend))
    return (None if faults else table), _in_order(faults)


def _header_mend() -> str:
    return f"begin it with the header `{','.join((*NAMES, *MEASURES))}`"


def _find_delimiter(header: str) -> str:
    """The sign that parts most of the header into names we know, else the most frequent."""

    def score(sign: str) -> tuple[int, int]:
        names = [name.strip(' "').lower() for name in header.split(sign)]
        return sum(name in NAMES or name in MEASURES for name in names), len(names)

    return max(",;\t", key=score)


def _read_rows(lines: list[str], delimiter: str, faults: list[TableFault]) -> tuple[list[int], list[list[str]]]:
    """The lines on which the rows begin and their cells, without blank rows; broken quotation goes to `faults`."""
    rows: list[int] = []
    table: list[list[str]] = []
    reader = csv.reader((line + "\n" for line in lines), delimiter=delimiter, strict=True)
    while True:
        begins = reader.line_num + 1
        try:
            for cells in reader:
                if cells and (cells[0].strip() or "".join(cells).strip()):
                    rows.append(begins)
                    table.append(cells)
                begins = reader.line_num + 1
            return rows, table
        except csv.Error as error:
            if "field larger" in str(error):
                message = f"a cell has more than {csv.field_size_limit()} characters"
            elif "unexpected end" in str(error):
                message = "a quotation mark that opens in this row is never closed"
            else:
                message = "text follows a closing quotation mark"
            mend = 'put the whole cell in quotation marks and write a mark inside it twice: `"he said ""no"""`'
            line = lines[begins - 1]
            faults.append(TableFault(begins, line.find('"') + 1 or 1, message, mend))


def _header_faults(names: list[str], lines: list[str], delimiter: str, row: int) -> Iterator[TableFault]:
    """What is wrong with the header: names empty, twice, missing or nearly right."""

    extra = [name for name in names if name not in NAMES and name not in MEASURES]
    seen: set[str] = set()
    starts = dict(enumerate(_cell_starts(lines, delimiter, row)))
    for index, name in enumerate(names):
        if not name:
            yield TableFault(
                *starts.get(index, (row, 1)), "a column has no name", "name it in the first row, or take the column out"
            )
        elif name in seen:
            yield TableFault(
                *starts.get(index, (row, 1)), f"there are two columns `{name}`", "give each column a name of its own"
            )
        seen.add(name)
    # A table that has some measure may do without the others, so only a near miss of those is a fault.
    for wanted in (*NAMES, *MEASURES):
        if wanted in names:
            continue
        near = max(extra, key=lambda name: _likeness(name, wanted), default="")
        if near and _likeness(near, wanted) >= _ALIKE[wanted]:
            extra.remove(near)
            message = f"there is no column `{wanted}`, but a column `{near}`: did you mean `{wanted}`?"
            mend = f"name it `{wanted}`" + (" and give it in that unit" if "_" in wanted else "")
            yield TableFault(*starts.get(names.index(near), (row, 1)), message, mend)
        elif wanted in NEEDED:
            yield TableFault(row, 1, f"there is no column `{wanted}`", _header_mend())
        elif wanted == MEASURES[-1] and not any(
            name in names or any(_likeness(other, name) >= _ALIKE[name] for other in names) for name in MEASURES
        ):
            message = "none of the columns `count`, `mass_g`, `volume_ml` is there"
            yield TableFault(row, 1, message, "add at least one of them")


def _likeness(name: str, wanted: str) -> float:
    plain = name.lower().replace(" ", "_")
    return 100.0 if plain == wanted else ratio(plain, wanted)


def _width_fault(row: int, cells: list[str], names: list[str], delimiter: str, lines: list[str]) -> TableFault:
    more = len(cells) > len(names)
    message = f"the row has {len(cells)} cells, the header {len(names)}"
    mend = "give an empty cell where there is nothing" if not more else "take out what is too much"
    if more and delimiter == ",":
        mend = 'write decimals with a full stop (`0.5`), and put text that holds a comma in quotation marks: `"a, b"`'
    return TableFault(*_find_cell(lines, delimiter, row, min(len(cells), len(names)) - (not more)), message, mend)


def _number_faults(table: Table) -> Iterator[tuple[int, str, str, str]]:
    for name in table.measures:
        column = table.columns[name]
        wrong = {cell for cell in set(column) if _DIGIT.search(cell) and not _NUMBER.fullmatch(cell)}
        for index, cell in enumerate(column) if wrong else ():
            if cell in wrong:
                yield index, name, *_judge_number(name, cell)


def _judge_number(name: str, cell: str) -> tuple[str, str]:
    """Message and mend for a cell with digits that is no number as we read them."""
    shown = cell if len(cell) <= 40 else cell[:39] + "…"
    message = f"`{name}` is `{shown}`, which is not a plain number"
    if _DECIMAL_COMMA.fullmatch(cell):
        left, right = cell.split(",")
        thousands = f", or `{left}{right}` if the comma parts thousands" if len(right) == 3 else ""
        return f"`{name}` is `{shown}`, with a comma in it", f"write `{left}.{right}`{thousands}"
    if _THOUSANDS.fullmatch(cell):
        return message, f"write `{re.sub(r'[^0-9.]', '', cell)}`, without marks between the digits"
    unit = _WITH_UNIT.fullmatch(cell)
    if unit:
        return message, f"write `{unit[1]}`; the unit stands in the name of the column"
    return message, "write one number in plain digits, such as `0.25`, or leave the cell empty"


def _find_cell(lines: list[str], delimiter: str, row: int, index: int) -> tuple[int, int]:
    """Line and character at which cell `index` of the row that begins on line `row` begins."""
    return next(islice(_cell_starts(lines, delimiter, row), index, None), (row, 1))


def _cell_starts(lines: list[str], delimiter: str, row: int) -> Iterator[tuple[int, int]]:
    """Line and character at which each cell begins, of the row that begins on line `row`."""
    yield row, 1
    quoted = in_quotes = False  # the cell begins with a mark; the sign stands between marks
    for number in range(row, len(lines) + 1):
        fresh = not in_quotes
        for at, sign in enumerate(lines[number - 1], 1):
            if fresh:
                quoted = in_quotes = sign == '"'
                fresh = False
                if not quoted and sign != delimiter:
                    continue
            elif sign == '"' and quoted:
                in_quotes = not in_quotes
            if sign == delimiter and not in_quotes:
                fresh = True
                yield number, at + 1
        if not in_quotes:
            return


def _in_order(faults: list[TableFault]) -> tuple[TableFault, ...]:
    faults.sort(key=lambda fault: (fault.row, fault.column))
    more = len(faults) - _MOST_FAULTS
    if more <= 0:
        return tuple(faults)
    rest = faults[_MOST_FAULTS]
    message = f"{more} more faults follow in this table"
    return (*faults[:_MOST_FAULTS], TableFault(rest.row, rest.column, message, "mend those above first"))
