from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from marking.intake.blank.blank_workbook import write_class_workbook
from marking.intake.forms import own_layout as layout
from marking.intake.forms.trial_sheet import trial_lines, write_trials_file
from marking.intake.read_inputs import read_inputs
from marking.write_up import ClassSet, Student
from rubrics.faults.errors import InputError
from rubrics.load import load_catalogue

CLASS = (
    "student,bench,practical,item,row,entry,unit\nS1,1,density-cuboid,m,,54.0,g\nS2,Bench 2,density-cuboid,m,,54.1,g\n"
)
CUBOID = load_catalogue()["density-cuboid"]


def read(folder: Path, trials: Path | None = None) -> ClassSet:
    """Return the one set of a folder."""
    (class_set,) = read_inputs([folder], load_catalogue(), trials=trials)
    return class_set


def handed_in(folder: Path) -> Path:
    """Return a folder with a class of two."""
    folder.mkdir()
    (folder / "10A.csv").write_text(CLASS, encoding="utf-8")
    return folder


def masses(class_set: ClassSet) -> dict[str, float | None]:
    """Return bench to the mass of its trial."""
    return {one.student.bench: one.singles["m"].value for one in class_set.trials}


FORMS = {
    "a line a cell": "bench,item,row,entry,unit\n1,m,,54.2,g\nbench 2,m,,53.9,g\n",
    "a row a bench": "bench,m / g,l / cm\n1,54.2,2.50\nbench 2,53.9,\n",
    "saved with semicolons": "bench;m / g\n1;54,2\nbench 2;53,9\n",
    "for a practical that is named": "practical,bench,m / g\ndensity-cuboid,1,54.2\ndensity-cuboid,bench 2,53.9\n",
}


@pytest.mark.parametrize("form", FORMS)
def test_every_form_of_csv_is_read(form: str, tmp_path: Path) -> None:
    """The trial values are the same however they are written, and a bench is spelt as the class spells it."""
    trials = tmp_path / "tried.csv"
    trials.write_text(FORMS[form], encoding="utf-8")
    class_set = read(handed_in(tmp_path / "class"), trials)
    assert masses(class_set) == {"1": 54.2, "Bench 2": 53.9}
    assert [one.name for one in class_set.sources] == ["10A.csv", "tried.csv"]


def test_a_file_of_that_name_beside_the_class_is_found(tmp_path: Path) -> None:
    """As roster.csv is the roster of its folder, trials.csv holds its trial values and is no class."""
    folder = handed_in(tmp_path / "class")
    plain = read(folder)
    (folder / "Trials.csv").write_text(FORMS["a row a bench"], encoding="utf-8")
    class_set = read(folder)
    assert masses(class_set) == {"1": 54.2, "Bench 2": 53.9}
    assert class_set.write_ups == plain.write_ups
    assert plain.trials == ()


def test_the_blank_form_leaves_nothing(tmp_path: Path) -> None:
    """A form that nobody has filled in is no trial, and nothing is said of its empty cells."""
    trials = tmp_path / "trials.csv"
    write_trials_file(trials, CUBOID, ("1", "2"))
    class_set = read(handed_in(tmp_path / "class"), trials)
    assert class_set.trials == ()
    assert class_set.remarks == ()


def test_the_sheet_of_a_class_workbook_is_read(tmp_path: Path) -> None:
    """What a technician types into the sheet Trial values comes back bench by bench, a table row by row."""
    rubric = load_catalogue()["wire-resistance"]
    path = tmp_path / "10A.xlsx"
    students = [Student(code="S1", bench="1"), Student(code="S2", bench="2")]
    write_class_workbook(path, rubric, students, {"S1": {"L": {1: ("0.1", "m")}}}, benches=("1", "2"))
    book = openpyxl.load_workbook(path)
    sheet = book[layout.TRIALS]
    assert [cell.value for cell in sheet[layout.HEADING_ROW]] == ["bench", "row", "L / m", "V / V", "I / A"]
    for row, (length, volts) in enumerate((("0.200", "0.35"), ("0.900", "1.61")), layout.FIRST_ROW):
        sheet.cell(row, 3, length)
        sheet.cell(row, 4, volts)
    book.save(path)
    (class_set,) = read_inputs([path], load_catalogue())
    (trial,) = class_set.trials
    assert trial.student.bench == "1"
    assert {row: entry.value for row, entry in trial.columns["V"].items() if entry.value} == {1: 0.35, 2: 1.61}
    assert [one.student.code for one in class_set.write_ups] == ["S1", "S2"]


def test_a_workbook_without_benches_is_the_same_as_ever(tmp_path: Path) -> None:
    """The sheet is there where it was asked for and nowhere else; empty, it changes nothing that is read."""
    students = [Student(code="S1", bench="1")]
    for name, benches in (("plain", ()), ("tried", ("1", "2"))):
        write_class_workbook(tmp_path / f"{name}.xlsx", CUBOID, students, {"S1": {"m": ("54.0", "g")}}, benches=benches)
    assert layout.TRIALS not in openpyxl.load_workbook(tmp_path / "plain.xlsx").sheetnames
    plain, tried = (read_inputs([tmp_path / f"{name}.xlsx"], load_catalogue())[0] for name in ("plain", "tried"))
    assert tried.trials == ()
    assert tried.remarks == plain.remarks == ()
    assert tried.write_ups[0].singles["m"].value == plain.write_ups[0].singles["m"].value


def test_what_cannot_be_read_is_told_of_the_bench(tmp_path: Path) -> None:
    """A cell that is no number is told with its place and is put to no student; the other cells are used."""
    trials = tmp_path / "tried.csv"
    trials.write_text("bench,m / g,l / cm\n1,about fifty,2.50\n", encoding="utf-8")
    class_set = read(handed_in(tmp_path / "class"), trials)
    (remark,) = class_set.remarks
    assert "about fifty" in remark.message
    assert "tried.csv" in remark.message
    assert remark.student == ""
    assert class_set.trials[0].singles["l"].value == 2.5


@pytest.mark.parametrize("text", ["", "m,l\n1,2\n", "student,m\nS1,54\n"])
def test_a_file_without_benches_is_refused(text: str, tmp_path: Path) -> None:
    """A file that names no bench is no file of trials, and the message says what one is."""
    trials = tmp_path / "tried.csv"
    trials.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=r'Head the columns "bench"|empty'):
        read(handed_in(tmp_path / "class"), trials)


@pytest.mark.parametrize("practical", load_catalogue())
def test_the_form_of_every_practical_can_be_read(practical: str, tmp_path: Path) -> None:
    """Every heading of the form is known to the reader: what is typed under it arrives at its item."""
    rubric = load_catalogue()[practical]
    headings, *lines = trial_lines(rubric, ("1",))
    line = dict.fromkeys(headings, "") | dict(zip(headings, lines[0], strict=True))
    numbers = [heading for heading in headings[2:] if heading != "row"]
    line |= dict.fromkeys(numbers, "7")
    trials = tmp_path / "trials.csv"
    trials.write_text(",".join(headings) + "\n" + ",".join(line.values()) + "\n", encoding="utf-8")
    first = next(item for item in rubric.items.values() if not item.is_words)
    row = "1" if first.table else ""
    (tmp_path / "class").mkdir()
    lines_of_class = f"student,practical,item,row,entry\nS1,{practical},{first.name},{row},7\n"
    (tmp_path / "class" / "10A.csv").write_text(lines_of_class, encoding="utf-8")
    (trial,) = read(tmp_path / "class", trials).trials
    found = {*trial.singles, *trial.columns}
    assert found == {heading.split(" / ")[0] for heading in numbers}
