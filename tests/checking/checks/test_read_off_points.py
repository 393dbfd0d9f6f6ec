"""Two points that a student read off the drawn line: what they tell the teacher, and that they cost nothing."""

from __future__ import annotations

import pytest

from rubrics.faults.errors import RubricError
from rubrics.load import load_catalogue
from rubrics.model import CheckKind
from tests.checking.rows import found, in_table, mark, marks, rubric_of

WIRE = in_table(
    L="0.100 0.200 0.300 0.400 0.600 0.800 1.000 m",
    V="0.24 0.41 0.59 0.76 1.12 1.46 1.83 V",
    I="0.40 0.40 0.40 0.40 0.40 0.40 0.40 A",
    R="0.600 1.02 1.47 1.90 2.80 3.65 4.58 Ω",
)
"""A wire of 4.42 Ω/m with 0.14 Ω in contacts."""


def points(x1: str, y1: str, x2: str, y2: str) -> str:
    """Return the lines of two points."""
    return f"\nL_a,,{x1},m\nR_a,,{y1},Ω\nL_b,,{x2},m\nR_b,,{y2},Ω"


def reason(lines: str) -> tuple[str, str]:
    """Return outcome and reason of the criterion of the line."""
    (finding,) = found("wire-resistance", lines, "G4")
    return finding.outcome.value, finding.reason


@pytest.mark.parametrize(
    ("read_off", "seen"),
    [
        pytest.param("", "teacher-looks", id="left out"),
        pytest.param("\nL_a,,0.100,m", "teacher-looks", id="half left out"),
        pytest.param(points("0.150", "0.81", "0.950", "4.34"), "line-shown", id="on the line"),
        pytest.param(points("15.0", "0.81", "95.0", "4.34").replace(",m", ",cm"), "line-shown", id="in cm"),
        pytest.param(points("0.000", "0.00", "1.000", "4.60"), "line-forced", id="forced through zero"),
        pytest.param(points("0.150", "1.60", "0.950", "4.00"), "line-off-points", id="away from the points"),
        pytest.param(points("0.400", "1.91", "0.650", "3.01"), "triangle-small", id="small triangle"),
    ],
)
def test_what_two_points_tell(read_off: str, seen: str) -> None:
    """Two points far apart on the line earn the mark; in every other case the teacher reads what they show."""
    outcome = "awarded" if seen == "line-shown" else "for-teacher"
    assert reason(WIRE + read_off) == (outcome, seen)


def test_points_that_are_left_out_cost_nothing() -> None:
    """Marks are the same with and without them."""
    lines = f"{WIRE}\ngradient,,4.42,Ω/m"
    assert marks(mark("wire-resistance", lines)) == marks(
        mark("wire-resistance", lines + points("0.400", "1.91", "0.650", "3.01"))
    )


@pytest.mark.parametrize(
    ("gradient", "read_off", "outcome", "why"),
    [
        ("4.42", "", "awarded", "right"),
        ("5.20", "", "withheld", "wrong-value"),
        ("5.20", points("0.000", "0.20", "0.800", "4.36"), "for-teacher", "gradient-from-own-line"),
        ("5.20", points("0.150", "0.81", "0.950", "4.34"), "withheld", "wrong-value"),
        ("0.226", points("0.150", "0.81", "0.950", "4.34"), "withheld", "wrong-value"),
    ],
)
def test_a_gradient_that_follows_from_a_line_off_the_readings(
    gradient: str, read_off: str, outcome: str, why: str
) -> None:
    """Divided rightly on a line that lies off: for the teacher. Run over rise, or of no line: wrong."""
    (finding,) = found("wire-resistance", f"{WIRE}{read_off}\ngradient,,{gradient},Ω/m", "G5")
    assert (finding.outcome.value, finding.reason) == (outcome, why)
    if gradient == "0.226":
        assert finding.cause.value == "gradient-inverted"


def test_points_must_fit_their_axes() -> None:
    """The rubric is told of a coordinate that is no answer, or has no unit of its axis."""
    text = """format = 1
id = "own"
edition = 1
title = "Own"
level = "14 to 16"
purpose = "To find a gradient."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]
[readings.x]
quantity = "x"
unit = "m"
table = "t"
[readings.y]
quantity = "y"
unit = "N"
table = "t"
[answers.x_a]
quantity = "x"
unit = "N"
[answers.k]
quantity = "gradient"
unit = "N/m"
formula = "slope(y, x)"
[graph]
x = "x"
y = "y"
fit = "line"
read_off = ["x_a", "y", "x_a", "y_b"]
[[criteria]]
code = "F"
point = "Gradient"
check = "value"
items = ["k"]
"""
    with pytest.raises(RubricError) as told:
        rubric_of(text)
    assert "x_a has no unit of x" in str(told.value)
    assert "y_b is no single answer with a number" in str(told.value)


def test_every_straight_line_of_the_catalogue_asks_for_them() -> None:
    """Where a line is marked, two points read off it are asked for; a curve has none."""
    for rubric in load_catalogue().values():
        is_marked = any(one.check is CheckKind.LINE for one in rubric.criteria)
        assert is_marked == bool(rubric.graph and rubric.graph.read_off)
