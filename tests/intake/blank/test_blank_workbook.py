"""The workbooks that are handed out."""

from __future__ import annotations

import re
import time
import zipfile
from pathlib import Path

import openpyxl
import pytest

from marking.intake.blank.blank_workbook import Entries, write_class_workbook, write_student_workbook
from marking.intake.forms import own_layout as layout
from marking.write_up import Student
from rubrics.load import load_catalogue
from tests.intake.class_files import BLOCK, WIRE

STUDENTS = (
    Student(code="A01", name="Jo Fern", bench="10"),
    Student(code="A02", name="=1+1", bench="2"),
    Student(code="007", name="Sam Moss", absent=True),
)
ENTRIES: Entries = {
    "A01": {"L": {1: ("0.20", "m"), 2: ("=A1", "m")}, "gradient": ("@SUM(1)", "Ω/m")},
    "A02": {"m": ("0.50", "kg"), "c": ("+1-1", "=cmd")},
}


def write(tmp_path: Path, practical: str, entries: Entries | None = None) -> Path:
    """Return a class workbook that was written just now."""
    path = tmp_path / "set.xlsx"
    write_class_workbook(path, load_catalogue()[practical], STUDENTS, entries)
    return path


@pytest.mark.parametrize("practical", list(load_catalogue()))
def test_the_same_students_give_the_same_bytes(practical: str, tmp_path: Path) -> None:
    """Neither the clock nor the name of the file is in it."""
    first = write(tmp_path, practical, ENTRIES).read_bytes()
    time.sleep(0.01)
    (tmp_path / "elsewhere").mkdir()
    assert write(tmp_path / "elsewhere", practical, ENTRIES).read_bytes() == first
    with zipfile.ZipFile(tmp_path / "set.xlsx") as archive:
        assert b"2000-01-01" in archive.read("docProps/core.xml")


@pytest.mark.parametrize("practical", [BLOCK, WIRE])
def test_no_cell_is_a_formula_or_a_number(practical: str, tmp_path: Path) -> None:
    """'=1+1' is a text like any other, and '0.50' keeps its zero."""
    book = openpyxl.load_workbook(write(tmp_path, practical, ENTRIES))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} == {"s"}
    texts = {cell.value for cell in cells}
    assert {"=1+1", "007"} <= texts
    assert {BLOCK: "0.50", WIRE: "=A1"}[practical] in texts


def test_every_answer_cell_is_formatted_as_text(tmp_path: Path) -> None:
    """What is typed later keeps its zeros too, in rows that are empty now."""
    book = openpyxl.load_workbook(write(tmp_path, WIRE))
    for title in (layout.RESULTS, layout.READINGS):
        sheet = book[title]
        headings = [cell.value for cell in sheet[layout.HEADING_ROW]]
        assert headings[0] == "student"
        formats = {
            column: widths.number_format
            for widths in sheet.column_dimensions.values()
            for column in range(widths.min or 1, (widths.max or 0) + 1)
        }
        assert formats == dict.fromkeys(range(1, len(headings) + 1), "@")


def test_the_sheets_are_laid_out_as_the_headings_say(tmp_path: Path) -> None:
    """People first, then a value and a unit column for each item; words have no unit."""
    book = openpyxl.load_workbook(write(tmp_path, "iv-characteristic"))
    assert book.sheetnames == [layout.READ_ME, layout.RESULTS, layout.READINGS, layout.TICKS]
    results = [cell.value for cell in book[layout.RESULTS][layout.HEADING_ROW]]
    assert results[:5] == ["student", "name", "bench", "absent", "component"]
    assert results[5:9] == ["R_component", "R_component unit", "V_on", "V_on unit"]
    boxes = [f"{axis}_{what}" for axis in "xy" for what in ("from", "to", "square")]
    asked = ["why_hot", "why_off", "why_off_way", "why_off_because", "improve"]
    axes = [heading for box in boxes for heading in (box, f"{box} unit")]
    assert results[9:] == ["shape", "proportional", *axes, *asked, "mark code"]
    readings = [cell.value for cell in book[layout.READINGS][layout.HEADING_ROW]]
    assert readings == ["student", "bench", "row", "V", "V unit", "I", "I unit", "R", "R unit"]


def test_each_student_gets_rows_enough_for_the_mark_scheme(tmp_path: Path) -> None:
    """The readings sheet has the fewest rows that the scheme asks for, and two to spare."""
    sheet = openpyxl.load_workbook(write(tmp_path, WIRE))[layout.READINGS]
    codes = [sheet.cell(row, 1).value for row in range(layout.FIRST_ROW, sheet.max_row + 1)]
    asked = max(criterion.rows or 0 for criterion in load_catalogue()[WIRE].criteria)
    assert codes == [student.code for student in STUDENTS for _ in range(asked + 2)]


def test_a_longer_table_is_written_whole(tmp_path: Path) -> None:
    """More rows than usual are all there."""
    entries: Entries = {"A01": {"L": {row: (str(row), "cm") for row in range(1, 21)}}}
    sheet = openpyxl.load_workbook(write(tmp_path, WIRE, entries))[layout.READINGS]
    assert [sheet.cell(row, 3).value for row in range(3, 24)] == [*map(str, range(1, 21)), "1"]


