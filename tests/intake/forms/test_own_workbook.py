"""Our own workbooks, after teachers and students have worked in them."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from openpyxl import Workbook

from marking.intake.blank.blank_workbook import write_class_workbook, write_student_workbook
from marking.intake.forms import own_layout as layout
from marking.intake.read_inputs import read_inputs
from marking.write_up import ClassSet, State, Student
from rubrics.faults.errors import InputError
from rubrics.load import load_catalogue
from tests.intake.class_files import BLOCK, WIRE, codes, entry_of, told, work_of

STUDENTS = [Student(code="A01", bench="1"), Student(code="A02", bench="2")]


def class_book(tmp_path: Path, practical: str = BLOCK) -> Workbook:
    """Return a class workbook, opened as a spreadsheet program would."""
    write_class_workbook(tmp_path / "set.xlsx", load_catalogue()[practical], STUDENTS)
    return openpyxl.load_workbook(tmp_path / "set.xlsx")


def student_book(tmp_path: Path, practical: str = BLOCK) -> Workbook:
    """Return a student's own workbook, opened likewise."""
    write_student_workbook(tmp_path / "set.xlsx", load_catalogue()[practical], STUDENTS[0])
    return openpyxl.load_workbook(tmp_path / "set.xlsx")


def read(book: Workbook, tmp_path: Path) -> ClassSet:
    """Return what is read from a workbook after it was saved."""
    book.save(tmp_path / "set.xlsx")
    (found,) = read_inputs([tmp_path / "set.xlsx"], load_catalogue())
    return found


def test_a_workbook_saved_by_another_program_is_still_ours(tmp_path: Path) -> None:
    """Entries typed into it are read, and nothing is said of numbers that are text on purpose."""
    book = class_book(tmp_path)
    book[layout.RESULTS]["E3"] = "0.998"
    book[layout.RESULTS]["F3"] = "kg"
    found = read(book, tmp_path)
    assert entry_of(found, "A01", "m").last_place == (-3, -3)
    assert told(found) == []


@pytest.mark.parametrize(
    ("said", "is_marked", "told_of"),
    [
        ("marked", True, []),
        ("", True, []),
        ("not marked", False, ["the graph on paper is not marked, and the total is less"]),
        (" Not  marked", False, ["the graph on paper is not marked, and the total is less"]),
        ("perhaps", True, ['the graph on paper is "perhaps": not understood, so it is marked']),
    ],
)
def test_the_first_sheet_says_whether_the_graph_is_marked(
    said: str, is_marked: bool, told_of: list[str], tmp_path: Path
) -> None:
    """One cell of the class workbook settles it for the set; what is unclear leaves it to the teacher and is told."""
    book = class_book(tmp_path, WIRE)
    assert book[layout.READ_ME].cell(*layout.GRAPH).value == "marked"
    book[layout.READ_ME].cell(*layout.GRAPH).value = said
    book[layout.RESULTS]["E3"] = "4.41"
    found = read(book, tmp_path)
    assert {work.student.marks_graph for work in found.write_ups} == {is_marked}
    remarks = [one.message for one in found.remarks if "graph on paper" in one.message]
    assert [words.split("!B4: ")[1].split(".")[0] for words in remarks] == told_of


def test_only_a_class_workbook_with_a_graph_has_the_setting(tmp_path: Path) -> None:
    """A student's own workbook, and a practical without a graph on paper, have nothing to set."""
    assert class_book(tmp_path)[layout.READ_ME].cell(*layout.GRAPH).value is None
    assert student_book(tmp_path, WIRE)[layout.READ_ME].cell(*layout.GRAPH).value == "A01"


def test_two_workbooks_that_differ_leave_the_graph_marked(tmp_path: Path) -> None:
    """It is one setting of the set."""
    for name, said in (("one", "marked"), ("two", "not marked")):
        book = class_book(tmp_path, WIRE)
        book[layout.READ_ME].cell(*layout.GRAPH).value = said
        book[layout.RESULTS]["E3"] = "4.41"
        book.save(tmp_path / f"{name}.xlsx")
    (found,) = read_inputs([tmp_path / "one.xlsx", tmp_path / "two.xlsx"], load_catalogue())
    assert all(work.student.marks_graph for work in found.write_ups)
    assert any("another that it is not" in one.message for one in found.remarks)


