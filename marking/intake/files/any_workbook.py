"""The cells of any workbook: through openpyxl's streaming reader, which neither believes sizes nor keeps rows."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from typing import Any

import openpyxl
from openpyxl.cell.read_only import ReadOnlyCell
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.utils.exceptions import InvalidFileException
from openpyxl.worksheet._read_only import ReadOnlyWorksheet
from openpyxl.worksheet._reader import WorkSheetParser

from marking.intake.files.containers import Container
from marking.intake.files.stored_cells import MAX_SHEET_COLUMN, MAX_SHEET_ROW, StoredSheet
from rubrics.faults import InputError

if not openpyxl.DEFUSEDXML:
    raise ImportError("defusedxml is needed to read workbooks safely, and openpyxl does not find it")


def any_sheets(container: Container, _archive: zipfile.ZipFile) -> list[StoredSheet]:
    """Return the sheets of a workbook.

    Raises:
        ValueError: It is no workbook that can be read; other errors of the library pass too.
    """
    try:
        book = openpyxl.load_workbook(
            io.BytesIO(container.data), read_only=True, data_only=True, keep_links=False, rich_text=True
        )
    except InvalidFileException as error:
        raise ValueError(str(error)) from error
    return [
        StoredSheet(title=sheet.title, is_visible=sheet.sheet_state == "visible", cells=_cells(sheet, container.name))
        for sheet in book.worksheets
        if isinstance(sheet, ReadOnlyWorksheet)
    ]


class _Cell(ReadOnlyCell):
    """A cell, and what is struck out of its text."""

    __slots__ = ("struck",)
    struck: str

    @property
    def is_struck(self) -> bool:
        """Tell whether a line is drawn through the whole cell."""
        return bool(self.struck and not self.value) or bool(self.font.strike)


def _parted(value: object) -> tuple[object, str]:
    """Return what is left of a value, and what is struck out of it."""
    if not isinstance(value, CellRichText):
        return value, ""
    parts = [(str(part), isinstance(part, TextBlock) and bool(part.font.strike)) for part in value]
    struck = "".join(text for text, is_struck in parts if is_struck).strip()
    left = "".join(text for text, is_struck in parts if not is_struck)
    return left.strip() if struck else left, struck


def _cells(sheet: ReadOnlyWorksheet, file: str) -> Iterator[_Cell]:
    """Yield the cells of a sheet as they stand in its XML, each under its own address.

    The rows of the streaming reader would be filled up with empty ones, from row 1 to whatever number a row
    gives itself.
    """
    inner: Any = sheet  # what follows has no public name
    book: Any = sheet.parent
    with inner._get_source() as source:
        parser = WorkSheetParser(
            source,
            inner._shared_strings,
            data_only=True,
            epoch=book.epoch,
            date_formats=book._date_formats,
            timedelta_formats=book._timedelta_formats,
            rich_text=True,
        )
        for number, row in parser.parse():
            if number > MAX_SHEET_ROW:
                problem = f"a row has the number {str(number)[:20]}, and a sheet has {MAX_SHEET_ROW:,} rows"
                raise InputError(file, problem, "copy the readings into a new workbook")
            for cell in row:
                if cell["column"] <= MAX_SHEET_COLUMN:
                    value, struck = _parted(cell["value"])
                    found = _Cell(sheet, **{**cell, "value": value})
                    found.struck = struck
                    yield found
