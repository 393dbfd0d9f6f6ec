"""A workbook with a sheet a student, made by a school: a table, or a name and its value on each line, and no code."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from marking.intake.entries import SINGLE, Batch, Gathered, Sheaf, WrittenUnit, read_entry
from marking.intake.forms.wide import WideSheet
from marking.intake.grids import (
    MAX_COLUMNS,
    Grid,
    HeadingRow,
    Vocabulary,
    cell_name,
    find_headings,
    fold,
    is_empty,
    person_called,
    text_of,
)
from marking.intake.people import RosterIndex, code_of, is_of_the_class
from marking.intake.remarks import quote
from marking.write_up import Weight
from rubrics.faults import InputError
from rubrics.patterns import late_pattern

_NO_CODE = late_pattern(r"(?:sheet|table|tabelle|feuille?|hoja|foglio|blad|ark|results?|readings?|data)? ?\(?\d*\)?")
"""What programs, and teachers in a hurry, call a sheet: its name is nobody's."""
_FEWEST_SHEETS = 2
_MOST_NAMED = 8
"""Names of sheets that a remark lists."""
_MOST_LINES = 500
"""Of a student's sheet; what stands below is looked at as rows of a table only."""
_FEWEST_COLUMNS = 2
"""One name of an item in a row is a line's label; two are headings."""


def read_student_sheets(grids: Sequence[Grid], file: str, batch: Batch) -> set[str]:
    """Read sheets that are called by their students' codes and return the practical; empty where they are not.

    Raises:
        InputError: There is a sheet a student, but their names do not say whose they are.
    """
    if batch.practical is None:
        return set()
    words = batch.vocabulary(batch.practical)
    fitting = [grid for grid in grids if _table(grid, words) or _labels(grid, words)]
    named = [grid for grid in fitting if _is_code(grid.sheet, batch.index)]
    known = batch.index is not None and any(batch.index.find(code_of(grid.sheet)) is not None for grid in named)
    if len(fitting) < _FEWEST_SHEETS and not known:
        return set()
    if not named:
        problem = f"{len(fitting)} sheets with readings and no column of students, and their names are no codes"
        raise InputError(file, problem, "call each sheet by its student's code, and run again")
    gathered = batch.gathered(batch.practical)
    for grid in fitting:
        if grid in named:
            _read(grid, gathered, batch.index)
        else:
            _tell_unnamed(grid, gathered)
    codes = ", ".join(quote(grid.sheet) for grid in named[:_MOST_NAMED])
    more = f" and {len(named) - _MOST_NAMED} more" if len(named) > _MOST_NAMED else ""
    said = f"a sheet a student; the names of the sheets are taken as their codes: {codes}{more}"
    gathered.notebook.tell(Weight.NOTE, said, file=file)
    return {batch.practical}


def _is_code(name: str, index: RosterIndex | None) -> bool:
    if index is not None and index.find(code_of(name)) is not None:
        return True
    return not _NO_CODE.fullmatch(fold(name)) and not is_of_the_class(name)


def _table(grid: Grid, vocabulary: Vocabulary) -> HeadingRow | None:
    headings = find_headings(grid, vocabulary, {}, needs_student=False)
    return headings if headings is not None and len(headings.values) >= _FEWEST_COLUMNS else None


def _labels(grid: Grid, vocabulary: Vocabulary) -> dict[int, int]:
    """Return the rows that give one item's name and, in the next cell, its value; each with the name's column."""
    table = _table(grid, vocabulary)
    found = {}
    for row in list(grid.filled_rows())[:_MOST_LINES]:
        if table is not None and row == table.row:
            continue
        for column in sorted(grid.rows[row])[:MAX_COLUMNS]:
            named = vocabulary.item_called(text_of(grid.at(row, column)))
            if named is not None and named.item.table is None and not is_empty(grid.at(row, column + 1)):
                found[row] = column
                break
    return found


def _read(grid: Grid, gathered: Gathered, index: RosterIndex | None) -> None:
    first = grid.place(1, 1)
    sheaf = gathered.pile.sheaf(code_of(grid.sheet), first)
    labels = _labels(grid, gathered.vocabulary)
    for row, column in labels.items():
        _read_line(grid, row, column, gathered, sheaf)
    table = _table(grid, gathered.vocabulary)
    if table is None:
        _tell_unknown(grid, labels, gathered, sheaf)
        return
    rows = {row: fields for row, fields in grid.rows.items() if row not in labels}
    rest = replace(grid, rows=rows)
    WideSheet(grid=rest, headings=table, gathered=gathered, index=index, owner=sheaf.code).read()


def _read_line(grid: Grid, row: int, column: int, gathered: Gathered, sheaf: Sheaf) -> None:
    named = gathered.vocabulary.item_called(text_of(grid.at(row, column)))
    if named is None:
        return
    gathered.covered.add(named.item.name)
    unit = WrittenUnit(field=grid.at(row, column + 2), heading=named.unit, cell=cell_name(row, column + 2))
    value, place = grid.at(row, column + 1), grid.place(row, column + 1)
    comma = grid.decimal_habit.at(column + 1, row, text_of(value))
    sheaf.add(
        named.item.name, SINGLE, read_entry(value, unit, named.item, place, gathered.vocabulary, decimal_comma=comma)
    )


def _tell_unknown(grid: Grid, labels: Mapping[int, int], gathered: Gathered, sheaf: Sheaf) -> None:
    # A number with a name in front of it that is no item's: nothing of it is used, and that is said.
    for row in [row for row in grid.filled_rows() if row not in labels][:_MOST_LINES]:
        column = min(grid.rows[row])
        label, value = text_of(grid.at(row, column)), text_of(grid.at(row, column + 1))
        is_value = any(map(str.isdigit, value)) and any(map(str.isalpha, label))
        if is_value and person_called(fold(label)) is None:
            said = f"{quote(label)} names no item of {gathered.vocabulary.rubric.id}; {quote(value)} is not used"
            place = grid.place(row, column)
            gathered.notebook.tell(Weight.QUERY, said, "Correct the name", place=place, student=sheaf.code)


def _tell_unnamed(grid: Grid, gathered: Gathered) -> None:
    said = "readings on a sheet whose name is no student's code; not used"
    mend = "Call it by the student's code, and run again"
    gathered.notebook.tell(Weight.QUERY, said, mend, file=grid.file, sheet=grid.sheet)
