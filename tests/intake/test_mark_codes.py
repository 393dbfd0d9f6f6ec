"""Mark codes stand beside the marks; an absent or excused student counts in no mean."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.checking import mark_set
from marking.cohort.picture import picture
from marking.findings import MarkedSet
from marking.intake import read_inputs
from marking.intake.mark_codes import read_mark_codes
from rubrics.load import load_catalogue

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