def test_rows_columns_and_sheets_may_be_moved(tmp_path: Path) -> None:
    """Headings are found by what they say, in our own workbooks too."""
    book = class_book(tmp_path)
    sheet = book[layout.RESULTS]
    sheet["E3"], sheet["F3"] = "0.998", "kg"
    sheet.insert_rows(1)
    sheet.insert_cols(1)
    sheet.title = "Ergebnisse"
    book.move_sheet("Ergebnisse", -1)
    found = read(book, tmp_path)
    entry = entry_of(found, "A01", "m")
    assert (entry.value, entry.place.sheet, entry.place.cell) == (0.998, "Ergebnisse", "F4")


def test_a_column_of_the_teachers_own_is_listed_once(tmp_path: Path) -> None:
    """What is not used is not passed over in silence."""
    book = class_book(tmp_path)
    book[layout.RESULTS]["Q2"], book[layout.RESULTS]["Q3"] = "comments", "well done"
    assert told(read(book, tmp_path)) == [("note", 'set.xlsx, Results: columns of no item, not used: "comments" (Q2).')]


def test_a_student_who_joins_late_is_added_below(tmp_path: Path) -> None:
    """A row typed under the others is a student like them."""
    book = class_book(tmp_path)
    sheet = book[layout.RESULTS]
    sheet["A5"], sheet["E5"], sheet["F5"] = "A03", "1.002", "kg"
    assert codes(read(book, tmp_path)) == ["A01", "A02", "A03"]


def test_a_line_of_dashes_in_a_table_is_a_line_that_was_not_needed(tmp_path: Path) -> None:
    """Only a dash beside other readings of the same line is a reading that is missing."""
    book = class_book(tmp_path, WIRE)
    sheet = book[layout.READINGS]
    for column, text in zip("DFHJ", ("0.2", "0.5", "-", "-"), strict=True):
        sheet[f"{column}3"] = text
        sheet[f"{column}4"] = "-"
    found = read(book, tmp_path)
    assert [entry.state for entry in work_of(found, "A01").columns["I"].values()] == [State.BLANK, State.BLANK]
    assert told(found) == [("query", 'set.xlsx, Readings!H3, A01: taken as not given: I (H3, "-"), R (J3, "-").')]


def test_an_item_that_a_student_renamed_is_asked_about(tmp_path: Path) -> None:
    """A value beside a name that is no item is shown, not lost."""
    book = student_book(tmp_path)
    sheet = book[layout.RESULTS]
    sheet["A3"], sheet["D3"] = "weight of it", "998"
    found = read(book, tmp_path)
    ((weight, message),) = told(found)
    assert weight == "query"
    assert message == (
        'set.xlsx, Results!A3, A01: "weight of it" is no item of specific-heat-block; '
        '"998" is not used. Correct the name.'
    )


def test_a_student_workbook_without_a_code_is_refused(tmp_path: Path) -> None:
    """Whose it is cannot be known; the message says where the code goes."""
    book = student_book(tmp_path)
    book[layout.READ_ME].cell(*layout.STUDENT).value = None
    with pytest.raises(InputError, match="whose is it") as refusal:
        read(book, tmp_path)
    assert layout.READ_ME in refusal.value.mend


def test_a_student_table_keeps_its_row_numbers(tmp_path: Path) -> None:
    """Row 2 left empty leaves row 3 row 3."""
    book = student_book(tmp_path, WIRE)
    sheet = book[layout.READINGS]
    sheet["B3"], sheet["C3"], sheet["B5"] = "20.0", "cm", "40.0"
    found = read(book, tmp_path)
    column = work_of(found, "A01").columns["L"]
    assert {row: (entry.raw, entry.unit_raw) for row, entry in column.items()} == {1: ("20.0", "cm"), 3: ("40.0", "cm")}
