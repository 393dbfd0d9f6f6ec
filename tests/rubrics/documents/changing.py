"""A rubric's workbook with cells changed by hand, as a head of department would change them."""

from __future__ import annotations

import io
import tempfile
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import openpyxl

from rubrics.documents.write_book import workbook_bytes
from rubrics.faults.errors import RubricError
from rubrics.load import read_rubric
from rubrics.model.practical import Rubric
from tests.rubrics.small_rubric import SOUND

FILE = "tube.xlsx"


def changed_workbook(cells: Mapping[str, Any], alter: Callable[[openpyxl.Workbook], object] | None = None) -> bytes:
    """Return the small rubric as a workbook with *cells* ('items!C3' or 'items!unit:3') typed in, then altered."""
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(tomllib.loads(SOUND))))
    for place, value in cells.items():
        sheet, _, cell = cell_of(place).partition("!")
        book[sheet][cell] = value
    if alter is not None:
        alter(book)
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def cell_of(place: str) -> str:
    """Return *place* with the heading of a column ('items!formula:5') as the letter under which it stands: items!M5."""
    sheet, _, cell = place.partition("!")
    heading, colon, row = cell.partition(":")
    if not colon or not row.isdigit():
        return place
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(tomllib.loads(SOUND))))
    (column,) = (one.column_letter for line in book[sheet].iter_rows() for one in line if one.value == heading)
    return f"{sheet}!{column}{row}"


def read_workbook(data: bytes) -> Rubric:
    """Return the rubric in the workbook *data*."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / FILE
        file.write_bytes(data)
        return read_rubric(file)


def faults_of(data: bytes) -> list[str]:
    """Return every fault of the workbook as the terminal shows it, without the name of the file."""
    try:
        read_workbook(data)
    except RubricError as error:
        return [line.removeprefix(f"{FILE}, ").removeprefix(f"{FILE}: ") for line in str(error).splitlines()]
    return []
