"""What a teacher should know of a sheet as a whole, said once for the sheet."""

from __future__ import annotations

from collections.abc import Sequence

from marking.intake.grids import Grid, HeadingRow, Meaning, cell_name, column_letters, text_of
from marking.intake.remarks.notebook import Notebook, quote
from marking.write_up import Weight

_LISTED = 12
_LARGE_MERGE = 10_000
"""Cells; a range merged over more than that is no heading and no shared unit."""


def tell_headings(grid: Grid, headings: HeadingRow, notebook: Notebook, *, expected_row: int) -> None:
    """Say how the headings were found, which are untidy, doubled, or of no use here."""
    row = headings.row
    if row != expected_row:
        said = f"headings found in row {row}"
        notebook.tell(Weight.NOTE, said, place=grid.place(row, headings.headings[0].column))
    banded = [h for h in headings.used if h.text.strip() != text_of(grid.at(row, h.column)).strip()]
    if banded:
        listed = ", ".join(f"{quote(h.text)} ({cell_name(row, h.column)})" for h in banded)
        said = f"headings read together with what stands above them: {listed}"
        notebook.tell(Weight.NOTE, said, file=grid.file, sheet=grid.sheet)
    untidy = [h for h in headings.used if h.is_untidy]
    if untidy:
        listed = ", ".join(f"{quote(h.text)} ({cell_name(row, h.column)})" for h in untidy[:_LISTED])
        notebook.tell(
            Weight.NOTE,
            f"headings with stray spaces or line ends were read all the same: {listed}",
            file=grid.file,
            sheet=grid.sheet,
        )
    if headings.doubled:
        listed = ", ".join(f"{quote(h.text)} ({cell_name(row, h.column)})" for h in headings.doubled)
        said = f"headings that stand more than once: {listed}; none of these columns is used"
        notebook.tell(Weight.QUERY, said, "Give each column its own heading", file=grid.file, sheet=grid.sheet)
    unknown = [h for h in headings.headings if h.meaning is Meaning.UNKNOWN and h not in headings.doubled]
    if unknown:
        listed = ", ".join(f"{quote(h.text)} ({cell_name(row, h.column)})" for h in unknown[:_LISTED])
        more = " and more" if len(unknown) > _LISTED else ""
        notebook.tell(Weight.NOTE, f"columns of no item, not used: {listed}{more}", file=grid.file, sheet=grid.sheet)


def tell_hidden(grid: Grid, headings: HeadingRow, notebook: Notebook) -> None:
    """Say which rows and columns of the table are hidden; they were used as if shown."""
    rows = [row for row in sorted(grid.hidden_rows) if row > headings.row and row in grid.rows]
    columns = [h for h in headings.used if h.column in grid.hidden_columns]
    hidden = [f"row {row} ({cell_name(row, headings.headings[0].column)})" for row in rows[:_LISTED]]
    hidden += [f"column {column_letters(h.column)} ({cell_name(headings.row, h.column)})" for h in columns]
    if hidden:
        said = f"hidden, and used as if shown: {', '.join(hidden)}"
        notebook.tell(Weight.NOTE, said, "Check that it belongs here", file=grid.file, sheet=grid.sheet)


def tell_strays(grid: Grid, headings: HeadingRow, notebook: Notebook) -> None:
    """Say which fields stand under no heading, and which merged ranges are too large to mean anything."""
    known = {heading.column for heading in headings.headings}
    strays = [
        cell_name(row, column)
        for row in grid.filled_rows()
        if row > headings.row
        for column in sorted(grid.rows[row])
        if column not in known
    ]
    if strays and not grid.lengths:
        notebook.tell(
            Weight.NOTE, f"cells under no heading, not used: {_list(strays)}", file=grid.file, sheet=grid.sheet
        )
    trailing = [row for row in grid.filled_rows() if grid.lengths.get(row, 0) > grid.lengths.get(headings.row, 0)]
    trailing = [row for row in trailing if max(grid.rows[row]) <= grid.lengths[headings.row]]
    if trailing:
        count = "a line ends" if len(trailing) == 1 else f"{len(trailing)} lines end"
        said = f"{count} in separators beyond the last heading; passed over"
        notebook.tell(Weight.NOTE, said, file=grid.file, sheet=grid.sheet)
    large = [str(merge) for merge in grid.merges if merge.size > _LARGE_MERGE]
    if large:
        notebook.tell(
            Weight.NOTE, f"large merged ranges were passed over: {_list(large)}", file=grid.file, sheet=grid.sheet
        )


def tell_stored_numbers(grid: Grid, text_numbers: Sequence[str], lost_zeros: Sequence[str], notebook: Notebook) -> None:
    """Say, once for the sheet, which numbers are stored as text and which have lost their trailing zeros."""
    if text_numbers:
        count = "a number is" if len(text_numbers) == 1 else f"{len(text_numbers)} numbers are"
        said = f"{count} stored as text ({_list(text_numbers)}); read as shown"
        notebook.tell(Weight.NOTE, said, file=grid.file, sheet=grid.sheet)
    if lost_zeros:
        said = (
            "some cells keep their decimal places and others cannot: "
            f"the places of {_list(lost_zeros)} cannot be told, and no mark is lost over them"
        )
        notebook.tell(Weight.NOTE, said, "Format the answer cells as text", file=grid.file, sheet=grid.sheet)


def tell_number_codes(grid: Grid, rows: Sequence[int], column: int, notebook: Notebook) -> None:
    """Say that codes are stored as numbers, so that zeros in front, if any were typed, are gone."""
    cells = [cell_name(row, column) for row in rows]
    where = f"column {column_letters(column)} ({_list(cells)})"
    said = f"codes in {where} are stored as numbers; zeros in front of them, if there were any, are lost"
    notebook.tell(
        Weight.NOTE,
        said,
        "If a code is not as it should be, format the column as text",
        file=grid.file,
        sheet=grid.sheet,
    )


def _list(cells: Sequence[str]) -> str:
    return ", ".join(cells[:_LISTED]) + (" and more" if len(cells) > _LISTED else "")
