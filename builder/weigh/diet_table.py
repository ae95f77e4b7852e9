"""Reads a diet table in long form, one row for one kind of prey in one sample, and names every row that is wrong.

In: columns of text by heading: `sample`, `prey`, at least one of `count`, `mass_g`, `volume_ml`, perhaps `group` and
any further columns. A sample in which nothing was found is one row with an empty prey.
Out: a DietTable of numbers, and faults with the number of the row. There is no table where a fault makes its figures
unsafe. Refuses (ValueError) only columns of unequal length.
"""

import math
import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

FIGURES = {"count": "count", "mass": "mass_g", "volume": "volume_ml"}
MISSING = frozenset(("", "na", "n/a", "n.a.", "nan", "nd", "n.d.", "-", "–", "—", ".", "?", "null", "none", "nil"))
NOTHING = MISSING - {""} | {"empty", "nothing", "no prey", "no food"}
LARGEST = 1e12
MOST_KINDS, MOST_CELLS = 1_000, 5_000_000

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", re.ASCII)

Column = tuple[float | None, ...]


@dataclass(frozen=True)
class DietTable:
    """One entry per row in every column; a column the table lacks, or gives no figure in, is None.

    `prey` is empty in the row of an empty sample; `group` is the prey itself where the table names no group.
    `mass` is in grams, `volume` in millilitres; a figure that is missing is None.
    """

    sample: tuple[str, ...]
    prey: tuple[str, ...]
    group: tuple[str, ...]
    count: Column | None = None
    mass: Column | None = None
    volume: Column | None = None
    cluster: tuple[str, ...] | None = None


@dataclass(frozen=True)
class TableFault:
    """What is wrong with a table, in the row and column named (None: with the table as a whole)."""

    message: str
    mend: str
    row: int | None = None
    column: str | None = None


def read_table(
    columns: Mapping[str, Sequence[str]],
    *,
    cluster: str | None = None,
    examined: int | None = None,
    empty: int | None = None,
    row_numbers: Sequence[int] | None = None,
) -> tuple[DietTable | None, tuple[TableFault, ...]]:
    """The table and its faults, in the order of the rows.

    `cluster` is the heading of the column whose samples belong together; `examined` and `empty` are the numbers of
    samples the record declares; `row_numbers` are the rows' numbers in the file, 2, 3, … if left out.
    """
    plain = partial(unicodedata.normalize, "NFC")
    cells = {name: [*map(plain, map(str.strip, column))] for name, column in columns.items()}
    lengths = {len(column) for column in cells.values()}
    if len(lengths) > 1 or (row_numbers is not None and lengths - {len(row_numbers)}):
        raise ValueError("the columns of a table must be of one length")
    whole = tuple(_find_missing_columns(cells, cluster))
    if whole:
        return None, whole
    rows = list(row_numbers) if row_numbers is not None else list(range(2, 2 + lengths.pop()))
    figures = {name: _read_figures(cells[heading]) for name, heading in FIGURES.items() if heading in cells}
    prey, sample = cells["prey"], cells["sample"]
    given = zip(prey, cells.get("group", prey), strict=True)
    group = [of_prey or kind if kind else "" for kind, of_prey in given]
    faults = [
        *_find_bad_cells(cells, rows),
        *_find_bad_rows(cells, figures, rows),
        *_find_contradictions(cells, group, cluster, rows),
        *_find_mixed_marks(cells, rows),
        *_find_too_much(prey, sample),
    ]
    unsafe = bool(faults)
    faults += _find_miscounts(sample, prey, examined, empty)
    faults.sort(key=lambda fault: (fault.row is None, fault.row or 0))
    table = DietTable(
        tuple(sample),
        tuple(prey),
        tuple(group),
        cluster=tuple(cells[cluster]) if cluster else None,
        **{name: tuple(column) for name, column in figures.items() if any(figure for figure in column)},
    )
    return (None if unsafe else table), tuple(faults)


