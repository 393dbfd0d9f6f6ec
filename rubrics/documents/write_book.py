"""A rubric's document as a workbook, ready to be worked in: instructions, frozen headings, drop-downs."""

from __future__ import annotations

import datetime
import io
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

import rtoml
from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from rubrics.documents.books import READ_ME
from rubrics.documents.sheet_layout import VALUE, Filled, laid_out
from rubrics.documents.sheet_shape import Column, Kind, Rows, Sheet, sheets
from rubrics.documents.typed_cells import Cell

_CREATED = datetime.datetime(2000, 1, 1)
"""A fixed date, for the same rubric gives the same bytes."""
_LIST_LIMIT = 255
"""Characters of a drop-down's list; a spreadsheet takes no more."""
_SPARE_ROWS = 100
"""Rows below the last that have drop-downs too."""
_WIDTH = 16
_A4 = 9
_GREY, _RULE = "#595959", "#BFBFBF"


@cache
def words() -> Mapping[str, Any]:
    """Return the words of the workbook, see words.toml."""
    return rtoml.loads((resources.files("rubrics.documents") / "words.toml").read_text(encoding="utf-8"))


class _Book:
    def __init__(self, data: io.BytesIO) -> None:
        options = {
            "in_memory": True,
            "strings_to_formulas": False,
            "strings_to_urls": False,
            "strings_to_numbers": False,
        }
        self.book = Workbook(data, options)
        self.book.set_properties({"created": _CREATED})
        cell = {"num_format": "@", "text_wrap": True, "valign": "top"}
        self.title = self.book.add_format({"bold": True, "font_size": 16})
        self.label = self.book.add_format({**cell, "bold": True})
        self.text = self.book.add_format(cell)
        self.number = self.book.add_format({"valign": "top", "align": "left"})
        self.words = self.book.add_format({**cell, "valign": "bottom", "font_color": _GREY, "font_size": 9})
        self.heading = self.book.add_format({**cell, "bold": True, "bottom": 1})
        # The first row of a group: a thin rule above it.
        self.first_text = self.book.add_format({**cell, "top": 1, "top_color": _RULE})
        self.first_number = self.book.add_format({"valign": "top", "align": "left", "top": 1, "top_color": _RULE})

    def put(self, sheet: Worksheet, row: int, column: int, value: Cell, form: Format) -> None:
        """Write one cell, row and column from 0: text as text whatever it starts with, numbers as numbers."""
        if value is None or value == "":
            sheet.write_blank(row, column, None, form)
        elif isinstance(value, str):
            sheet.write_string(row, column, value, form)
        else:
            sheet.write_number(row, column, value, form)


def workbook_bytes(document: Mapping[str, Any]) -> bytes:
    """Return the workbook that holds *document*, which the schema has found in order."""
    data = io.BytesIO()
    book = _Book(data)
    _add_read_me(book, str(document["title"]))
    for filled in laid_out(document):
        if filled.sheet.rows is Rows.KEY:
            _add_keys(book, filled)
        else:
            _add_table(book, filled)
    book.book.close()
    return data.getvalue()


def _add_read_me(book: _Book, practical: str) -> None:
    sheet = book.book.add_worksheet(READ_ME)
    said = words()
    sheet.set_column(0, 0, 16, book.text)
    sheet.set_column(1, 1, 104, book.text)
    sheet.write_string(0, 0, practical, book.title)
    sheet.write_string(1, 0, said["title"], book.book.add_format({"font_color": _GREY}))
    row = 3
    blocks: list[tuple[str, list[tuple[str, str]]]] = [
        ("How to fill it in", [("", line) for line in said["how"]]),
        (said["then"], [("", said["check"]), ("", said["back"])]),
        (said["sheets_head"], [(one.name, said["sheets"].get(one.name, "")) for one in sheets()]),
        (said["checks_head"], list(said["checks"].items())),
    ]
    for heading, lines in blocks:
        sheet.write_string(row, 0, heading, book.book.add_format({"bold": True}))
        for first, line in lines:
            row += 1
            book.put(sheet, row, 0, first, book.text)
            book.put(sheet, row, 1, line, book.text)
        row += 2
    _set_up_page(sheet, READ_ME, 0)


