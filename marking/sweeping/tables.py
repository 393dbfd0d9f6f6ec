"""One student's lines taken out of a CSV file or a workbook; every other cell stays as it is."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable, Collection
from pathlib import Path

import openpyxl
from openpyxl.cell.cell import MergedCell
from openpyxl.worksheet.worksheet import Worksheet

from marking.sweeping.mentions import is_code, speaks_of

LARGEST = 20 * 2**20
"""Bytes of a file, and twice as many unpacked: what is larger was never read, and is not opened here."""


def without_lines(data: bytes, code: str) -> bytes | None:
    """Return a CSV file without the lines that have *code* as a field; None where none has."""
    try:
        text, encoding = data.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        text, encoding = data.decode("cp1252", "replace"), "cp1252"
    lines = text.splitlines(keepends=True)
    mine = is_code(code)
    kept: list[str] = []
    for separator in (",", ";", "\t"):
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
        start, kept = 0, []
        try:
            for row in reader:
                if not any(mine(cell.removeprefix("\ufeff")) for cell in row):
                    kept += lines[start : reader.line_num]
                start = reader.line_num
        except csv.Error:
            continue
        if len(kept) < len(lines):
            return "".join(kept).encode(encoding, "replace")
    return None


def emptied_workbook(path: Path, code: str, others: Collection[str], *, is_ours: bool) -> bytes | None:
    """Return a workbook without the rows, columns and sheets of *code*; None where it has none.

    Args:
        path: Of the workbook.
        code: Of the student.
        others: Codes of other students: a row that has one of them is a heading over columns.
        is_ours: The program wrote it, so that a cell that speaks of the student may go as well; what another student
            wrote may not.

    Raises:
        ValueError: It is no workbook, or larger than any that is read.
    """
    try:
        with zipfile.ZipFile(path) as packed:
            if path.stat().st_size > LARGEST or sum(one.file_size for one in packed.infolist()) > 2 * LARGEST:
                raise ValueError(path.name)
        book = openpyxl.load_workbook(path, keep_vba=path.suffix.casefold() == ".xlsm")
    except (zipfile.BadZipFile, KeyError, OSError, TypeError, SyntaxError) as error:
        raise ValueError(path.name) from error
    mine, named = is_code(code), speaks_of(code)
    known = [is_code(other) for other in others if not mine(other)]
    changed = False
    for sheet in list(book.worksheets):
        if mine(sheet.title) and len(book.worksheets) > 1:
            book.remove(sheet)
            changed = True
            continue
        changed |= _emptied(sheet, mine, known, named if is_ours else None)
    if not changed:
        return None
    book.properties.creator = book.properties.lastModifiedBy = None
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


def _emptied(
    sheet: Worksheet,
    mine: Callable[[object], bool],
    known: Collection[Callable[[object], bool]],
    named: Callable[[object], bool] | None,
) -> bool:
    changed = False
    for row in list(sheet.iter_rows()):
        at = [cell for cell in row if mine(cell.value)]
        if at and any(other(cell.value) for cell in row for other in known):
            gone = [
                below[0]
                for cell in at
                for below in sheet.iter_rows(min_row=cell.row, min_col=cell.column, max_col=cell.column)
            ]
        elif at:
            gone = list(row)
        else:
            gone = [cell for cell in row if named is not None and named(cell.value)]
        for cell in gone:
            if isinstance(cell, MergedCell):
                continue
            changed |= cell.value is not None
            cell.value, cell.comment = None, None
    return changed