@pytest.mark.parametrize("practical", list(load_catalogue()))
def test_the_lists_offer_what_is_usual_and_force_nothing(practical: str, tmp_path: Path) -> None:
    """Units, words, benches and absence have drop-downs; another text may be typed all the same."""
    rubric = load_catalogue()[practical]
    book = openpyxl.load_workbook(write(tmp_path, practical))
    lists = [validation for title in book.sheetnames for validation in book[title].data_validations.dataValidation]
    assert all(validation.type == "list" and not validation.showErrorMessage for validation in lists)
    offered = {validation.formula1.strip('"') for validation in lists}
    assert {"2,10", "yes"} <= offered
    for item in rubric.items.values():
        symbols = [unit.symbol for unit in item.recorded_in if unit.symbol]
        wanted = [choice.word for choice in item.choices] or symbols
        assert not wanted or ",".join(wanted) in offered


def test_sheets_are_set_up_to_be_read_and_printed(tmp_path: Path) -> None:
    """Headings stay in sight on the screen and stand on every page of A4 across."""
    path = write(tmp_path, WIRE)
    book = openpyxl.load_workbook(path)
    assert [book[title].freeze_panes for title in (layout.RESULTS, layout.READINGS)] == ["C3", "D3"]
    for sheet in book:
        assert (sheet.page_setup.orientation, sheet.page_setup.paperSize) == ("landscape", 9)
    assert [book[title].print_title_rows for title in (layout.RESULTS, layout.READINGS)] == ["$1:$2", "$1:$2"]
    with zipfile.ZipFile(path) as archive:
        assert b'numberStoredAsText="1"' in archive.read("xl/worksheets/sheet2.xml")


@pytest.mark.parametrize("practical", list(load_catalogue()))
def test_the_first_sheet_says_what_to_do_and_to_follow_local_rules(practical: str, tmp_path: Path) -> None:
    """Title, purpose, every item with its units, and cautions that end with the school's own rules."""
    rubric = load_catalogue()[practical]
    sheet = openpyxl.load_workbook(write(tmp_path, practical))[layout.READ_ME]
    lines = [" ".join(str(cell.value) for cell in row if cell.value) for row in sheet.iter_rows()]
    assert lines[0] == rubric.title
    assert f"practical {practical}" in lines
    assert rubric.purpose in lines
    cautions = dict(layout.instructions(rubric, is_class=True))["Take care"]
    assert cautions[-1].endswith("follow your school's own risk assessment and local rules.")
    assert set(cautions) <= set(lines)
    assert all(any(line.startswith(f"{name} ") for line in lines) for name in rubric.items)


def test_a_student_gets_one_line_an_item(tmp_path: Path) -> None:
    """In a student's own workbook the results run down the page, under the student's code and bench."""
    path = tmp_path / "A01.xlsx"
    write_student_workbook(path, load_catalogue()[WIRE], STUDENTS[0], ENTRIES)
    book = openpyxl.load_workbook(path)
    assert [book[layout.READ_ME].cell(*cell).value for cell in (layout.STUDENT, layout.BENCH)] == ["A01", "10"]
    results = list(book[layout.RESULTS].iter_rows(min_row=layout.HEADING_ROW, values_only=True))
    axes = [f"{axis}_{what}" for axis in "xy" for what in ("from", "to", "square")]
    words = ["why_miss", "why_off", "why_off_way", "why_off_because", "improve"]
    items = ["L_a", "R_a", "L_b", "R_b", "gradient", "intercept", *axes, *words]
    assert [line[0] for line in results] == ["item", *items]
    assert results[1 + items.index("gradient")][3:] == ("@SUM(1)", "Ω/m")
    assert [cell.value for cell in book[layout.READINGS][layout.HEADING_ROW]][:3] == ["row", "L", "L unit"]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [("a\x00b\x1f", "a\ufffdb\ufffd"), ("\ud800", "\ufffd"), ("\ufffe\uffff", "\ufffd\ufffd"), ("a\tb\nc", "a\tb\nc")],
    ids=["control", "half a pair", "no character", "tab and line end"],
)
def test_what_no_workbook_can_hold_is_shown_as_a_mark(text: str, wanted: str, tmp_path: Path) -> None:
    """The file can be opened again, whatever was in the text."""
    book = openpyxl.load_workbook(write(tmp_path, BLOCK, {"A01": {"m": (text, "")}}))
    assert book[layout.RESULTS].cell(layout.FIRST_ROW, 5).value == wanted


@pytest.mark.parametrize(("length", "is_cut"), [(32_767, False), (32_768, True)])
def test_a_text_longer_than_a_cell_is_cut_with_a_mark(length: int, is_cut: bool, tmp_path: Path) -> None:
    """Nothing is lost without a sign of it."""
    book = openpyxl.load_workbook(write(tmp_path, BLOCK, {"A01": {"m": ("a" * length, "")}}))
    text = str(book[layout.RESULTS].cell(layout.FIRST_ROW, 5).value)
    assert (len(text), text.endswith("… (cut here)")) == (32_767, is_cut)


def test_an_old_workbook_stays_whole_where_the_new_one_cannot_be_written(tmp_path: Path) -> None:
    """A folder in place of the file to be written stops the writing and leaves no half file."""
    (tmp_path / "set.xlsx").mkdir()
    with pytest.raises(OSError, match=re.escape("set.xlsx")):
        write(tmp_path, BLOCK)
    assert [path.name for path in tmp_path.iterdir()] == ["set.xlsx"]