def _add_keys(book: _Book, filled: Filled) -> None:
    sheet = book.book.add_worksheet(filled.sheet.name)
    headings = (*filled.headings, "")
    for column, heading in enumerate(headings):
        book.put(sheet, 0, column, heading, book.heading)
        sheet.set_column(column, column, _width(filled.sheet, heading) if heading else 44, book.text)
    columns = {column.heading: column for column in filled.sheet.columns}
    for row, cells in enumerate(filled.rows, start=1):
        key, value = (cells[heading] for heading in filled.headings)
        book.put(sheet, row, 0, key, book.label)
        book.put(sheet, row, 1, value, book.number if isinstance(value, int | float) else book.text)
        if str(key) in columns:
            book.put(sheet, row, 2, _hint(filled.sheet, columns[str(key)]), book.words)
            _offer(sheet, (row, row), filled.headings.index(VALUE), columns[str(key)].offered)
    sheet.freeze_panes(1, 1)
    _set_up_page(sheet, filled.sheet.name, 1)


def _add_table(book: _Book, filled: Filled) -> None:
    shape = filled.sheet
    sheet = book.book.add_worksheet(shape.name)
    columns = {column.heading: column for column in shape.columns}
    last = len(filled.rows) + 1 + _SPARE_ROWS
    for number, heading in enumerate(filled.headings):
        book.put(sheet, 0, number, _hint(shape, columns.get(heading, heading)), book.words)
        book.put(sheet, 1, number, heading, book.heading)
        sheet.set_column(number, number, _width(shape, heading), _plain(book, columns.get(heading), first=False))
        _offer(sheet, (2, last), number, columns[heading].offered if heading in columns else _parts(shape, heading))
    if shape.rows is Rows.NESTED:
        _offer_names(sheet, shape, last)
    sheet.set_row(0, 38)
    group: Cell = None
    for row, cells in enumerate(filled.rows, start=2):
        is_first = bool(shape.fixed) and row > 2 and cells[shape.fixed[0]] != group and len(shape.fixed) > 0
        group = cells[shape.fixed[0]] if shape.fixed else None
        is_first = is_first and (shape.rows is Rows.NESTED or len(shape.fixed) > 1)
        for number, heading in enumerate(filled.headings):
            value = cells.get(heading)
            form = _plain(book, columns.get(heading) if not isinstance(value, str) else None, first=is_first)
            book.put(sheet, row, number, value, form)
    sheet.freeze_panes(2, max(len(shape.fixed), 1))
    _set_up_page(sheet, shape.name, 2)


def _plain(book: _Book, column: Column | None, *, first: bool) -> Format:
    # A number in a cell that is formatted as text would be offered for mending by every spreadsheet program.
    if column is not None and column.kind in (Kind.NUMBER, Kind.NUMBERS):
        return book.first_number if first else book.number
    return book.first_text if first else book.text


def _parts(shape: Sheet, heading: str) -> tuple[str, ...]:
    asks_part = heading == (shape.fixed[0] if shape.rows is Rows.NAMED else shape.fixed[-1])
    return tuple(shape.models) if len(shape.fixed) > 1 and asks_part else ()


def _offer(sheet: Worksheet, rows: tuple[int, int], column: int, offered: tuple[str, ...]) -> None:
    # A drop-down only offers: what else is typed is told by the check of the rubric.
    if offered and len(",".join(offered)) <= _LIST_LIMIT and not any("," in word for word in offered):
        rule = {"validate": "list", "source": list(offered), "show_error": False}
        sheet.data_validation(rows[0], column, rows[1], column, rule)


def _offer_names(sheet: Worksheet, shape: Sheet, last: int) -> None:
    parts = {part for holders in shape.holders.values() for part in holders}
    for other in sheets():
        if other.rows is Rows.NAMED and parts & set(other.models):
            letter = "ABC"[other.fixed.index("name")]
            rule = {"validate": "list", "source": f"={other.name}!${letter}$3:${letter}$300", "show_error": False}
            sheet.data_validation(2, 0, last, 0, rule)


def _hint(shape: Sheet, column: Column | str) -> str:
    heading = column if isinstance(column, str) else column.heading
    said = words()["keys"]
    known = said.get(f"{shape.name}.{heading}") or said.get(heading)
    if known or isinstance(column, str):
        return str(known or "")
    return str(", ".join(column.offered) or words()["kinds"].get(column.kind.value, ""))


def _width(shape: Sheet, heading: str) -> int:
    widths = words()["widths"]
    return int(widths.get(f"{shape.name}.{heading}", widths.get(heading, _WIDTH)))


def _set_up_page(sheet: Worksheet, name: str, repeat: int) -> None:
    sheet.set_landscape()
    sheet.set_paper(_A4)
    sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
    sheet.fit_to_pages(1, 0)
    sheet.set_footer(f"&L{name}&RPage &P of &N")
    sheet.ignore_errors({"number_stored_as_text": "A1:XFD1048576"})
    if repeat:
        sheet.repeat_rows(0, repeat - 1)
