"""Lines and fields of CSV files."""

from __future__ import annotations

import pytest

from marking.intake.files.containers import Container, Kind
from marking.intake.files.csv_cells import CsvFile, open_csv, records
from rubrics.faults.errors import InputError


def opened(text: str | bytes) -> CsvFile:
    """Return a CSV file with *text* in it."""
    data = text if isinstance(text, bytes) else text.encode()
    return open_csv(Container(name="class.csv", kind=Kind.TEXT, data=data, sha256=""))


@pytest.mark.parametrize(
    ("text", "separator"),
    [
        ("student,m\nA01,998\n", ","),
        ("student;m\nA01;998\n", ";"),
        ("student\tm\nA01\t998\n", "\t"),
        ("student|m\nA01|998\n", "|"),
        ("sep=;\nstudent;m\n", ";"),
        ("Results, all of them; 10A, May\nstudent;m\nA01;998\n", ";"),  # a title above does not decide
        ('"student";"m, g"\nA01;998\n', ";"),
        ("student\nA01\n", ","),
        ("", ","),
    ],
)
def test_the_separator_is_the_one_of_the_heading_line(text: str, separator: str) -> None:
    """Counting all commas of a file would mistake decimal commas for separators."""
    assert opened(text).separator == separator


@pytest.mark.parametrize(
    ("text", "is_known"),
    [
        ("student;m\nA01;0,998\nA02;1,0\n", True),
        ("student;m\nA01;0,998\nA02;1.0\n", None),  # a point somewhere: each number speaks for itself
        ("student;m\nA01;20,400\n", None),  # three digits settle nothing
        ("student;m\nA01;998\n", None),
        ('student,m\nA01,"0,99"\n', True),  # forms are exported with commas between the fields in every country
        ("student;m\nA01;0,998\nA02;1,01\nA03;1.0\n", None),  # one point among commas: asked where it matters
    ],
)
def test_decimal_commas_are_known_only_where_nothing_speaks_against_them(text: str, is_known: bool | None) -> None:
    """Clear commas and no clear point, whatever stands between the fields."""
    assert opened(text).decimal_habit.of_file is is_known


@pytest.mark.parametrize(
    ("column", "row", "text", "is_comma"),
    [
        (2, 2, "1,002", None),  # the column writes commas, the student's other numbers points: asked
        (2, 2, "22.100", True),
        (2, 4, "1,002", True),
        (3, 2, "1,002", None),
        (4, 4, "1,002", True),  # a silent column: as the rest of the row
        (4, 9, "1,002", None),  # nothing speaks, and the file has both marks: asked
        (4, 9, "22.100", True),
    ],
)
def test_column_and_student_say_what_a_mark_is(column: int, row: int, text: str, is_comma: bool | None) -> None:
    """Where they differ, either mark may be either."""
    habit = opened(
        "student;m;T;E\nA01;998;20.5;20.400\nA02;1,01;21.5;20.300\nA03;1,1;;\nA04;1,2;20.5;1\n"
    ).decimal_habit
    assert habit.at(column, row, text) is is_comma


def test_rows_count_as_a_spreadsheet_shows_them() -> None:
    """An empty line is a row, a line break inside a field is none."""
    rows = list(records(opened('student,m\n\nA01,"9\n98"\nA02,1\n')))
    assert rows == [(1, ["student", "m"]), (2, []), (3, ["A01", "9\n98"]), (4, ["A02", "1"])]


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_lines_may_end_in_any_of_the_three_ways(ending: str) -> None:
    """Files of three systems are the same rows."""
    assert [fields for _, fields in records(opened(ending.join(["student,m", "A01,998", ""])))] == [
        ["student", "m"],
        ["A01", "998"],
    ]


@pytest.mark.parametrize(
    ("swallowed", "is_refused"),
    [("A02,998,20", True), ("A02,998", False), ("and more, as said, of it, all", False), ("plain", False)],
)
def test_a_quote_that_swallows_a_row_is_found(swallowed: str, is_refused: bool) -> None:
    """A line break in an answer is fine, unless what follows has as many fields as a row."""
    if is_refused:
        with pytest.raises(InputError, match="line 2: a quote"):
            opened(f'student,m,T\nA01,998,"20\n{swallowed}\nA03,998,20"\n')
    else:
        assert len(list(records(opened(f'student,m,T\nA01,998,"20\n{swallowed}"\n')))) == 2


def test_a_quote_that_is_never_closed_in_a_large_file_names_its_line() -> None:
    """The field grows past what a reader takes: the message still names the line where it opens."""
    text = 'student,m\nA01,998\nA02,"998\n' + "nothing like a row\n" * 20_000
    with pytest.raises(InputError, match="line 3: a quote"):
        list(records(opened(text)))


def test_a_field_too_long_for_any_reader_keeps_the_rest_of_its_row() -> None:
    """The start of it stays, with a mark; the fields beside it are as they were."""
    long = "9" * 200_000
    (_, fields) = list(records(opened(f"student,m,T\nA01,{long},20\n")))[1]
    assert (fields[0], fields[2]) == ("A01", "20")
    assert fields[1] == "9" * 2000 + "… (200000 characters; cut here)"
