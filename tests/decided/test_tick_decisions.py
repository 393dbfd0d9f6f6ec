"""A teacher's tick decides what waits for the teacher; without one the mark waits, and is never zero."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest

from marking.findings import Outcome
from marking.intake.read_inputs import read_inputs
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
    lines = f"{HEAT}\nwhy_off,,heat was lost,\nV1,,x,"
    (finding,) = found("specific-heat-block", lines, "V1")
    assert (finding.outcome, finding.reason, finding.marks) == (Outcome.WITHHELD, "teacher-ticked", 0)
    assert finding.facts["proposal"] == "unsure"


def test_a_sure_answer_decides_where_the_rubric_says_so() -> None:
    """A source with its own direction earns the mark; the words it rests on and its group stand beside it."""
    (finding,) = found("specific-heat-block", f"{HEAT}\nwhy_off,,heat was lost so c is too high,", "V1")
    assert (finding.outcome, finding.reason, finding.marks) == (Outcome.AWARDED, "answer-sure", 1)
    assert (finding.facts["idea"], finding.facts["group"]) == ("source, direction", "loss high")
    assert finding.facts["highlight"] == "heat … lost"


@pytest.mark.parametrize(
    "answer", ["heat was lost", "heat was lost so c is too low", "It is wrong to say heat was lost"]
)
def test_anything_less_waits(answer: str) -> None:
    """One idea of two, a direction that belongs to another source, and a turn wait for the teacher."""
    (finding,) = found("specific-heat-block", f"{HEAT}\nwhy_off,,{answer},", "V1")
    assert (finding.outcome, finding.reason, finding.marks) == (Outcome.FOR_TEACHER, "unsure", None)


@pytest.mark.parametrize(
    ("what", "way", "because", "outcome"),
    [
        ("heat lost to the room", "too high", "the rise is smaller", Outcome.AWARDED),
        ("heat lost to the room", "high", "", Outcome.AWARDED),
        ("heat lost to the room", "too low", "", Outcome.FOR_TEACHER),
        ("heat lost to the room", "no change", "", Outcome.FOR_TEACHER),
        ("heat lost to the room", "too high", "the rise is too big", Outcome.FOR_TEACHER),
        ("thermometer touching the heater", "too low", "it reads too much", Outcome.AWARDED),
        ("thermometer touching the heater", "too high", "", Outcome.FOR_TEACHER),
        ("heat was lost so c is too high", "", "", Outcome.AWARDED),
        ("human error", "too high", "", Outcome.WITHHELD),
    ],
)
def test_parts_are_read_together(what: str, way: str, because: str, outcome: Outcome) -> None:
    """The direction in its box must be the one that belongs to the source, and the reason must not go against it."""
    lines = f"{HEAT}\nwhy_off,,{what},\nwhy_off_way,,{way},\nwhy_off_because,,{because},"
    (finding,) = found("specific-heat-block", lines, "V1")
    assert finding.outcome is outcome


def test_a_mark_that_was_worked_out_is_overruled_either_way() -> None:
    """A tick against a computed mark counts, with its reason; the finding stays as it was found."""
    wrong = CUBOID.replace("V,,24.2", "V,,99.9")
    lines = {
        "S001": f"{CUBOID}\ntick P1,,x,\nwhy P1,,copied from the board,",
        "S002": f"{wrong}\ntick P1,,✓,\nwhy P1,,said aloud,",
        "S003": f"{CUBOID}\ntick P1,,✓,",
    }
    plain = mark_class("density-cuboid", {"S001": CUBOID, "S002": wrong, "S003": CUBOID})
    marked = mark_class("density-cuboid", lines)
    assert [marks(script)["P1"] for script in marked.scripts] == [0, *[1] * 2]
    rulings = [next(one.ruling for one in script.criteria if one.criterion.code == "P1") for script in marked.scripts]
    assert [one.why for one in rulings if one] == ["copied from the board", "said aloud", ""]
    assert [one.proposed for one in rulings if one] == [marks(script)["P1"] for script in plain.scripts]
    kept = [[(one.item, one.outcome, one.marks) for one in script.as_found] for script in marked.scripts]
    assert kept == [[(one.item, one.outcome, one.marks) for one in script.findings] for script in plain.scripts]
    assert [one for one in marked.remarks if one.item == "P1"] == []


def test_a_mark_overruled_without_a_reason_is_asked_about() -> None:
    """It counts all the same, and the teacher is asked why."""
    marked = mark_class("density-cuboid", {"S001": f"{CUBOID}\ntick F1,,x,"})
    assert marks(marked.scripts[0])["F1"] == 0
    (remark,) = [one for one in marked.remarks if one.item == "F1"]
    assert "why F1" in remark.message


def test_marks_shown_add_up_to_the_marks_given() -> None:
    """Lines of findings carry the marks of their criteria, overruled or not."""
    for lines in (CUBOID, f"{CUBOID}\ntick F1,,x,\ntick R1,,x,", f"{CUBOID}\ntick V1,,✓,"):
        (script,) = mark_class("density-cuboid", {"S001": lines}).scripts
        assert sum(one.marks or 0 for one in script.findings) == script.awarded
        assert sum(one.out_of for one in script.findings) == script.out_of


def test_short_answers_come_back_as_ticks(tmp_path: Path) -> None:
    """The sheet of short answers, ticked and saved as CSV, decides the marks of the same class."""
    answer = f"{HEAT}\nwhy_off,,heat was lost so c is too low,"
    write_marks_workbook(tmp_path / "marks.xlsx", [mark_class("specific-heat-block", {"S001": answer})])
    sheet = openpyxl.load_workbook(tmp_path / "marks.xlsx")["Short answers"]
    head, row = ([str(value or "") for value in line] for line in sheet.iter_rows(values_only=True))
    assert head[-4:] == ["student", "practical", "item", "entry"]
    assert row[1].startswith("says: Energy goes to the surroundings")
    assert row[2] == "unsure"
    file = tmp_path / "ticks.csv"
    with file.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([head, [*row[:-1], "✓"]])
    rubrics = load_catalogue()
    (class_set,) = read_inputs([file], rubrics)
    assert class_set.write_ups[0].ticks["V1"].marks == 1