def _find_missing_columns(cells: Mapping[str, Sequence[str]], cluster: str | None) -> Iterator[TableFault]:
    has = "it has " + (", ".join(f"`{name}`" for name in cells) or "none")
    for name in ("sample", "prey"):
        if name not in cells:
            yield TableFault(f"the table has no column `{name}`; {has}", f"add a column headed `{name}`", column=name)
    if not cells.keys() & set(FIGURES.values()):
        mend = "add a column `count`, `mass_g` or `volume_ml`"
        yield TableFault(f"the table has no column of figures; {has}", mend)
    if cluster and cluster not in cells:
        mend = f"add a column headed `{cluster}`, or leave `cluster` out"
        yield TableFault(f"the table has no column `{cluster}` to cluster by; {has}", mend, column=cluster)
    if cells and not any(cells.values()):
        yield TableFault("the table holds no rows", "add a row for each kind of prey in each sample")


def _read_figures(column: Sequence[str]) -> list[float | None]:
    """None where a figure is missing or is none."""
    figures = {cell: float(cell) + 0.0 if _NUMBER.fullmatch(cell) else None for cell in set(column)}
    return [figures[cell] for cell in column]


def _find_bad_cells(cells: Mapping[str, Sequence[str]], rows: Sequence[int]) -> Iterator[TableFault]:
    shares = [name for name in cells if name == "share" or name.endswith("_share")]
    for heading in (*(name for name in FIGURES.values() if name in cells), *shares):
        bad = {cell: fault for cell in set(cells[heading]) if (fault := _judge_cell(cell, share=heading in shares))}
        for row, cell in zip(rows, cells[heading], strict=True) if bad else ():
            if cell in bad:
                message, mend = bad[cell]
                yield TableFault(f"`{heading}` is `{cell}`, {message}", mend, row, heading)


def _judge_cell(cell: str, *, share: bool) -> tuple[str, str] | None:
    """What is wrong with a figure, and the mend; None where it is sound or missing."""
    if cell.lower() in MISSING:
        return None
    if not _NUMBER.fullmatch(cell):
        return "which is not a number", "write a plain number with a full stop for decimals, or leave the cell empty"
    figure = float(cell)
    if figure < 0:
        return "less than nothing", "correct the sign"
    if share and figure > 1:
        return "but a share is at most 1", "write shares from 0 to 1: 0.45 for 45 %"
    return None if figure <= LARGEST else ("too large for a sample", "check the unit")


def _find_bad_rows(
    cells: Mapping[str, Sequence[str]], figures: Mapping[str, Sequence[float | None]], rows: Sequence[int]
) -> Iterator[TableFault]:
    for place, (row, sample, prey) in enumerate(zip(rows, cells["sample"], cells["prey"], strict=True)):
        if not sample:
            yield TableFault("the row names no sample", "write which sample it belongs to", row, "sample")
        if prey.lower() in NOTHING:
            mend = "leave `prey` empty where nothing was found; write `unidentified` where it could not be told"
            yield TableFault(f"`prey` is `{prey}`, which would count as a kind of prey", mend, row, "prey")
            continue
        found = [column[place] for column in figures.values()]
        if not prey and any(found):
            mend = "name the prey, or `unidentified`; or take the figures out if the sample was empty"
            yield TableFault(f"sample `{sample}` has figures here but no prey", mend, row, "prey")
        elif prey and not any(found):
            blank = (cells[FIGURES[name]][place] for name, column in figures.items() if column[place] is None)
            if any(cell.lower() not in MISSING for cell in blank):
                continue  # of such a cell more was said above
            every = "no figure at all" if all(figure is None for figure in found) else "nothing but 0"
            mend = "leave the row out if it was not there; give its count if it was too little to weigh"
            yield TableFault(f"`{prey}` in sample `{sample}` has {every}", mend, row)


