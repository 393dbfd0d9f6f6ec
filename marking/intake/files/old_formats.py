"""Workbooks in the formats before and beside .xlsx: .xls and .ods, read by a process of its own."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from marking.intake.files.containers import Container
from marking.intake.files.workbook_cells import Book, number_field
from marking.intake.grids import Field, Grid, SheetValue, Stored, habit_of
from rubrics.faults import InputError

_SECONDS = 30
_READER = Path(__file__).with_name("old_cells.py")
_STORED = {"truth": Stored.TRUTH, "date": Stored.DATE, "error": Stored.ERROR}
_MEND = "open it in a spreadsheet program, save it as an Excel workbook (.xlsx) and hand that in"


def read_old_workbook(container: Container) -> Book:
    """Return the sheets of an .xls or .ods file.

    Raises:
        InputError: It is damaged, or takes more time or memory than any class.
    """
    import subprocess

    try:
        done = subprocess.run(
            [sys.executable, str(_READER)], input=container.data, capture_output=True, timeout=_SECONDS, check=False
        )
    except subprocess.TimeoutExpired as error:
        raise InputError(container.name, f"not read within {_SECONDS} s", _MEND) from error
    if done.returncode != 0:
        raise InputError(container.name, "damaged, or too large to be read", _MEND)
    sheets: list[dict[str, Any]] = json.loads(done.stdout)
    grids = [(_grid(container.name, sheet), bool(sheet["visible"])) for sheet in sheets]
    return Book(
        visible=tuple(grid for grid, is_visible in grids if is_visible),
        hidden=tuple(grid for grid, is_visible in grids if not is_visible),
        has_macros=False,
    )


def _grid(file: str, sheet: dict[str, Any]) -> Grid:
    rows: dict[int, dict[int, Field]] = {}
    for row, column, kind, value, shown in sheet["cells"]:
        field = _field(kind, value, shown)
        if field != "":
            rows.setdefault(int(row), {})[int(column)] = field
    return Grid(file=file, sheet=str(sheet["name"]), rows=rows, decimal_habit=habit_of(rows))


def _field(kind: str, value: object, shown: str) -> Field:
    if kind == "number" and isinstance(value, float | int):
        return number_field(float(value), shown)
    if kind in _STORED:
        return SheetValue(stored=_STORED[kind], text=str(value))
    return str(value)
