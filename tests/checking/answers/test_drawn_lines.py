"""Lines by hand: read-off points, forced origins, steepest and shallowest, proportional or only straight."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from marking.checking.answers.drawn_lines import (
    GradientVerdict,
    Points,
    Proportion,
    ReadOff,
    judge_drawn,
    proportions,
    steepest_and_shallowest,
)
from marking.checking.fits.parabolas import bends

Values = NDArray[np.float64]

LENGTHS = np.array([0.10, 0.20, 0.30, 0.40, 0.60, 0.80, 1.00])
OHMS = np.array([0.600, 1.02, 1.47, 1.90, 2.80, 3.65, 4.58])
"""Constantan wire, resistances rounded to three figures."""
SLOPE, HEIGHT_AT_ZERO = 4.41563877, 0.1438326
"""Its line of least squares."""


def on_line(x: float, gradient: float = SLOPE, intercept: float = HEIGHT_AT_ZERO) -> float:
    """Return the height of a line at *x*."""
    return gradient * x + intercept


def line_through(x1: float, x2: float, gradient: float = SLOPE, intercept: float = HEIGHT_AT_ZERO) -> ReadOff:
    """Return two points read off a line."""
    return ReadOff(x=(x1, x2), y=(on_line(x1, gradient, intercept), on_line(x2, gradient, intercept)))


def of_one(x: Values, y: Values) -> Points:
    """Return the points of one student."""
    return Points.of(x[None, :], y[None, :])


@pytest.mark.parametrize(
    ("gradient", "verdict"),
    [
        (SLOPE * 1.049, GradientVerdict.RIGHT),
        (SLOPE * 1.052, GradientVerdict.NEAR),
        (SLOPE * 0.951, GradientVerdict.RIGHT),
        (SLOPE * 0.948, GradientVerdict.NEAR),
        (SLOPE * 1.099, GradientVerdict.NEAR),
        (SLOPE * 1.102, GradientVerdict.WRONG),
        (1 / SLOPE, GradientVerdict.INVERTED),
        (-SLOPE, GradientVerdict.WRONG),
    ],
)
def test_gradient_beside_least_squares(gradient: float, verdict: GradientVerdict) -> None:
    """Up to 5 % off stands, up to 10 % a teacher looks, run over rise is named."""
    assert judge_drawn(of_one(LENGTHS, OHMS), line_through(0.15, 0.95), stated=gradient).verdict is verdict


def test_scattered_points_leave_more_room() -> None:
    """Where two standard errors are wider than 5 %, they decide."""
    scattered = OHMS + np.array([0.4, -0.4, 0.3, -0.3, 0.4, -0.4, 0.3])
    found = judge_drawn(of_one(LENGTHS, scattered), line_through(0.15, 0.95, gradient=SLOPE * 0.93))
    assert found.verdict is GradientVerdict.RIGHT


@pytest.mark.parametrize(("x2", "is_large"), [(0.551, True), (0.549, False)])
def test_size_of_the_triangle(x2: float, is_large: bool) -> None:
    """A triangle over half of the line is large enough, a smaller one is not."""
    found = judge_drawn(of_one(LENGTHS, OHMS), line_through(0.10, x2))
    assert found.is_large is is_large
    assert found.triangle == pytest.approx((x2 - 0.1) / 0.9)


def test_points_off_the_line() -> None:
    """Points on the line are told from table rows that lie beside it."""
    bent = OHMS.copy()
    bent[[1, 5]] += [0.20, -0.20]
    rows = ReadOff(x=(0.20, 0.80), y=(float(bent[1]), float(bent[5])))
    found = judge_drawn(of_one(LENGTHS, bent), rows)
    assert not found.is_on_line
    beside = judge_drawn(of_one(LENGTHS, OHMS), line_through(0.15, 0.95))
    assert beside.is_on_line


def test_forced_through_the_origin() -> None:
    """A line through zero is named where the readings have an intercept, and is none where they have not."""
    through = line_through(0.0, 1.0, gradient=4.63, intercept=0.0)
    assert judge_drawn(of_one(LENGTHS, OHMS), through).is_forced
    assert not judge_drawn(of_one(LENGTHS, OHMS), line_through(0.0, 1.0)).is_forced
    assert not judge_drawn(of_one(LENGTHS, 4.4 * LENGTHS + 0.001), line_through(0.0, 1.0, 4.4, 0.0)).is_forced


def test_line_that_follows_an_odd_point() -> None:
    """A line bent towards a reading that the test calls odd is told from one that leaves it out."""
    odd = OHMS.copy()
    odd[6] = 3.0
    fitted = np.polyfit(LENGTHS, odd, 1)
    towards = line_through(0.1, 0.9, gradient=float(fitted[0]), intercept=float(fitted[1]))
    assert judge_drawn(of_one(LENGTHS, odd), towards).follows_odd
    assert not judge_drawn(of_one(LENGTHS, odd), line_through(0.1, 0.9)).follows_odd
    assert not judge_drawn(of_one(LENGTHS, OHMS), towards).follows_odd


def test_upright_line_has_no_gradient() -> None:
    """Two points above each other have no gradient, and nothing breaks."""
    found = judge_drawn(of_one(LENGTHS, OHMS), ReadOff(x=(0.5, 0.5), y=(1.0, 3.0)))
    assert found.verdict is GradientVerdict.NONE
    assert not found.is_large


@pytest.mark.parametrize(
    ("y", "wanted"),
    [
        (4.4 * LENGTHS + 0.001 * np.array([1, -1, 1, -1, 1, -1, 1]), Proportion.PROPORTIONAL),
        (4.4 * LENGTHS, Proportion.PROPORTIONAL),
        (OHMS, Proportion.LINEAR_ONLY),
        (4.4 * LENGTHS + 0.8 * np.array([1, -1, 1, -1, 1, -1, 1]), Proportion.UNCLEAR),
        (4.4 * LENGTHS**2 + 1.0, Proportion.BENT),
        (np.array([1.0, 2.0, *[np.nan] * 5]), Proportion.UNCLEAR),
    ],
    ids=["proportional", "exactly", "with-an-intercept", "scattered", "bent", "two-points"],
)
def test_proportional_or_linear(y: Values, wanted: Proportion) -> None:
    """The intercept's own uncertainty decides; where it is too large, nothing is said."""
    assert proportions(LENGTHS[None, :], y[None, :]) == (wanted,)


