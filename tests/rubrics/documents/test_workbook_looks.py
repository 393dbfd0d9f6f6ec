"""The workbook of a rubric is made to be worked in."""

from __future__ import annotations

import io
import tomllib
from importlib import resources

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from rubrics.documents.sheet_shape import Rows, sheets
from rubrics.documents.write_book import words, workbook_bytes
from rubrics.model.practical import CheckKind

TEXT = (resources.files("rubrics") / "catalogue" / "iv-characteristic.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def book() -> openpyxl.Workbook:
    """Return the workbook of a practical that has something on most sheets."""
    return openpyxl.load_workbook(io.BytesIO(workbook_bytes(tomllib.loads(TEXT))))


def offered(sheet: Worksheet, cell: str) -> str:
    """Return what the drop-down of a cell offers."""
    rules = [rule for rule in sheet.data_validations.dataValidation if cell in rule.sqref]
    return str(rules[0].formula1) if rules else ""


def test_sheets_and_headings(book: openpyxl.Workbook) -> None:
    """Instructions first, then the parts of a rubric; headings stay in sight, and each has a name of its own."""
    assert book.sheetnames[:3] == ["Read me first", "practical", "items"]
    assert {"choices", "ideas", "criteria", "slips", "apparatus", "worked"} <= set(book.sheetnames)
    for sheet in sheets():
        row = 1 if sheet.rows is Rows.KEY else 2
        headings = [cell.value for cell in book[sheet.name][row] if cell.value]
        assert len(headings) == len(set(headings)) > 1
        assert str(book[sheet.name].freeze_panes).endswith(str(row + 1))


def test_cells_are_text_and_wrapped(book: openpyxl.Workbook) -> None:
    """A text stays a text when it is typed over; long ones wrap; columns are wide enough to read."""
    cell = book["criteria"]["B3"]
    assert (cell.number_format, cell.alignment.wrap_text, cell.alignment.vertical) == ("@", True, "top")
    assert book["criteria"].column_dimensions["B"].width > 50
    assert book["items"]["E200"].number_format == "@" or book["items"].column_dimensions["E"].width > 10


def test_drop_downs(book: openpyxl.Workbook) -> None:
    """Check kinds, parts, right or wrong, and the names that an idea may belong to are offered."""
    assert offered(book["criteria"], "D3") == f'"{",".join(CheckKind)}"'
    assert offered(book["criteria"], "D60") == offered(book["criteria"], "D3")
    assert offered(book["items"], "A3") == '"readings,answers,constants"'
    assert offered(book["ideas"], "B3") == '"ideas,wrong"'
    assert offered(book["ideas"], "A3") == "questions!$A$3:$A$300"
    assert offered(book["choices"], "A3") == "items!$B$3:$B$300"
    fit = next(row[0].row for row in book["practical"].iter_rows(max_col=1) if row[0].value == "graph.fit")
    assert offered(book["practical"], f"B{fit}") == '"line,curve"'


def test_first_sheet_tells_every_sheet_and_check(book: openpyxl.Workbook) -> None:
    """Whoever opens it finds what each sheet is for and what a criterion may check."""
    told = {row[0].value: row[1].value for row in book["Read me first"].iter_rows(max_col=2)}
    for name in [sheet.name for sheet in sheets()] + [*words()["checks"]]:
        assert told[name]


def test_nothing_is_a_formula() -> None:
    """A text that starts like a formula is text, and would be so if it were typed again."""
    document = tomllib.loads(TEXT) | {"title": '=HYPERLINK("x")', "level": "+1", "purpose": "@SUM(1)"}
    made = openpyxl.load_workbook(io.BytesIO(workbook_bytes(document)))
    values = [cell for sheet in made for row in sheet.iter_rows() for cell in row]
    assert not [cell for cell in values if cell.data_type == "f"]
    assert made["practical"]["B5"].value == '\\=HYPERLINK("x")'