def _find_contradictions(
    cells: Mapping[str, Sequence[str]], group: Sequence[str], cluster: str | None, rows: Sequence[int]
) -> Iterator[TableFault]:
    first_row: dict[tuple[str, str], int] = {}
    said: dict[tuple[str, str], tuple[str, int]] = {}
    sound: set[tuple[str, str]] = set()
    clusters = cells[cluster] if cluster else [""] * len(rows)
    for row, sample, prey, of_prey, part in zip(rows, cells["sample"], cells["prey"], group, clusters, strict=True):
        kind, before = prey or "an empty sample", first_row.setdefault((sample, prey), row)
        if before != row:
            mend = "add the two rows up, or take one out"
            yield TableFault(f"sample `{sample}` has `{kind}` twice, first in row {before}", mend, row)
        filled, start = said.setdefault(("filled", sample), ("prey" if prey else "", row))
        if bool(filled) != bool(prey):
            mend = "take out the row with the empty prey, or the rows with prey"
            yield TableFault(f"sample `{sample}` is empty in one row and holds prey in another ({start})", mend, row)
        if cluster and not part:
            yield TableFault(f"`{cluster}` is empty", f"write the `{cluster}` of every sample", row, cluster)
        elif said.setdefault(("cluster", sample), (part, row))[0] != part:
            other, start = said["cluster", sample]
            mend = f"give all rows of a sample the same `{cluster}`"
            yield TableFault(f"sample `{sample}` is in `{part}` here, in `{other}` in row {start}", mend, row, cluster)
        if (prey, of_prey) not in sound:
            wrong = list(_judge_names(said, row, prey, of_prey))
            yield from wrong
            if not wrong:
                sound.add((prey, of_prey))


def _judge_names(said: dict[tuple[str, str], tuple[str, int]], row: int, prey: str, group: str) -> Iterator[TableFault]:
    """Whether a kind of prey and its group are named as in the rows before, which `said` holds."""
    if said.setdefault(("group", prey), (group, row))[0] != group:
        other, start = said["group", prey]
        mend = "put a kind of prey into one group throughout"
        yield TableFault(f"`{prey}` is in group `{group}` here, in `{other}` in row {start}", mend, row, "group")
    for heading, name in (("prey", prey), ("group", group)):
        spelt, start = said.setdefault((f"spelling of {heading}", name.casefold()), (name, row))
        if spelt != name:
            mend = "spell it one way throughout; two spellings count as two kinds"
            yield TableFault(f"`{name}` is spelt `{spelt}` in row {start}", mend, row, heading)


def _find_mixed_marks(cells: Mapping[str, Sequence[str]], rows: Sequence[int]) -> Iterator[TableFault]:
    """Blank in one place and `NA` in another: does one mean zero? Blanks beside an empty prey stand for no figure."""
    first: dict[str, tuple[int, str]] = {}
    for heading in FIGURES.values():
        for row, cell, prey in zip(rows, cells.get(heading, ()), cells["prey"], strict=False):
            if cell.lower() in MISSING and (cell or prey) and row < first.get(cell, (math.inf,))[0]:
                first[cell] = (row, heading)
    marks = sorted(first, key=lambda mark: first[mark])
    for mark in marks[1:]:
        row, heading = first[mark]
        name, other = (f"`{word}`" if word else "an empty cell" for word in (mark, marks[0]))
        mend = "mark what was not measured in one way, and write 0 for what was measured and nil"
        yield TableFault(f"a missing figure is {name} here and {other} in row {first[marks[0]][0]}", mend, row, heading)


def _find_too_much(prey: Sequence[str], sample: Sequence[str]) -> Iterator[TableFault]:
    kinds, samples = len(set(prey)), len(set(sample))
    if kinds > MOST_KINDS or kinds * samples > MOST_CELLS:
        mend = f"lump the prey into at most {MOST_KINDS} kinds; kinds times samples may be {MOST_CELLS}"
        yield TableFault(f"{kinds} kinds of prey in {samples} samples are too many to weigh", mend)


def _find_miscounts(
    sample: Sequence[str], prey: Sequence[str], examined: int | None, empty: int | None
) -> Iterator[TableFault]:
    there = len(set(sample))
    vacant = there - len({name for name, kind in zip(sample, prey, strict=True) if kind})
    if examined is not None and examined != there:
        mend = "correct `examined`, or add a row with an empty prey for each sample in which nothing was found"
        yield TableFault(f"`examined` says {examined} samples, the table holds {there}", mend)
    if empty is not None and empty != vacant:
        mend = "correct `empty`, or add a row with an empty prey for each sample in which nothing was found"
        yield TableFault(f"`empty` says {empty} samples, the table holds {vacant}", mend)
