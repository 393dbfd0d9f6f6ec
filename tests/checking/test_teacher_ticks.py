"""A teacher's tick decides what waits for the teacher; without one the mark waits, and is never zero."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest

from marking.findings import Outcome
from marking.intake.read_inputs import read_inputs
from marking.write_up import Weight
from reports.tables.marks_workbook import write_marks_workbook
from rubrics.load import load_catalogue
from tests.checking.rows import CUBOID, HEAT, found, mark, mark_class, marks


@pytest.mark.parametrize(
    ("tick", "given"),
    [
        ("✓", 1),
        ("1", 1),
        ("yes", 1),
        ("1.0", 1),
        ("x", 0),
        ("0", 0),
        ("No", 0),
        ("", None),
        ("-", None),
        ("2", None),
        ("0.5", None),
        ("maybe", None),
        ("-1", None),
    ],
)
def test_a_tick_decides_and_anything_else_waits(tick: str, given: int | None) -> None:
    """A tick gives or withholds the marks; a blank, a mark over the most and half a mark leave it open."""
    script = mark("specific-heat-block", f"{HEAT}\nV1,,{tick},")
    assert marks(script)["V1"] == given
    assert (script.pending, script.out_of) == (1 if given is not None else 2, 12)


def test_a_ticked_criterion_says_who_decided() -> None:
    """The finding says that the teacher decided, and keeps what was proposed."""
    lines = f"{HEAT}\nwhy_off,,heat was lost so c is too high,\nV1,,x,"
    (finding,) = found("specific-heat-block", lines, "V1")
    assert (finding.outcome, finding.reason, finding.marks) == (Outcome.WITHHELD, "teacher-ticked", 0)
    assert finding.facts["proposal"] == "awarded"


def test_a_proposal_gives_no_mark() -> None:
    """Without a tick the best answer waits, with the proposal, the words it rests on and its group."""
    (finding,) = found("specific-heat-block", f"{HEAT}\nwhy_off,,heat was lost so c is too high,", "V1")
    assert (finding.outcome, finding.reason, finding.marks) == (Outcome.FOR_TEACHER, "proposed-awarded", None)
    assert (finding.facts["idea"], finding.facts["group"]) == ("loss, direction", "loss direction")
    assert finding.facts["highlight"] == "heat … lost … c … high"


def test_a_teacher_overrules_what_was_worked_out() -> None:
    """The mark is the teacher's, with the reason beside it; what was found stays; without a reason it is asked for."""
    lines = {
        "S001": f"{CUBOID}\ntick F1,,x,\nwhy F1,,copied from the board,",
        "S002": f"{CUBOID}\ntick F1,,✓,",
        "S003": f"{CUBOID}\ntick F1,,x,",
    }
    marked = mark_class("density-cuboid", lines)
    assert [marks(script)["F1"] for script in marked.scripts] == [0, 1, 0]
    told = {one.student: one for one in marked.remarks if one.item == "F1"}
    assert told["S001"].weight is Weight.NOTE
    assert "copied from the board" in told["S001"].message
    assert "S002" not in told
    assert told["S003"].weight is Weight.QUERY
    assert "why F1" in told["S003"].message
    first = marked.scripts[0]
    (mark_of,) = [one for one in first.criteria if one.criterion.code == "F1"]
    assert mark_of.ruling is not None
    assert (mark_of.ruling.proposed, mark_of.ruling.marks, mark_of.ruling.why) == (1, 0, "copied from the board")
    assert [one.outcome for one in first.as_found if one.criterion == "F1"] == [Outcome.AWARDED]
    assert [one.reason for one in first.findings if one.criterion == "F1"] == ["teacher-ticked"]


def test_marks_of_the_findings_add_up_to_the_marks_given() -> None:
    """Lines of findings carry the marks of their criteria, overruled or not."""
    for lines in (CUBOID, f"{CUBOID}\ntick F1,,x,\ntick R1,,x,", f"{CUBOID}\ntick V1,,✓,"):
        (script,) = mark_class("density-cuboid", {"S001": lines}).scripts
        assert sum(one.marks or 0 for one in script.findings) == script.awarded
        assert sum(one.out_of for one in script.findings) == script.out_of


def test_short_answers_come_back_as_ticks(tmp_path: Path) -> None:
    """The sheet of short answers, ticked and saved as CSV, decides the marks of the same class."""
    answer = f"{HEAT}\nwhy_off,,heat was lost so c is too high,"
    write_marks_workbook(tmp_path / "marks.xlsx", [mark_class("specific-heat-block", {"S001": answer})])
    sheet = openpyxl.load_workbook(tmp_path / "marks.xlsx")["Short answers"]
    head, row = ([str(value or "") for value in line] for line in sheet.iter_rows(values_only=True))
    assert head[-4:] == ["student", "practical", "item", "entry"]
    assert row[1].startswith("says: Energy goes to the surroundings")
    assert row[2] == "awarded"
    file = tmp_path / "ticks.csv"
    with file.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([head, [*row[:-1], "✓"]])
    rubrics = load_catalogue()
    (class_set,) = read_inputs([file], rubrics)
    assert class_set.write_ups[0].ticks["V1"].marks == 1
