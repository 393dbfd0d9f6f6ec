"""Rows that do not fit their headings: nothing of them may be used under a wrong one."""

from __future__ import annotations

from marking.intake.grids import MAX_UNIT_LENGTH, Grid, HeadingRow, Meaning, Vocabulary, cell_name, is_empty, text_of
from marking.intake.remarks.notebook import quote
from rubrics.units import Verdict


def fault_of(grid: Grid, headings: HeadingRow, row: int, vocabulary: Vocabulary) -> str:
    """Return why the row cannot be used, as a clause with the cells in question; empty where it can."""
    return _line_fault(grid, headings, row) if grid.lengths else _shift_fault(grid, headings, row, vocabulary)


def _line_fault(grid: Grid, headings: HeadingRow, row: int) -> str:
    # A CSV line with a field too many or too few has its values under the wrong headings.
    wanted = grid.lengths[headings.row]
    written = max(grid.rows[row])
    if written > wanted:
        return (
            f"{written} fields under {wanted} headings (a decimal comma without quotes?); nothing of this line is used"
        )
    has_values = any(not is_empty(grid.at(row, heading.column)) for heading in headings.values)
    if grid.lengths[row] < wanted and has_values:
        return f"{grid.lengths[row]} fields under {wanted} headings; nothing of this line is used"
    return ""


def _shift_fault(grid: Grid, headings: HeadingRow, row: int, vocabulary: Vocabulary) -> str:
    filled = sorted(grid.rows[row])
    people = {h.column for h in headings.used if h.meaning not in (Meaning.VALUE, Meaning.UNIT)}
    cells = [cell_name(row, column) for column in filled if column not in people]
    if not headings.values:
        return ""
    first = min(heading.column for heading in headings.values)
    beyond = [column for column in filled if column > headings.last_column]
    listed = ", ".join(cells)
    if beyond and is_empty(grid.at(row, first)):
        far = cell_name(row, beyond[0])
        return (
            f"the row looks shifted to the right: {cell_name(row, first)} is empty and {far} stands under "
            f"no heading; nothing of it is used ({listed})"
        )
    swapped = _unit_for_value(grid, headings, row, vocabulary)
    if swapped:
        return f"the row looks shifted: {swapped}; nothing of it is used ({listed})"
    return ""


def _unit_for_value(grid: Grid, headings: HeadingRow, row: int, vocabulary: Vocabulary) -> str:
    # A unit where a value should be, or a number where a unit should be, and more than once by no accident:
    # one of the two is a slip in one cell, both together are a shifted row.
    units_as_values, values_as_units = "", ""
    for heading in headings.values:
        item = vocabulary.rubric.items[heading.item]
        column = headings.unit_column(heading)
        if item.is_words or column is None:
            continue
        value = text_of(grid.at(row, heading.column)).strip()
        unit = text_of(grid.at(row, column)).strip()
        if value and _is_unit(value, vocabulary, heading.item):
            units_as_values = f"{cell_name(row, heading.column)} holds the unit {quote(value)}"
        if unit and _is_plain_number(unit) and not item.unit.is_pure_number:
            values_as_units = f"{cell_name(row, column)} holds {quote(unit)} where a unit is wanted"
    return units_as_values or values_as_units


def _is_unit(text: str, vocabulary: Vocabulary, item: str) -> bool:
    if len(text) > MAX_UNIT_LENGTH or any(sign.isdigit() for sign in text[:1]):
        return False
    reading = vocabulary.unit_of(text, vocabulary.rubric.items[item])
    return reading.verdict in (Verdict.ACCEPT, Verdict.NOTE) and reading.unit is not None and bool(reading.unit.symbol)


def _is_plain_number(text: str) -> bool:
    return text.replace(".", "", 1).replace(",", "", 1).isdigit()
