"""Two points that a student read off the drawn line: what they tell the teacher, and that they cost nothing."""

from __future__ import annotations

import pytest

from rubrics.faults.errors import RubricError
from rubrics.load import load_catalogue
from rubrics.model import CheckKind
from tests.checking.checks.drawn_wire import WIRE, points
from tests.checking.rows import found, mark, marks, rubric_of


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
        pytest.param(
            points("0.150", "0.81", "0.950", "4.34").replace(",m", ",").replace(",Ω", ","), "line-shown", id="bare"
        ),
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


@pytest.mark.parametrize(
    ("in_column", "axis", "wanted"),
    [
        ("cm", ("0,", "120,", "20,"), "awarded"),
        ("cm", ("0,cm", "120,", "20,"), "awarded"),
        ("m", ("0,", "1.2,", "0.2,"), "awarded"),
        ("cm", ("0,m", "1.2,m", "0.2,"), "awarded"),
        ("m", ("0,", "120,", "20,"), "withheld"),
        ("cm", ("0,", "300,", "50,"), "withheld"),
    ],
    ids=["as its column", "as its other box", "metres", "metres beside cm", "cm beside metres", "less than half"],
)
def test_an_axis_without_a_unit_is_in_that_of_its_column(
    in_column: str, axis: tuple[str, str, str], wanted: str
) -> None:
    """Lengths in cm on an axis from 0 to 120 are no points within a metre of an axis of 120 metres."""
    factor = 100 if in_column == "cm" else 1
    rows = [
        f"L,{row},{factor * row / 5:g},{in_column}\nV,{row},{0.18 * row:.2f},V\nI,{row},0.40,A" for row in range(1, 6)
    ]
    rows += [f"R,{row},{0.45 * row:.2f},Ω" for row in range(1, 6)]
    boxes = [f"{name},,{text}" for name, text in zip(("x_from", "x_to", "x_square"), axis, strict=True)]
    boxes += ["y_from,,0,Ω", "y_to,,2.5,Ω", "y_square,,0.5,Ω"]
    (finding,) = found("wire-resistance", "\n".join([*rows, *boxes]), "G2")
    assert finding.outcome == wanted


@pytest.mark.parametrize(
    ("axis", "wanted"),
    [
        (("0,1/min", "3,1/min", "0.5,1/min"), "awarded"),
        (("0,1/s", "0.05,1/s", "0.005,1/s"), "awarded"),
        (("0,1/min", "3,1/min", "0.3,1/min"), "withheld"),
    ],
    ids=["each minute", "each second", "by three"],
)
def test_a_scale_is_easy_as_it_is_numbered(axis: tuple[str, str, str], wanted: str) -> None:
    """0.5 each minute is half a unit a square, whatever that is each second."""
    times = (24.7, 31.0, 41.3, 62.1, 124.7)
    rows = [
        f"t,{row},{time},s\nrate,{row},{60 / time:.3g},1/min\nc,{row},{0.24 - 0.04 * row:.3g},mol/dm³"
        for row, time in enumerate(times, 1)
    ]
    boxes = [f"{name},,{text}" for name, text in zip(("y_from", "y_to", "y_square"), axis, strict=True)]
    boxes += ["x_from,,0,mol/dm³", "x_to,,0.2,mol/dm³", "x_square,,0.05,mol/dm³"]
    (finding,) = found("rate-disappearing-cross", "\n".join([*rows, *boxes]), "G2")
    assert finding.outcome == wanted
