"""Sheets with a row a student."""

from __future__ import annotations

import pytest

from marking.write_up import State
from rubrics.faults.errors import InputError
from tests.intake.class_files import BLOCK, WIRE, codes, csv_text, entry_of, read_files, read_wide, told, work_of

HEADINGS = ("student", "bench", "mass_g", "temp_start_C", "temp_end_C", "energy_J", "answer", "unit")
A01 = ("A01", "1", "998", "19.5", "40.0", "20400", "997", "J/(kg °C)")
A02 = ("A02", "2", "1005", "20.0", "41.5", "21600", "1000", "J/(kg K)")


def test_headings_name_the_items() -> None:
    """Each value stands under its item, with the unit of the heading or of the unit column."""
    found = read_wide([HEADINGS, A01, A02])
    work = work_of(found, "A02")
    assert {item: (entry.raw, entry.unit_raw) for item, entry in work.singles.items()} == {
        "m": ("1005", "g"),
        "T_start": ("20.0", "C"),
        "T_end": ("41.5", "C"),
        "E": ("21600", "J"),
        "c": ("1000", "J/(kg K)"),
    }
    assert work.student.bench == "2"
    assert told(found) == []


def test_an_empty_cell_under_a_heading_is_not_given() -> None:
    """The item was asked for, so its blank has a place that can be named."""
    found = read_wide([HEADINGS, ("A01", "1", "", *A01[3:])])
    entry = entry_of(found, "A01", "m")
    assert (entry.state, entry.place.cell) == (State.BLANK, "C2")


def test_a_sheet_that_does_not_say_what_it_is_about_is_refused_with_the_likely_ones() -> None:
    """The teacher is asked, and told which practicals the headings fit."""
    with pytest.raises(InputError) as refusal:
        read_files({"class.csv": csv_text([HEADINGS, A01])})
    assert BLOCK in refusal.value.problem
    assert "--practical" in refusal.value.mend


def test_a_column_may_say_what_the_sheet_is_about() -> None:
    """One practical in every row of a column of that name is as good as a word from outside."""
    lines = [("student", "practical", "m / g"), ("A01", BLOCK, "998"), ("A02", BLOCK, "1005")]
    (found,) = read_files({"class.csv": csv_text(lines)})
    assert (found.practical, entry_of(found, "A02", "m").value) == (BLOCK, 1005)


def test_a_table_has_a_line_for_each_of_its_rows() -> None:
    """With a column of row numbers, each line is one row of one student's table."""
    lines = [
        ("student", "row", "L / m", "V / V"),
        ("A01", "1", "0.2", "0.5"),
        ("A01", "3", "0.4", ""),
        ("A02", "1", "", ""),
    ]
    found = read_wide(lines, WIRE)
    columns = work_of(found, "A01").columns
    assert {item: {row: e.raw for row, e in column.items()} for item, column in columns.items()} == {
        "L": {1: "0.2", 3: "0.4"},
        "V": {1: "0.5", 3: ""},
    }
    assert not work_of(found, "A02").columns  # a line that was not needed
    assert codes(found) == ["A01", "A02"]


def test_a_table_without_row_numbers_is_counted_down_the_sheet() -> None:
    """A student's lines are rows 1, 2, 3 in the order in which they stand."""
    lines = [("student", "L / m"), ("A01", "0.2"), ("A02", "0.3"), ("A01", "0.4")]
    found = read_wide(lines, WIRE)
    assert {row: entry.raw for row, entry in work_of(found, "A01").columns["L"].items()} == {1: "0.2", 2: "0.4"}


def test_a_form_asks_for_a_table_cell_by_cell() -> None:
    """Headings that say which row they are fill the rows of one student's line."""
    lines = [("student", "L row 1", "L row 2", "L row 3", "gradient"), ("A01", "0.2 m", "", "0.4 m", "4.4 Ω/m")]
    found = read_wide(lines, WIRE)
    assert list(work_of(found, "A01").columns["L"]) == [1, 3]
    assert entry_of(found, "A01", "gradient").unit_raw == "Ω/m"


def test_an_absent_student_is_said_to_be_absent() -> None:
    """A column 'absent' tells who was not there from who handed nothing in."""
    lines = [("student", "absent", "m / g"), ("A01", "yes", ""), ("A02", "", ""), ("A03", "no", "998")]
    found = read_wide(lines)
    assert [work.student.absent for work in found.write_ups] == [True, False, False]


def test_an_absent_student_with_entries_is_marked_and_told() -> None:
    """Work that was handed in is never lost to a tick in the wrong row."""
    found = read_wide([("student", "absent", "m / g"), ("A01", "yes", "998")])
    assert not work_of(found, "A01").student.absent
    assert entry_of(found, "A01", "m").value == 998
    assert (
        "note",
        "class.csv, A2, A01: said to be absent, but there are entries; they are marked. Correct whichever is wrong.",
    ) in told(found)


def test_headings_printed_again_are_no_student() -> None:
    """Some programs repeat the heading line on every page."""
    assert codes(read_wide([HEADINGS, A01, HEADINGS, A02])) == ["A01", "A02"]


FORM = ("Timestamp", "Your code", "How heavy was the block? (g)", "Start", "How much energy?", "c", "Unit of c")
MAP = """
"Your code" = "student"
"How heavy was the block? (g)" = "m / g"
"Start" = "T_start / °C"
"How much energy?" = "E"
"c" = "c"
"Unit of c" = "c unit"
"""
ANSWERS = ("2024-03-01 10:15", "A01", "998", "19.5", "20.4 kJ", "997", "J/(kg °C)")


def test_a_form_is_read_through_a_map_of_its_columns() -> None:
    """The map says what each question is; the form's other columns are listed once."""
    files = {"form.csv": csv_text([FORM, ANSWERS]), "map.toml": MAP}
    (found,) = read_files(files, ["form.csv"], practical=BLOCK, columns="map.toml")
    work = work_of(found, "A01")
    assert {item: (entry.raw, entry.unit_raw) for item, entry in work.singles.items()} == {
        "m": ("998", "g"),
        "T_start": ("19.5", "°C"),
        "E": ("20.4 kJ", "kJ"),
        "c": ("997", "J/(kg °C)"),
    }
    assert ("note", 'form.csv: columns of no item, not used: "Timestamp" (A1).') in told(found)


@pytest.mark.parametrize(
    ("text", "problem"),
    [("Start = ", "not TOML"), ('"Start" = 3', "mapped to nothing"), ('"Start" = ""', "mapped to nothing")],
)
def test_a_map_that_is_none_is_refused_with_an_example(text: str, problem: str) -> None:
    """The author of the map is told what is wrong and what a line looks like."""
    files = {"form.csv": csv_text([FORM, ANSWERS]), "map.toml": text}
    with pytest.raises(InputError, match=problem) as refusal:
        read_files(files, ["form.csv"], practical=BLOCK, columns="map.toml")
    assert refusal.value.file == "map.toml"
    assert '"m"' in refusal.value.mend


def test_a_practical_that_is_not_known_is_refused() -> None:
    """A misspelt --practical says which there are, before any file is read."""
    with pytest.raises(InputError, match="no practical of this name"):
        read_wide([HEADINGS, A01], "specific-heat")