def test_intercept_of_honest_proportional_readings() -> None:
    """Of a thousand proportional tables one in twenty is called linear only, as 95 % says, and none bent too often."""
    random = np.random.default_rng(5)
    x = np.tile(np.linspace(0.5, 4, 8), (1000, 1))
    found = proportions(x, 2.0 * x + random.normal(0, 0.05, x.shape))
    assert found.count(Proportion.LINEAR_ONLY) / 1000 == pytest.approx(0.05, abs=0.02)
    assert found.count(Proportion.BENT) <= 20
    assert found.count(Proportion.PROPORTIONAL) > 900


def test_bend_does_not_depend_on_units() -> None:
    """The same points in mm and mΩ bend as much, and a straight line to the last digit does not bend."""
    x, y = LENGTHS[None, :], OHMS[None, :] + 0.4 * LENGTHS[None, :] ** 2
    assert bends(x, y)[0]
    assert bends(1000 * x, 1000 * y)[0]
    assert not bends(x, 4.4 * x + 0.15)[0]
    assert not bends(x[:, :4], y[:, :4])[0]


def test_steepest_and_shallowest_line() -> None:
    """The extreme lines touch opposite ends of the outer bars, and no steeper line passes through all bars."""
    x, bar = np.array([[0.0, 1.0, 2.0, 3.0, 4.0]]), np.full((1, 5), 0.2)
    steepest, shallowest = steepest_and_shallowest(x, 2.0 * x + 1.0, np.zeros_like(bar), bar)
    assert (steepest[0, 0], shallowest[0, 0]) == pytest.approx((2.1, 1.9))


def test_steepest_line_with_bars_across() -> None:
    """A bar across counts as one upwards of gradient times its length."""
    x = np.array([[0.0, 1.0, 2.0, 3.0, 4.0]])
    none, across = np.zeros_like(x), np.full_like(x, 0.1)
    assert np.allclose(
        steepest_and_shallowest(x, 2.0 * x, across, none), steepest_and_shallowest(x, 2.0 * x, none, 2.0 * across)
    )


def test_no_line_through_all_bars() -> None:
    """Where the bars are just long enough there is one line; a little shorter and there is none."""
    x, y = np.array([[0.0, 1.0, 2.0]]), np.array([[0.0, 1.3, 2.0]])
    for bar, exists in ((0.1501, True), (0.1499, False)):
        steepest, _ = steepest_and_shallowest(x, y, np.zeros_like(x), np.full_like(x, bar))
        assert bool(np.isfinite(steepest[0, 0])) is exists


def test_a_student_among_others_has_the_line_of_one_alone() -> None:
    """Whoever sits beside: points, odd ones and both lines are those of the student."""
    odd = OHMS + np.array([0, 0, 0, 0.9, 0, 0, 0])
    together = Points.of(np.stack([LENGTHS] * 3), np.stack([OHMS, odd, np.full(7, np.nan)]))
    for place, y in enumerate((OHMS, odd)):
        found = judge_drawn(together.one(place), line_through(0.1, 0.9))
        assert found == judge_drawn(of_one(LENGTHS, y), line_through(0.1, 0.9))
