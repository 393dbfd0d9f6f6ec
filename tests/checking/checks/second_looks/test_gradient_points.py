"""A gradient off the readings that follows from the student's own two points."""

from __future__ import annotations

import pytest

from tests.checking.checks.drawn_wire import WIRE, points
from tests.checking.rows import found

LOW = points("0.000", "0.20", "0.800", "4.36")
"""A line of (4.36 - 0.20) / 0.800 = 5.20 Ω/m, which the readings do not give; 5.17 to 5.24 by its printed figures."""


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


@pytest.mark.parametrize(
    ("gradient", "why"),
    [
        ("5.20|Ω/m", "gradient-from-own-line"),
        ("5.2|Ω/m", "gradient-from-own-line"),
        ("5.23|Ω/m", "gradient-from-own-line"),
        ("5.30|Ω/m", "wrong-value"),
        ("5.10|Ω/m", "wrong-value"),
        ("0.0520|Ω/cm", "gradient-from-own-line"),
        ("0.0510|Ω/cm", "wrong-value"),
        ("5.2.0|Ω/m", "unreadable"),
    ],
)
def test_how_near_the_own_points_a_gradient_has_to_be(gradient: str, why: str) -> None:
    """Within what the two printed points can stand for, in whatever unit it is written."""
    entry, unit = gradient.split("|")
    (finding,) = found("wire-resistance", f"{WIRE}{LOW}\ngradient,,{entry},{unit}", "G5")
    assert finding.reason == why
    if why == "gradient-from-own-line":
        assert finding.facts["from_points"] == "5.20 Ω/m"


@pytest.mark.parametrize(
    "read_off",
    [
        "\nL_a,,0.000,m\nR_a,,0.20,Ω\nL_b,,0.800,m",
        points("0.400", "0.20", "0.400", "4.36"),
    ],
    ids=["one-missing", "one-above-the-other"],
)
def test_points_without_a_gradient_change_nothing(read_off: str) -> None:
    """Where the points give no gradient, the answer is what it is without them."""
    (finding,) = found("wire-resistance", f"{WIRE}{read_off}\ngradient,,5.20,Ω/m", "G5")
    assert (finding.outcome.value, finding.reason) == ("withheld", "wrong-value")
