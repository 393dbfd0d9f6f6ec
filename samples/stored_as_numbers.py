"""Makes cells of a workbook hold numbers in place of text, as they do where someone typed over the format."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Sequence
from pathlib import Path

import openpyxl
from msgspec import Struct

_SHEETS = {False: ("Results", "xl/worksheets/sheet2.xml"), True: ("Readings", "xl/worksheets/sheet3.xml")}
"""By whether the item stands in a table: name of the sheet and its part of the workbook."""
_HEADING_ROW = 2


class Typed(Struct, frozen=True, kw_only=True):
    """One cell that was typed as a number."""

    student: str
    item: str
    row: int
    """0 for a single item."""


def store_as_numbers(path: Path, typed: Sequence[Typed]) -> None:
    """Change the cells *typed* of the class workbook at *path*, and nothing else in it."""
    if not typed:
        return
    book = openpyxl.load_workbook(path)
    changes: dict[str, list[tuple[str, str]]] = {}
    for one in typed:
        name, part = _SHEETS[one.row > 0]
        rows = list(book[name].iter_rows(min_row=_HEADING_ROW))
        headings = {str(cell.value): position for position, cell in enumerate(rows[0])}
        for cells in rows[1:]:
            if cells[headings["student"]].value != one.student:
                continue
            if one.row and str(cells[headings["row"]].value) != str(one.row):
                continue
            cell = cells[headings[one.item]]
            changes.setdefault(part, []).append((cell.coordinate, str(cell.value)))
    _change(path, changes)


def _change(path: Path, changes: dict[str, list[tuple[str, str]]]) -> None:
    data = io.BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            content = old.read(info)
            for address, number in changes.get(info.filename, ()):
                content = _with_number(content.decode(), address, number).encode()
            new.writestr(info, content)
    path.write_bytes(data.getvalue())


def _with_number(sheet: str, address: str, number: str) -> str:
    pattern = rf'<c r="{address}"[^>]*><v>\d+</v></c>'
    changed, count = re.subn(pattern, f'<c r="{address}"><v>{number}</v></c>', sheet)
    if count != 1:
        raise ValueError(f"{address} is no cell of text")
    return changed
