"""Rows of a sheet written as XML: the same bytes as the library writes for them."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from xlsxwriter.worksheet import Worksheet

from reports.tables.marks_workbook import Book
from reports.tables.sheet_rows import SheetRows

TEXTS = ["S1", "", " two  spaces ", "7 < 8 & \"9\" > '1'", "_x000D_ and _x00e9_", "Ω \N{PILE OF POO}", "=1+1", "__x"]
NUMBERS = [*map(str, range(30)), "", "12"]
HEAD = [f"c{number}" for number in range(len(TEXTS) + len(NUMBERS) + 1)]


def _book(path: Path) -> tuple[Book, Worksheet]:
    book = Book(path)
    return book, book.sheet("marks", HEAD, [8] * len(HEAD), frozen=2)


def _by_the_library(path: Path, last: str) -> None:
    book, sheet = _book(path)
    for row in (1, 2):
        for column, text in enumerate([*TEXTS, *NUMBERS, last]):
            if text and column - len(TEXTS) in range(len(NUMBERS)):
                sheet.write_number(row, column, int(text))
            elif text:
                sheet.write_string(row, column, text)
    book.put(sheet, 4, 0, "a line of the library's own")
    book.close()


@pytest.mark.parametrize("last", ["LATE", ""])
def test_the_same_bytes(last: str, tmp_path: Path) -> None:
    """Whatever stands in a cell, past column Z too; nothing else is left in the folder."""
    ours, theirs = tmp_path / "ours.xlsx", tmp_path / "theirs.xlsx"
    _by_the_library(theirs, last)
    book, sheet = _book(ours)
    rows = SheetRows(tmp_path, len(HEAD))
    for row in (2, 3):
        rows.add(row, TEXTS, NUMBERS, [last])
    book.put(sheet, 4, 0, "a line of the library's own")
    book.close()
    rows.put_into(ours)
    assert ours.read_bytes() == theirs.read_bytes()
    assert sorted(tmp_path.iterdir()) == [ours, theirs]


def test_no_rows(tmp_path: Path) -> None:
    """The head stands by itself."""
    path = tmp_path / "marks.xlsx"
    book, _ = _book(path)
    rows = SheetRows(tmp_path, len(HEAD))
    book.close()
    rows.put_into(path)
    (sheet,) = openpyxl.load_workbook(path).worksheets
    assert list(sheet.values) == [tuple(HEAD)]
