"""Mark codes stand beside the marks; an absent or excused student counts in no mean."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.checking.checks.second_looks.mark_codes import RECORDING
from marking.checking.marking_set import mark_set
from marking.cohort.picture.class_picture import picture
from marking.cohort.picture.item_statistics import item_statistics
from marking.findings import MarkedSet
from marking.intake.blank.blank_workbook import write_class_workbook
from marking.intake.people.typed_codes import read_mark_codes
from marking.intake.read_inputs import read_inputs
from marking.write_up import Student
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind

HEADING = "student,mark code,m,m unit,V,V unit,rho,rho unit\n"


@pytest.mark.parametrize(
    ("text", "codes", "others"),
    [
        ("", (), ()),
        ("late", ("LATE",), ()),
        ("REDO, LATE", ("LATE", "REDO"), ()),
        ("FAULT;LATE/INC", ("LATE", "INC", "FAULT"), ()),
        ("LATER", (), ("LATER",)),
    ],
)
def test_codes_are_read(text: str, codes: tuple[str, ...], others: tuple[str, ...]) -> None:
    """Several may stand in one cell; what is none is told."""
    assert read_mark_codes(text) == (codes, others)


def class_of(folder: Path, *rows: str) -> MarkedSet:
    """Return a class marked from rows of a CSV file."""
    file = folder / "class.csv"
    file.write_text(HEADING + "\n".join(rows) + "\n", encoding="utf-8")
    rubrics = load_catalogue()
    (class_set,) = read_inputs([file], rubrics, practical="density-displacement")
    return mark_set(rubrics["density-displacement"], class_set)


def test_codes_go_with_the_student_and_excused_ones_stay_out_of_means(tmp_path: Path) -> None:
    """All three stand in the set; the mean is that of the one who was neither away nor excused."""
    done = "27.0,g,10.0,cm³,2.70,g/cm³"
    marked = class_of(tmp_path, f"S1,LATE,{done}", "S2,EXC,27.0,g,10.0,cm³,,", "S3,AB,,,,,,")
    assert [script.write_up.student.codes for script in marked.scripts] == [("LATE",), ("EXC",), ("AB",)]
    seen = picture(marked)
    assert seen.mean == marked.scripts[0].awarded != marked.scripts[1].awarded
    assert (seen.absent, seen.missing) == (("S3",), ())
    assert seen.codes == (("AB", ("S3",)), ("EXC", ("S2",)), ("LATE", ("S1",)))


def test_an_unknown_code_is_told(tmp_path: Path) -> None:
    """A word that is no code is no code's silence."""
    marked = class_of(tmp_path, "S1,SICK,27.0,g,10.0,cm³,2.70,g/cm³")
    assert any('"SICK" is no mark code' in remark.message for remark in marked.remarks)


TIDY = "student,practical,item,row,entry,unit,mark code\n"


@pytest.mark.parametrize("code", ["", "FAULT", "GIVEN"])
def test_codes_in_tidy_csv(tmp_path: Path, code: str) -> None:
    """A line of the tidy form says the code beside its student; it reaches the script."""
    lines = [("m", "27.0", "g"), ("V", "10.0", "cm³"), ("rho", "2.70", "g/cm³")]
    text = TIDY + "".join(f"S1,density-displacement,{item},,{entry},{unit},{code}\n" for item, entry, unit in lines)
    (tmp_path / "class.csv").write_text(text, encoding="utf-8")
    (class_set,) = read_inputs([tmp_path / "class.csv"], load_catalogue())
    assert class_set.write_ups[0].student.codes == ((code,) if code else ())


def outcomes(marked: MarkedSet, kinds: set[CheckKind]) -> dict[str, set[str]]:
    """Return the outcomes of the criteria of some kinds, by code."""
    wanted = {one.code for one in marked.rubric.criteria if one.check in kinds}
    found: dict[str, set[str]] = {}
    for finding in marked.scripts[0].findings:
        if finding.criterion in wanted:
            found.setdefault(finding.criterion, set()).add(finding.outcome.value)
    return found


def test_given_readings_leave_recording_to_the_teacher_and_processing_is_marked(tmp_path: Path) -> None:
    """Who worked with given readings shows no recording; the calculation is the student's own."""
    done = "27.0,g,10.0,cm³,2.70,g/cm³"
    plain, given = class_of(tmp_path, f"S1,,{done}"), class_of(tmp_path, f"S1,GIVEN,{done}")
    recording = outcomes(given, set(RECORDING))
    assert recording
    assert all(one == {"for-teacher"} for one in recording.values())
    processing = {CheckKind.VALUE, CheckKind.UNIT, CheckKind.FIGURES, CheckKind.METHOD}
    assert outcomes(given, processing) == outcomes(plain, processing)
    assert {"awarded"} in outcomes(given, processing).values()


def test_excused_and_absent_stay_out_of_facilities_and_item_statistics(tmp_path: Path) -> None:
    """An excused student's gaps say nothing of how hard a criterion is; a zero of one who was there does."""
    done, poor = "27.0,g,10.0,cm³,2.70,g/cm³", "27.0,g,10.0,cm³,9.99,g/cm³"
    alone = class_of(tmp_path, f"S1,,{done}")
    for code, changes in (("EXC", False), ("AB", False), ("LOST", False), ("LATE", True)):
        marked = class_of(tmp_path, f"S1,,{done}", f"S2,{code},{poor}")
        assert (picture(marked).criteria != picture(alone).criteria) is changes
        assert (item_statistics(marked).criteria != item_statistics(alone).criteria) is changes
        assert [script.write_up.student.code for script in marked.scripts] == ["S1", "S2"]


def test_blank_class_workbook_has_the_column(tmp_path: Path) -> None:
    """The roster's codes stand in the last column, and come back when the workbook is read."""
    rubrics = load_catalogue()
    students = [Student(code="S1", codes=("LATE", "REDO")), Student(code="S2")]
    write_class_workbook(tmp_path / "class.xlsx", rubrics["density-displacement"], students)
    (class_set,) = read_inputs([tmp_path / "class.xlsx"], rubrics)
    assert [one.student.codes for one in class_set.write_ups] == [("LATE", "REDO"), ()]
