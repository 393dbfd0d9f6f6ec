"""A workbook while it is written: sheets with their heads, cells as they are meant, and two formats."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.exceptions import XlsxFileError
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from reports.tables.findings_csv import cell_text
from reports.wording import wording

CREATED = datetime.datetime(2000, 1, 1)
"""Written into every workbook in place of the clock: the same marks give the same bytes."""


class Book:
    """A workbook being written, with its two formats."""

    def __init__(self, path: Path) -> None:
        # What the library lays aside while it writes holds marks: it stays beside the workbook, not in a place
        # that others can look into and that nobody tidies.
        options = {
            "constant_memory": True,
            "strings_to_formulas": False,
            "strings_to_urls": False,
            "tmpdir": str(path.parent),
        }
        self.book = xlsxwriter.Workbook(str(path), options)
        self.book.set_properties({"title": "Marks", "author": "writeups", "created": CREATED})
        self.head: Format = self.book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
        self.plain: Format = self.book.add_format({"valign": "top"})
        self.typed: Format = self.book.add_format({"valign": "top", "bg_color": "#FFF8DC", "border": 4})
        self.share: Format = self.book.add_format({"valign": "top", "num_format": "0 %"})

    def close(self) -> None:
        """Finish the workbook.

        Raises:
            OSError: It cannot be written.
        """
        try:
            self.book.close()
        except XlsxFileError as error:
            # The library wraps what the disk said; whoever calls knows how to tell that.
            raise error.args[0] if error.args and isinstance(error.args[0], OSError) else OSError(str(error)) from error

    def sheet(self, name: str, columns: Sequence[str], widths: Sequence[int], frozen: int) -> Worksheet:
        """Return a new sheet with its head, frozen panes and print set-up; *frozen* columns stay in sight."""
        sheet = self.book.add_worksheet(wording("workbook")["sheets"][name])
        sheet.freeze_panes(1, frozen)
        sheet.set_landscape()
        sheet.set_paper(9)  # A4
        sheet.fit_to_pages(1, 0)
        sheet.repeat_rows(0)
        sheet.set_footer("&L&A&RPage &P of &N")
        for number, (heading, width) in enumerate(zip(columns, widths, strict=True)):
            sheet.set_column(number, number, width)
            self.put(sheet, 0, number, heading, self.head)
        return sheet

    def put(
        self, sheet: Worksheet, row: int, column: int, value: str | int | float | None, form: Format | None = None
    ) -> None:
        """Write one cell: text as text whatever it starts with, numbers as numbers, None as an empty cell."""
        if value is None or value == "":
            return
        if isinstance(value, str):
            sheet.write_string(row, column, cell_text(value), form or self.plain)
        else:
            sheet.write_number(row, column, value, form or self.plain)

    def fill(self, sheet: Worksheet, rows: Iterable[Sequence[Any]]) -> int:
        """Write *rows* below the head and return the first empty row."""
        number = 0
        for number, row in enumerate(rows, start=1):
            for column, value in enumerate(row):
                self.put(sheet, number, column, value)
        return number + 1
