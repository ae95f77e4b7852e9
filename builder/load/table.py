"""Read a diet table: text of a CSV file to whole columns.

In: the decoded text, one row for one kind of prey in one sample, under the header
`sample,prey,group,count,mass_g,volume_ml` in any order, with at least one of the last three and any further columns.
Comma, semicolon or tab parts the cells; quoted cells may hold any of them and line breaks.  A sample in which nothing
was found is one row with an empty prey.

Out: a `Table` whose every cell can be trusted, or no table and the faults, each with line and character.  Refuses, as
faults: NUL characters, broken quotation, cells too many or too few, numbers in any notation but plain decimal (decimal
commas, thousands marks, `nan`, `1_000`, units), rows that contradict one another.
"""

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from rapidfuzz.fuzz import ratio

NAMES = ("sample", "prey", "group")
MEASURES = ("count", "mass_g", "volume_ml")
_MOST_FAULTS = 50
# Likeness of 100 from which a name is a near miss: `pray` for `prey` is 75, `mass` for `mass_g` 80, `dry_mass_g` 75.
_ALIKE = {**dict.fromkeys(NAMES, 75.0), **dict.fromkeys(MEASURES, 80.0)}

# At most 15 digits on either side and a one-digit exponent: nothing that rounds to infinity or loses a digit.
_NUMBER = re.compile(r"(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})(?:[eE][+-]?0?[0-9])?")
_WHOLE = re.compile(r"[0-9]{1,15}(?:\.0*)?")
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

    def numbers(self, name: str) -> tuple[float | None, ...]:
        """The cells of one of `measures` as numbers, None where nothing is given."""
        return tuple(float(cell) if cell else None for cell in self.columns[name])

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
    for index, name, message, mend in (*_number_faults(table), *_row_faults(table)):
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

    def at(index: int) -> tuple[int, int]:
        return _find_cell(lines, delimiter, row, index)

    extra = [name for name in names if name not in NAMES and name not in MEASURES]
    for index, name in enumerate(names):
        if not name:
            yield TableFault(*at(index), "a column has no name", "name it in the first row, or take the column out")
        elif name in names[:index]:
            yield TableFault(*at(index), f"there are two columns `{name}`", "give each column a name of its own")
    # A table that has some measure may do without the others, so only a near miss of those is a fault.
    for wanted in (*NAMES, *MEASURES):
        if wanted in names:
            continue
        near = max(extra, key=lambda name: _likeness(name, wanted), default="")
        if near and _likeness(near, wanted) >= _ALIKE[wanted]:
            extra.remove(near)
            message = f"there is no column `{wanted}`, but a column `{near}`: did you mean `{wanted}`?"
            mend = f"name it `{wanted}`" + (" and give it in that unit" if "_" in wanted else "")
            yield TableFault(*at(names.index(near)), message, mend)
        elif wanted in NAMES:
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
        fits = (_WHOLE if name == "count" else _NUMBER).fullmatch
        wrong = {cell for cell in set(table.columns[name]) if cell and not fits(cell)}
        for index, cell in enumerate(table.columns[name]) if wrong else ():
            if cell in wrong:
                message, mend = _judge_number(name, cell)
                yield index, name, message, mend


def _judge_number(name: str, cell: str) -> tuple[str, str]:
    """Message and mend for a cell that is no number as we read them."""
    shown = cell if len(cell) <= 40 else cell[:39] + "…"
    message = f"`{name}` is `{shown}`, which is not a plain number"
    unit = _WITH_UNIT.fullmatch(cell)
    if cell.startswith(("-", "−")) and _NUMBER.fullmatch(cell[1:]):
        return f"`{name}` is `{shown}`, which is below zero", "correct the number, or leave the cell empty"
    if _NUMBER.fullmatch(cell):
        return f"`{name}` is `{shown}`, which is not a whole number", "count whole animals; give shares as `mass_g`"
    if _DECIMAL_COMMA.fullmatch(cell):
        left, right = cell.split(",")
        thousands = f", or `{left}{right}` if the comma parts thousands" if len(right) == 3 else ""
        return f"`{name}` is `{shown}`, with a comma in it", f"write `{left}.{right}`{thousands}"
    if _THOUSANDS.fullmatch(cell):
        return message, f"write `{re.sub(r'[^0-9.]', '', cell)}`, without marks between the digits"
    if unit:
        return message, f"write `{unit[1]}`; the unit stands in the name of the column"
    if not any(map(str.isdigit, cell)):
        return message, "leave the cell empty where nothing was measured"
    return message, "write one number in plain digits, such as `0.25`"


