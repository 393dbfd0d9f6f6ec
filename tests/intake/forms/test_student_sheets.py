"""A workbook of a school's own, with a sheet for each student."""

from __future__ import annotations

import io

import pytest
from openpyxl import Workbook

from marking.write_up import State, Weight
from rubrics.faults.errors import InputError
from tests.intake.class_files import BLOCK, WIRE, read_files

TABLE = [["L / m", "V / V", "I / A"], [0.1, 1.1, 0.5], [0.2, 1.2, 0.6]]
LIST = [["Specific heat of a block"], ["m", 998, "g"], ["T_start", 20.5, "°C"], ["T_end / °C", 41.5], ["E", "20400 J"]]


def workbook(sheets: dict[str, list[list[object]]]) -> bytes:
    """Return a workbook with these sheets."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for name, lines in sheets.items():
        sheet = book.create_sheet(name)
        for line in lines:
            sheet.append(line)
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def test_a_table_on_each_sheet() -> None:
    """The names of the sheets are the codes, and the teacher is told so."""
    (found,) = read_files({"class.xlsx": workbook({"A01": TABLE, "A02": TABLE})}, practical=WIRE)
    assert [work.student.code for work in found.write_ups] == ["A01", "A02"]
    assert {row: entry.value for row, entry in found.write_ups[1].columns["V"].items()} == {1: 1.1, 2: 1.2}
    assert any('taken as their codes: "A01", "A02"' in remark.message for remark in found.remarks)


def test_a_line_an_item_on_each_sheet() -> None:
    """Name, value and unit beside each other, one item a line."""
    (found,) = read_files({"class.xlsx": workbook({"A01": LIST, "A02": LIST})}, practical=BLOCK)
    values = {name: entry.value for name, entry in found.write_ups[1].singles.items() if entry.state is State.NUMBER}
    assert values == {"m": 998, "T_start": 20.5, "T_end": 41.5, "E": 20400}


def test_a_line_that_names_no_item_is_told() -> None:
    """A value that nobody knows what to do with is not lost in silence; a title, a name and a date are no values."""
    lines = [["Name", "Ada Hill"], ["Bench", 3], *LIST, ["Mass of the lid", 12.5, "g"], ["Comments", "went well"]]
    (found,) = read_files({"class.xlsx": workbook({"A01": lines, "A02": LIST})}, practical=BLOCK)
    (told,) = [remark.message for remark in found.remarks if "names no item" in remark.message]
    assert "A8" in told
    assert "Mass of the lid" in told


def test_a_table_with_lines_below_it() -> None:
    """The rows of the table stay rows, the lines below stay single items."""
    lines = [*TABLE, [], ["R_a", "2.4", "Ω"]]
    (found,) = read_files({"class.xlsx": workbook({"A01": lines, "A02": lines})}, practical=WIRE)
    work = found.write_ups[0]
    assert (sorted(work.columns["L"]), work.singles["R_a"].value) == ([1, 2], 2.4)


def test_sheets_without_a_name_of_their_own_are_refused() -> None:
    """Nobody knows whose Sheet1 is; the message says what to call it."""
    with pytest.raises(InputError, match="Call each sheet by its student's code"):
        read_files({"class.xlsx": workbook({"Sheet1": TABLE, "Sheet2": TABLE})}, practical=WIRE)


def test_one_sheet_without_a_name_is_asked_about() -> None:
    """The others are read all the same."""
    (found,) = read_files({"class.xlsx": workbook({"A01": TABLE, "A02": TABLE, "Sheet3": TABLE})}, practical=WIRE)
    assert [work.student.code for work in found.write_ups] == ["A01", "A02"]
    assert any(remark.weight is Weight.QUERY and "Sheet3" in remark.message for remark in found.remarks)


def test_a_single_sheet_needs_the_roster_to_know_it() -> None:
    """One sheet of readings may be anybody's, unless its name stands in the roster."""
    book = workbook({"A01": TABLE})
    with pytest.raises(InputError):
        read_files({"class.xlsx": book}, practical=WIRE)
    files = {"class.xlsx": book, "roster.csv": "student,name\nA01,Ada Hill\n"}
    (found,) = read_files(files, ["class.xlsx"], practical=WIRE, roster="roster.csv")
    assert found.write_ups[0].is_handed_in
