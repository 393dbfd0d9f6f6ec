"""Reads an .xls or .ods file from standard input and writes its cells to standard output as JSON.

Run as a program of its own, within limits of memory, for the libraries that know these formats believe what a
file says of its size: one that goes beyond its bounds ends with this process and not with the class.

One object a sheet: {"name", "visible", "cells": [[row, column, kind, value, number format]]}, rows and columns
from 1, kind one of text, number, truth, date, error.
"""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from xlrd.sheet import Sheet

MAX_CELLS = 200_000
_MEMORY = 1024**3
"""Bytes of address space."""
_COMPOUND_FILE = bytes.fromhex("d0cf11e0a1b11ae1")

Cell = tuple[int, int, str, Any, str]


def main() -> None:
    """Read, and write what was found; any error ends the process."""
    try:
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    except (ImportError, ValueError, OSError):
        pass  # not every system has it; there the limit of time is left
    data = sys.stdin.buffer.read()
    sheets = list(_xls(data) if data.startswith(_COMPOUND_FILE) else _ods(data))
    json.dump(sheets, sys.stdout)


def _sheet(name: str, cells: Iterator[Cell], *, visible: bool) -> dict[str, Any]:
    kept: list[Cell] = []
    for cell in cells:
        kept.append(cell)
        if len(kept) > MAX_CELLS:
            raise SystemExit(f"more than {MAX_CELLS:,} filled cells")
    return {"name": name, "visible": visible, "cells": kept}


def _xls(data: bytes) -> Iterator[dict[str, Any]]:
    import xlrd

    book = xlrd.open_workbook(file_contents=data, formatting_info=True, logfile=io.StringIO())
    kinds = {
        xlrd.XL_CELL_TEXT: "text",
        xlrd.XL_CELL_NUMBER: "number",
        xlrd.XL_CELL_BOOLEAN: "truth",
        xlrd.XL_CELL_DATE: "date",
        xlrd.XL_CELL_ERROR: "error",
    }

    def cells(sheet: Sheet) -> Iterator[Cell]:
        for row in range(sheet.nrows):
            for column, cell in enumerate(sheet.row(row)):
                kind = kinds.get(cell.ctype)
                if kind is None:
                    continue
                shown = book.format_map[book.xf_list[cell.xf_index or 0].format_key].format_str
                value: Any = cell.value
                if kind == "date":
                    value = str(xlrd.xldate_as_datetime(value, book.datemode))
                elif kind == "error":
                    value = xlrd.error_text_from_code.get(value, "#ERR!")
                yield row + 1, column + 1, kind, value, shown

    for sheet in book.sheets():
        yield _sheet(sheet.name, cells(sheet), visible=sheet.visibility == 0)


def _ods(data: bytes) -> Iterator[dict[str, Any]]:
    from python_calamine import SheetVisibleEnum, load_workbook

    book = load_workbook(io.BytesIO(data))

    def cells(rows: list[list[Any]]) -> Iterator[Cell]:
        for row, fields in enumerate(rows, 1):
            for column, value in enumerate(fields, 1):
                if value == "" or value is None:
                    continue
                if isinstance(value, bool):
                    yield row, column, "truth", str(value).upper(), ""
                elif isinstance(value, int | float):
                    yield row, column, "number", float(value), "General"
                elif isinstance(value, str):
                    yield (
                        row,
                        column,
                        "error" if value.startswith("#") and value.endswith(("!", "?")) else "text",
                        value,
                        "",
                    )
                else:
                    yield row, column, "date", str(value), ""

    for facts in book.sheets_metadata:
        rows = book.get_sheet_by_name(facts.name).to_python(skip_empty_area=False)
        yield _sheet(facts.name, cells(rows), visible=facts.visible == SheetVisibleEnum.Visible)


if __name__ == "__main__":
    main()