def _row_faults(table: Table) -> Iterator[tuple[int, str, str, str]]:
    """What contradicts itself: a prey without sample, group or amount, or twice in a sample; a sample empty and not."""
    columns, measures = table.columns, table.measures
    samples, preys, groups = (columns[name] for name in NAMES)
    amounts = tuple(map("".join, zip(*(columns[name] for name in measures), strict=True)))
    whole = all(samples) and all(preys) and all(groups) and all(amounts)
    rows = zip(samples, preys, groups, amounts, strict=True)
    for index, (sample, prey, group, amount) in enumerate(() if whole else rows):
        if sample and prey and group and amount:
            continue
        if not sample:
            yield index, "sample", "the row names no `sample`", "say which stomach, pellet or dropping it is"
        elif not prey:
            if group or amount.strip("0."):
                message = f"sample `{sample}` has a row with no `prey` and yet a group or an amount"
                yield index, "prey", message, "name the prey; leave the whole row empty where nothing was found"
        elif not group:
            message = f"`{prey}` in sample `{sample}` has no `group`"
            yield index, "group", message, "name the group it counts towards, such as `insects` or `other`"
        else:
            message = f"`{prey}` in sample `{sample}` has neither count, mass nor volume"
            yield index, measures[0], message, "give at least one of them"
    for index, cell in enumerate(columns.get("count", ())):
        if cell[:1] == "0" and not cell.strip("0.") and preys[index]:
            message = f"`{preys[index]}` in sample `{samples[index]}` has a `count` of 0"
            yield index, "count", message, "take the row out, or leave the cell empty where nothing was counted"
    pairs = list(zip(samples, preys, strict=True))
    if "" in preys or len(set(pairs)) < len(pairs):
        yield from _sample_faults(table, pairs)


def _sample_faults(table: Table, pairs: list[tuple[str, str]]) -> Iterator[tuple[int, str, str, str]]:
    """Samples that say a thing twice, or that nothing was found and that something was."""
    seen: dict[tuple[str, str], int] = {}
    full: dict[str, int] = {}
    for index, (sample, prey) in enumerate(pairs):
        if prey:
            full.setdefault(sample, index)
        first = seen.setdefault((sample, prey), index)
        if sample and first != index:
            what = f"`{prey}`" if prey else "an empty row"
            message = f"sample `{sample}` has {what} twice, first on line {table.rows[first]}"
            yield index, "prey", message, "add the two rows up, or take one out"
    for (sample, prey), index in seen.items():
        if sample and not prey and sample in full:
            message = f"sample `{sample}` is empty here and holds prey on line {table.rows[full[sample]]}"
            yield index, "prey", message, "take this row out, or give it another sample"


def _find_cell(lines: list[str], delimiter: str, row: int, index: int) -> tuple[int, int]:
    """Line and character at which cell `index` of the row that begins on line `row` begins."""
    quoted = in_quotes = False  # the cell begins with a mark; the sign stands between marks
    for number in range(row, len(lines) + 1):
        if index == 0:
            return number, 1
        line = lines[number - 1]
        fresh = not in_quotes
        for at, sign in enumerate(line, 1):
            if fresh:
                quoted = in_quotes = sign == '"'
                fresh = False
                if not quoted and sign != delimiter:
                    continue
            elif sign == '"' and quoted:
                in_quotes = not in_quotes
            if sign == delimiter and not in_quotes:
                index -= 1
                fresh = True
                if index == 0:
                    return number, at + 1
        if not in_quotes:
            break
    return row, 1


def _in_order(faults: list[TableFault]) -> tuple[TableFault, ...]:
    faults.sort(key=lambda fault: (fault.row, fault.column))
    more = len(faults) - _MOST_FAULTS
    if more <= 0:
        return tuple(faults)
    rest = faults[_MOST_FAULTS]
    message = f"{more} more faults follow in this table"
    return (*faults[:_MOST_FAULTS], TableFault(rest.row, rest.column, message, "mend those above first"))
