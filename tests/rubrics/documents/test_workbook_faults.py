"""What is wrong in a rubric's workbook is told with its sheet and cell; what is only untidy is read all the same.

The small rubric's sheets: items has part, name, quantity, symbol, unit, recorded_in, change, table, limits ... with
m in row 3, V in row 4 and rho in row 5; criteria has code, point, marks, check, items, award ... from row 3.
"""

from __future__ import annotations

import datetime
from typing import Any

import openpyxl
import pytest

from rubrics.documents.sheet_shape import sheets
from tests.rubrics.documents.changing import cell_of, changed_workbook, faults_of, read_workbook

FAULTS: list[tuple[str, dict[str, Any], list[str]]] = [
    ("unit", {"items!E3": "bananas"}, ["items!E3: 'bananas': "]),
    ("formula", {"items!formula:5": "m / V / W"}, ["items!formula:5: the formula of rho names W"]),
    ("dimension", {"items!formula:5": "m * V"}, ["items!formula:5: the formula of rho does not give g/cm³"]),
    (
        "formula of a spreadsheet",
        {"items!formula:5": "=A1"},
        ["items!formula:5: the cell holds a formula"],
    ),
    ("date", {"items!blank:5": datetime.date(2026, 3, 2)}, ["items!blank:5: the spreadsheet has made a date"]),
    ("number", {"items!limits:3": "one; 500"}, ["items!limits:3: readings.m.limits.0"]),
    ("check", {"criteria!D3": "guess"}, ["criteria!D3: criteria.0.check is 'guess'"]),
    ("missing", {"items!quantity:3": None}, ["items!quantity:3: readings.m.quantity is missing"]),
    ("no title", {"practical!B5": None}, ["practical!B5: title is missing"]),
    ("item", {"criteria!E3": "roh"}, ["criteria!E3: the criterion F1 names roh"]),
    ("heading", {"criteria!C2": "mark"}, ["criteria!C2: mark is no key here"]),
    ("headings gone", {"criteria!A2": None}, ["criteria!A1: no row of headings with code"]),
    ("key", {"practical!A5": "titel"}, ["practical!A5: titel is no key of a rubric"]),
    ("key of another row", {"items!formula:3": "V"}, ["items!formula:3: readings.m.formula is no key"]),
    ("part", {"items!A3": "reading"}, ["items!A3: 'reading' stands here: use one of readings, answers, constants"]),
    ("no name", {"items!B3": None}, ["items!B3: name is missing"]),
    ("twice", {"items!B4": "m"}, ["items!B4: m stands twice"]),
    ("key twice", {"practical!A6": "title"}, ["practical!B6: title stands twice"]),
    ("holder", {"ideas!A3": "why", "ideas!B3": "ideas", "ideas!C3": "x"}, ["ideas!A3: ideas of why, which stands no"]),
    ("list", {"ideas!A3": "why", "ideas!B3": "right", "ideas!C3": "x"}, ["ideas!B3: 'right' stands here: use one"]),
    ("two", {"items!E3": "bananas", "criteria!E3": "roh"}, ["items!E3: 'bananas': ", "criteria!E3: the criterion F1"]),
]


@pytest.mark.parametrize(("cells", "told"), [pytest.param(c, t, id=name) for name, c, t in FAULTS])
def test_fault_is_told_with_its_cell(cells: dict[str, Any], told: list[str]) -> None:
    """Every fault names the cell to mend, in reading order."""
    found = faults_of(changed_workbook(cells))
    told = [cell_of(one.split(": ")[0]) + ": " + one.split(": ", 1)[1] for one in told]
    for expected in told:
        assert any(line.startswith(expected) for line in found), found
    assert [line.split(":")[0] for line in found][: len(told)] == [one.split(":")[0] for one in told]


UNTIDY: list[tuple[str, dict[str, Any]]] = [
    ("spaces", {"items!B3": " m ", "criteria!D3": "value "}),
    ("semicolons", {"criteria!E3": "rho;", "items!limits:3": "1;500"}),
    ("lines", {"items!limits:3": "1\n500\n"}),
    ("carriage returns", {"practical!B9": "Mind the glass._x000D_\n"}),
    ("numbers as text", {"practical!B4": "1", "items!figures:5": "2; 3"}),
    ("whole numbers with a point", {"practical!B4": 1.0}),
    ("written out", {"criteria!C3": 1}),
    ("an empty row", {"criteria!A9": "   "}),
]


@pytest.mark.parametrize("cells", [pytest.param(cells, id=name) for name, cells in UNTIDY])
def test_untidy_cells_are_read(cells: dict[str, Any]) -> None:
    """Spaces, ends of lines and numbers that a spreadsheet turned to text change nothing."""
    plain, found = read_workbook(changed_workbook({})), read_workbook(changed_workbook(cells))
    assert (found.items, found.criteria, found.cautions) == (plain.items, plain.criteria, plain.cautions)
    assert found.edition == 1


def test_rows_may_be_added_and_moved() -> None:
    """A row below, a caution more and a school's own line above the headings: all are taken as they are meant."""

    def alter(book: openpyxl.Workbook) -> None:
        book["criteria"].append(["F3", "Figures", None, "figures", "rho"])
        book["practical"].append(["cautions", "Then follow your school's own risk assessment and local rules."])
        book["criteria"].insert_rows(1)

    rubric = read_workbook(changed_workbook({}, alter))
    assert [criterion.code for criterion in rubric.criteria] == ["F1", "F2", "F3"]
    assert rubric.cautions[-1].startswith("Then follow")
    assert len(rubric.cautions) == 3


def test_sheets_of_another_name() -> None:
    """A sheet that is none of a rubric may hide a misspelt one; a workbook of another kind is told as such."""
    found = faults_of(changed_workbook({}, lambda book: setattr(book["slips"], "title", "slip")))
    known = ", ".join(sheet.name for sheet in sheets())
    assert found == [f"the sheet 'slip' is none of a rubric: call it one of {known}, or delete it."]
    found = faults_of(changed_workbook({}, lambda book: book.remove(book["practical"])))
    assert found[0].startswith("a workbook without the sheet practical")


@pytest.mark.parametrize("data", [b"PK\x03\x04", b"PK\x03\x04" + bytes(500)], ids=["cut off", "zeros"])
def test_damaged_workbook(data: bytes) -> None:
    """A damaged file is one fault, not a crash."""
    assert faults_of(data) == ["damaged, or not a normal workbook: save it anew as .xlsx."]


def test_cell_far_below_is_not_passed_over() -> None:
    """What lies beyond the limits of a rubric is told, never left out in silence."""
    found = faults_of(changed_workbook({"criteria!A5000": "F9"}))
    assert found == ["criteria!A5000: the cell lies beyond row 2000 or column 200: type it as text."]
