"""The roster, and whom the codes in a file mean."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.intake.people.rosters import read_roster
from marking.write_up import ClassSet
from rubrics.faults.errors import InputError
from tests.intake.class_files import BLOCK, TIDY, codes, csv_text, entry_of, read_files, told, work_of

ROSTER = "student,name,bench\nB02,Jo Fern,2\nB01,Sam Moss,1\nB03,Kit Reed,3\n"


def read(*students: str, roster: str = ROSTER) -> ClassSet:
    """Return the set of students with one entry each, beside a roster."""
    lines = [(student, "", BLOCK, "m", "", "998", "g") for student in students]
    files = {"class.csv": csv_text([TIDY, *lines]), "roster.csv": roster}
    (found,) = read_files(files, ["class.csv"], roster="roster.csv")
    return found


def test_every_student_of_the_roster_has_a_write_up_in_its_order() -> None:
    """Nobody is lost for having handed nothing in."""
    found = read("B01")
    assert codes(found) == ["B02", "B01", "B03"]
    assert work_of(found, "B01").student.name == "Sam Moss"
    assert work_of(found, "B01").student.bench == "1"
    assert not work_of(found, "B03").is_handed_in
    assert told(found) == []


def test_a_student_who_is_not_in_the_roster_is_kept_and_told() -> None:
    """A mistyped code is marked all the same, with the nearest code of the roster."""
    found = read("B01", "BO2")
    assert codes(found) == ["B02", "B01", "B03", "BO2"]
    assert told(found) == [
        (
            "query",
            'class.csv, A3, BO2: "BO2" is not in the roster (nearest: B02); marked all the same. '
            "Correct the code, or add it to the roster.",
        )
    ]


def test_a_wrong_roster_is_told_once() -> None:
    """Where nobody fits, one remark says so instead of one a student."""
    found = read(*(f"Z{number:02}" for number in range(20)))
    ((weight, message),) = told(found)
    assert weight == "query"
    assert "20 students are not in the roster" in message


@pytest.mark.parametrize("typed", ["b01", " B01", "B 01", "B01\u200b", "１", "Sam Moss", "sam  moss"])
def test_a_code_is_matched_by_case_space_second_code_or_name(typed: str) -> None:
    """What a typing hand adds or leaves out does not make another student."""
    roster = "student,name,bench,candidate number\nB01,Sam Moss,1,１\nB02,Jo Fern,2,2\n"
    found = read(typed, roster=roster)
    assert codes(found) == ["B01", "B02"]
    assert entry_of(found, "B01", "m").value == 998


def test_a_second_code_that_two_students_share_means_neither() -> None:
    """Two students of one name are not told apart by it."""
    found = read("Sam Moss", roster="student,name\nB01,Sam Moss\nB02,Sam Moss\n")
    assert codes(found) == ["B01", "B02", "Sam Moss"]


def test_roster_codes_alike_in_form_are_matched_only_as_typed() -> None:
    """With B01 and b01 both in the roster, each is itself, and the teacher is told, and what their files are called."""
    found = read("b01", roster="student,name\nB01,Sam\nb01,Jo\n")
    assert not work_of(found, "B01").is_handed_in
    assert work_of(found, "b01").is_handed_in
    assert [weight for weight, _ in told(found)] == ["query", "note", "note"]


def test_a_sheet_of_names_is_read_with_the_roster() -> None:
    """A form that asks for names only is matched to the codes."""
    files = {"form.csv": "name,m / g\nJo Fern,998\n", "roster.csv": ROSTER}
    (found,) = read_files(files, ["form.csv"], roster="roster.csv", practical=BLOCK)
    assert entry_of(found, "B02", "m").value == 998
    assert codes(found) == ["B02", "B01", "B03"]


def test_the_roster_may_say_who_was_absent() -> None:
    """Absence comes from the roster as well as from the workbook."""
    found = read("B02", roster="student,name,absent\nB01,Sam,AB\nB02,Jo,\n")
    assert [work.student.absent for work in found.write_ups] == [True, False]


def test_a_folder_brings_its_own_roster() -> None:
    """A file roster.csv in a folder is the roster and no class; its source is named first."""
    lines = [TIDY, ("B01", "", BLOCK, "m", "", "998", "g")]
    (found,) = read_files({"set/class.csv": csv_text(lines), "set/roster.csv": ROSTER}, ["set"])
    assert codes(found) == ["B02", "B01", "B03"]
    assert [source.name for source in found.sources] == ["roster.csv", "class.csv"]


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("", "empty"),
        ("\n\n", "empty"),
        ("Sam Moss\nJo Fern\n", "no column headed"),
        ("student,name\n", "no students"),
        ("student,name\n,Sam\n", "no students"),
    ],
)
def test_a_roster_that_cannot_be_used_is_refused(text: str, problem: str) -> None:
    """One sentence says what is wrong and how a roster begins."""
    with pytest.raises(InputError, match=problem):
        read("B01", roster=text)


def test_a_code_that_stands_twice_is_told() -> None:
    """The same line twice is a note; two names for one code are a question, and the first is used."""
    same = read("B01", roster="student,name\nB01,Sam\nB01,Sam\n")
    other = read("B01", roster="student,name\nB01,Sam\nB01,Jo\n")
    assert [weight for weight, _ in told(same)] == ["note"]
    assert [weight for weight, _ in told(other)] == ["query"]
    assert work_of(other, "B01").student.name == "Sam"


def test_codes_are_text(tmp_path: Path) -> None:
    """'007', '1E5' and 'NA' are codes like any other."""
    file = tmp_path / "roster.csv"
    file.write_text("student;name\n007;A\n1E5;B\nNA;C\n", encoding="utf-8-sig")
    roster = read_roster(file)
    assert [student.code for student in roster.students] == ["007", "1E5", "NA"]


@pytest.mark.parametrize(
    ("typed", "queries"),
    [
        pytest.param("", 0, id="usual page"),
        pytest.param("large print", 0, id="large print"),
        pytest.param("Cream", 0, id="cream"),
        pytest.param("large print and cream", 0, id="both"),
        pytest.param("braille", 1, id="not known"),
    ],
)
def test_the_roster_says_how_a_sheet_is_set(typed: str, queries: int) -> None:
    """What a column 'paper' asks for goes with the student; what is not known is told, and nobody is lost."""
    found = read("B01", roster=f"student,name,paper\nB01,Sam Moss,{typed}\n")
    assert work_of(found, "B01").student.paper == typed
    assert len([weight for weight, _ in told(found) if weight == "query"]) == queries


@pytest.mark.parametrize(
    ("column", "marks_graph", "is_told"),
    [
        pytest.param(("not marked", "", ""), False, False, id="one line is enough"),
        pytest.param(("Not  Marked", "none", "no"), False, False, id="said three ways"),
        pytest.param(("paper", "paper", ""), True, False, id="on paper"),
        pytest.param(("not marked", "paper", ""), True, True, id="lines that differ"),
        pytest.param(("yesterday", "", ""), True, True, id="not understood"),
    ],
)
def test_the_roster_says_whether_the_graph_is_marked(
    column: tuple[str, str, str], marks_graph: bool, is_told: bool
) -> None:
    """It is one setting of the set; what is unclear leaves the graph to the teacher and is told."""
    lines = ["student,name,bench,graph", *(f"B0{number},,1,{said}" for number, said in enumerate(column, start=1))]
    found = read("B01", roster="\n".join(lines) + "\n")
    assert {work.student.marks_graph for work in found.write_ups} == {marks_graph}
    assert bool(told(found)) is is_told
