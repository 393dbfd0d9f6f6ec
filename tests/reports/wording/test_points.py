"""Which findings one look mends."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.checking.marking_set import mark_set
from marking.intake.read_inputs import read_inputs
from reports.wording.points import Point, points_to_mend
from rubrics.load import load_catalogue
from tests.reports.invented import a_finding, a_student, wire_script
from tests.reports.invented_practicals import RUBRICS, WIRE

READINGS = {"1": ("2.00", "145"), "2": ("2.10", "62"), "series": ("2.40", "50"), "parallel": ("2.20", "224")}
"""P.d. in volts and current in milliamperes."""
LEFT_IN_MA = {"1": "0.0138", "2": "0.0339", "series": "0.0480", "parallel": "0.00982"}
TURNED_OVER = {"1": "0.0725", "2": "0.0295", "series": "0.0208", "parallel": "0.102"}
COPIED = {"1": "73.8", "2": "33.9", "series": "40.8", "parallel": "9.82"}
"""One digit read as another, and two digits changed over: two slips of the pen."""


def points(folder: Path, answers: dict[str, str]) -> tuple[Point, ...]:
    """Return what is to mend in the four resistances of one student."""
    lines = ["student,bench,practical,item,row,entry,unit"]
    for part, (volts, milliamps) in READINGS.items():
        for item, entry, unit in (("V", volts, "V"), ("I", milliamps, "mA"), ("R", answers[part], "Ω")):
            lines.append(f"S1,1,resistor-combinations,{item}_{part},,{entry},{unit}")
    path = folder / "set.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    rubrics = load_catalogue()
    (class_set,) = read_inputs([path], rubrics)
    marked = mark_set(rubrics[class_set.practical], class_set)
    found = points_to_mend(marked.scripts[0], marked.rubric)
    return tuple(point for point in found if any(one.item.startswith("R_") for one in point.findings))


@pytest.mark.parametrize("answers", [LEFT_IN_MA, TURNED_OVER], ids=["mA for A", "I over V"])
def test_one_slip_in_several_answers_is_told_once(tmp_path: Path, answers: dict[str, str]) -> None:
    """The same unit left, or the same formula turned over, in all four: one thing to mend, with where it was seen."""
    (point,) = points(tmp_path, answers)
    assert {one.item for one in point.findings} == {"R_1", "R_2", "R_series", "R_parallel"}
    assert dict(point.card)["You wrote"].endswith("(R₁)")


def test_slips_of_the_pen_stay_apart(tmp_path: Path) -> None:
    """Two copied figures are two slips."""
    assert [len(point.findings) for point in points(tmp_path, COPIED)] == [1, 1]


def test_a_teachers_tick_comes_after_the_slip() -> None:
    """The tick is about an earlier item, yet the task is about the slip that was found."""
    script = wire_script(a_student("S001"), wrong=True)
    tick = a_finding("teacher-ticked", item="L", row=None, criterion="G4", facts={"point": "A drawn line"})
    found = points_to_mend(replace(script, findings=(tick, *script.findings)), RUBRICS[WIRE])
    reasons = [point.findings[0].reason for point in found]
    assert reasons[0] == "wrong-value"
    assert reasons.index("teacher-ticked") == len(reasons) - 1


def test_what_was_given_in_full_is_no_point() -> None:
    """A teacher who gave all marks of a criterion leaves nothing of it to mend."""
    script = wire_script(a_student("S001"), wrong=True)
    first = points_to_mend(script, RUBRICS[WIRE])[0].findings[0].criterion
    criteria = tuple(
        replace(mark, marks=mark.criterion.marks) if mark.criterion.code == first else mark for mark in script.criteria
    )
    left = points_to_mend(replace(script, criteria=criteria), RUBRICS[WIRE])
    assert all(finding.criterion != first for point in left for finding in point.findings)
