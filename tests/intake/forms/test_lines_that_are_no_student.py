"""Lines of a sheet that are no student's, and a student's line that does not fit its headings."""

from __future__ import annotations

import pytest

from marking.write_up import State, Weight
from tests.intake.class_files import codes, entry_of, read_wide

_HEADINGS = ("student", "m / kg", "T_start / °C", "T_end / °C", "E / J", "dT / °C", "c / J/(kg °C)")
_LINES = [(f"S0{n}", f"1.00{n}", "20.0", "41.0", "19900", "21.0", f"94{n}") for n in range(1, 5)]


def _blank(code: str) -> tuple[str, ...]:
    return (code, *[""] * (len(_HEADINGS) - 1))


@pytest.mark.parametrize("note", ["Note: S02 came late", "printed 12 May", "bench 3 broken", "end"])
def test_a_note_under_the_table_is_told_and_is_no_student(note: str) -> None:
    """A line without a value whose code is like no other has nothing to be marked."""
    found = read_wide([_HEADINGS, *_LINES, _blank(note)])
    assert codes(found) == [line[0] for line in _LINES]
    assert any(remark.weight is Weight.NOTE and note in remark.message for remark in found.remarks)


@pytest.mark.parametrize("code", ["S05", "S05 (absent)", "s5"])
def test_a_student_who_handed_nothing_in_stays_one(code: str) -> None:
    """A code like the others is a student's."""
    assert len(codes(read_wide([_HEADINGS, *_LINES, _blank(code)]))) == len(_LINES) + 1


def test_as_many_notes_as_students_are_notes_all_the_same() -> None:
    """What those who handed in are called says what a code looks like."""
    notes = [_blank("Note: S02 came late"), _blank("printed 12 May"), _blank("room 3"), _blank("by hand")]
    assert codes(read_wide([_HEADINGS, *_LINES[:3], *notes])) == ["S01", "S02", "S03"]


def test_where_a_class_goes_by_names_nobody_is_a_note() -> None:
    """Names look like words, for that is what they are."""
    lines = [(name, *line[1:]) for name, line in zip(("Ada", "Bo", "Cy", "Di"), _LINES, strict=True)]
    assert "Ed Long" in codes(read_wide([_HEADINGS, *lines, _blank("Ed Long")]))


def test_the_number_of_students_is_no_student() -> None:
    """'n' under codes with figures says how many there are; among letters it is a code like the others."""
    row = ("n", *["4"] * (len(_HEADINGS) - 1))
    assert "n" not in codes(read_wide([_HEADINGS, *_LINES, row]))
    lettered = [(letter, *line[1:]) for letter, line in zip("klmo", _LINES, strict=True)]
    assert "n" in codes(read_wide([_HEADINGS, *lettered, ("n", *_LINES[0][1:])]))


def test_the_teachers_own_line_may_stand_in_brackets() -> None:
    """(teacher's own) is as little a student as teacher's own."""
    assert codes(read_wide([_HEADINGS, *_LINES, ("(teacher's own)", *_LINES[0][1:])])) == [line[0] for line in _LINES]


def test_a_row_typed_one_column_to_the_left_is_for_the_teacher() -> None:
    """Nothing of it is used, and it is told."""
    shifted = ("S05", "20.0", "41.0", "19900", "21.0", "945", "")
    found = read_wide([_HEADINGS, *_LINES, shifted])
    assert entry_of(found, "S05", "T_end").state is State.UNREADABLE
    assert any("shifted to the left" in remark.message and remark.weight is Weight.QUERY for remark in found.remarks)


@pytest.mark.parametrize(
    "row",
    [
        ("S05", "1.005", "20.0", "41.0", "19900", "21.0", ""),  # no answer given
        ("S05", "1005", "20.0", "41.0", "19900", "21.0", ""),  # grams, and no answer
        ("S05", "1.005", "20.0", "410", "199000", "21.0", ""),  # two slips
        ("S05", "20.0", "41.0", "19900", "21.0", "945", "946"),  # nothing is left empty
    ],
)
def test_any_other_row_is_used_as_it_stands(row: tuple[str, ...]) -> None:
    """A slip, or an answer that is missing, does not shift a row."""
    assert entry_of(read_wide([_HEADINGS, *_LINES, row]), "S05", "T_start").state is State.NUMBER


@pytest.mark.parametrize("heading", ['mass "m" / kg', "mass m / kg", "“m” / kg", "mass «m» (kg)"])
def test_a_heading_may_hold_its_letter_in_quotes(heading: str) -> None:
    """Quotes say nothing, and the quantity with its letter is the item that both name."""
    found = read_wide([(_HEADINGS[0], heading, *_HEADINGS[2:]), *_LINES])
    assert entry_of(found, "S01", "m").value == 1.001
