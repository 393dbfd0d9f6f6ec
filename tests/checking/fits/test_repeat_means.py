"""Readings taken again: their mean, blanks among them, the odd one left out, and means handed in alone."""

from __future__ import annotations

import pytest

from tests.checking.rows import found, in_table, mark, marks, rubric_of, short

RUBRIC = """
format = 1
id = "ramp"
edition = 1
title = "Down a ramp"
level = "14 to 16"
purpose = "To find an acceleration."
cautions = ["Mind the trolley, and follow your school's own risk assessment and local rules."]
[readings.s]
quantity = "distance"
unit = "m"
table = "runs"
[readings.t]
quantity = "time"
unit = "s"
table = "runs"
instrument = "stopwatch"
resolution = 0.01
repeats = 3
limits = [0.1, 20]
[answers.t2]
quantity = "time squared"
unit = "s²"
table = "runs"
formula = "t**2"
[answers.a]
quantity = "acceleration"
unit = "m/s²"
formula = "2 * slope(s, t2)"
[[criteria]]
code = "R1"
point = "readings"
check = "reading"
items = ["s", "t"]
[[criteria]]
code = "R2"
point = "places"
check = "places"
items = ["t"]
[[criteria]]
code = "R3"
point = "rows"
check = "rows"
items = ["t"]
rows = 4
[[criteria]]
code = "R4"
point = "means"
check = "value"
items = ["t"]
[[criteria]]
code = "P1"
point = "squares"
check = "value"
items = ["t2"]
[[criteria]]
code = "F1"
point = "acceleration"
check = "value"
items = ["a"]
"""
RUNS = (
    in_table(
        s="0.20 0.40 0.60 0.80 m",
        t_1="0.81 1.17 1.40 1.66 s",
        t_2="0.84 1.15 1.42 1.62 s",
        t_3="0.84 _ 1.80 1.64 s",
        t="0.83 1.16 1.41 1.64 s",
        t2="0.689 1.35 1.99 2.69 s²",
    )
    + "\na,,0.603,m/s²"
)
"""Row 2 has two readings; of row 3 the third was left out. Three runs: 0.830; 1.160; 1.410; 1.640."""


def test_blank_repeats_are_passed_over_and_an_odd_one_may_be_left_out() -> None:
    """Every mark stands where the mean is that of the readings a careful student takes."""
    assert marks(mark(rubric_of(RUBRIC), RUNS)) == {"R1": 1, "R2": 1, "R3": 1, "R4": 1, "P1": 1, "F1": 1}


def test_an_odd_reading_that_was_kept_is_the_teacher_s() -> None:
    """Keeping 1.80 s gives 1.54 s where the other rows scatter by 0.02 s: a teacher looks, and 2.37 s² follows."""
    kept = RUNS.replace("t,3,1.41,s", "t,3,1.54,s").replace("t2,3,1.99,s²", "t2,3,2.37,s²")
    told = [short(one)[1:3] for one in found(rubric_of(RUBRIC), kept, "R4", "P1") if one.row == 3]
    assert told == [("R4", "for-teacher"), ("P1", "awarded")]


@pytest.mark.parametrize("entry", ["2.49", "0.85", "0.81"], ids=["the sum", "none of them", "the least"])
def test_a_wrong_mean_loses_its_own_mark(entry: str) -> None:
    """What is no mean is withheld, and what follows from it is carried forward."""
    wrong = RUNS.replace("t,1,0.83,s", f"t,1,{entry},s").replace("t2,1,0.689", f"t2,1,{float(entry) ** 2:.3g}")
    rows = [short(one)[:3] for one in found(rubric_of(RUBRIC), wrong, "R4", "P1") if one.row == 1]
    assert rows == [("t 1", "R4", "withheld"), ("t2 1", "P1", "awarded")]


def test_means_alone_are_readings() -> None:
    """Where only the means were handed in, everything after them stands, and the teacher looks at the repeats."""
    alone = "\n".join(line for line in RUNS.split("\n") if not line.startswith("t_"))
    assert marks(mark(rubric_of(RUBRIC), alone)) == {"R1": 1, "R2": 1, "R3": 1, "R4": None, "P1": 1, "F1": 1}


def test_a_mean_that_was_not_written_is_proved_by_what_follows() -> None:
    """A right t² needs the mean, so that the mean stands without being written."""
    unwritten = "\n".join(line for line in RUNS.split("\n") if not line.startswith("t,"))
    assert {one.reason for one in found(rubric_of(RUBRIC), unwritten, "R4")} == {"method-shown"}


def test_a_single_reading_may_be_repeated_too() -> None:
    """A diameter in three places, its mean beside it: no table is needed."""
    text = RUBRIC.split("[answers.t2]")[0].replace('table = "runs"\ninstrument', "instrument")
    text += '[[criteria]]\ncode = "R4"\npoint = "mean"\ncheck = "value"\nitems = ["t"]\n'
    text += '[[criteria]]\ncode = "R1"\npoint = "readings"\ncheck = "reading"\nitems = ["s", "t"]\n'
    assert marks(mark(rubric_of(text), "s,1,0.2,m\nt_1,,0.38,s\nt_2,,0.37,s\nt_3,,0.38,s\nt,,0.38,s"))["R4"] == 1
    assert marks(mark(rubric_of(text), "s,1,0.2,m\nt_1,,0.38,s\nt_2,,0.37,s\nt_3,,0.38,s\nt,,1.13,s"))["R4"] == 0


def test_a_repeat_that_cannot_be_read_spoils_no_mean() -> None:
    """Where one of the readings is illegible nobody can tell their mean: a teacher looks, and what follows stands."""
    blotted = RUNS.replace("t_1,4,1.66,s", "t_1,4,1.6O,s")
    rows = [short(one)[:3] for one in found(rubric_of(RUBRIC), blotted, "R4", "P1") if one.row == 4]
    assert rows == [("t 4", "R4", "for-teacher"), ("t2 4", "P1", "awarded")]
