"""Straight lines through a class's readings, against another library, and points that do not belong."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats

from marking.checking.fits.straight_lines import FEWEST_FOR_ODD, ODD_CHANCE, fit_lines, odd_points

Values = NDArray[np.float64]

LENGTHS = np.array([10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0])
READINGS = np.array([0.62, 1.09, 1.51, 2.02, 2.44, 2.96, 3.41, 3.83])


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 400), st.floats(-50, 50)), min_size=3, max_size=12, unique_by=lambda p: p[0]),
    st.floats(-1e3, 1e3),
)
def test_line_is_that_of_another_library(points: list[tuple[int, float]], far: float) -> None:
    """Slope, intercept and their standard errors are those of scipy, also far from the origin."""
    x = np.array([[p[0] * 0.1 + far for p in points]])
    y = np.array([[p[1] for p in points]])
    assume(np.ptp(y) > 1e-3)
    fit = fit_lines(x, y)
    theirs = stats.linregress(x[0], y[0])
    assert float(fit.slope[0, 0]) == pytest.approx(theirs.slope, rel=1e-7, abs=1e-7)
    assert float(fit.intercept[0, 0]) == pytest.approx(theirs.intercept, rel=1e-7, abs=1e-4)
    assert float(fit.slope_error[0, 0]) == pytest.approx(theirs.stderr, rel=1e-5, abs=1e-9)
    assert float(fit.intercept_error[0, 0]) == pytest.approx(theirs.intercept_stderr, rel=1e-5, abs=1e-6)


def test_gaps_leave_out_their_row_alone() -> None:
    """A missing cell costs its own row; students do not disturb one another."""
    y = np.tile(READINGS, (3, 1))
    y[1, 2] = np.nan
    x = np.tile(LENGTHS, (3, 1))
    x[2, 7] = np.nan
    fit = fit_lines(x, y)
    assert fit.count[:, 0].tolist() == [8, 7, 7]
    assert float(fit.slope[1, 0]) == pytest.approx(
        float(stats.linregress(np.delete(LENGTHS, 2), np.delete(READINGS, 2)).slope)
    )


@pytest.mark.parametrize(
    ("x", "y"),
    [([1.0], [2.0]), ([3.0, 3.0, 3.0], [1.0, 2.0, 3.0]), ([0.1 * 3, 0.3], [1.0, 2.0]), ([np.nan, 1.0], [1.0, 2.0])],
    ids=["one-point", "one-length", "one-length-but-for-noise", "one-left"],
)
def test_no_line_without_two_lengths(x: list[float], y: list[float]) -> None:
    """Fewer than two different lengths give no line, and no error."""
    fit = fit_lines(np.array([x]), np.array([y]))
    assert np.isnan(fit.slope).all()
    assert np.isnan(fit.intercept).all()


def test_two_points_have_a_line_and_no_uncertainty() -> None:
    """Two points lie on a line, and tell nothing of how good it is."""
    fit = fit_lines(np.array([[0.0, 2.0]]), np.array([[1.0, 5.0]]))
    assert (float(fit.slope[0, 0]), float(fit.intercept[0, 0])) == (2.0, 1.0)
    assert np.isnan(fit.slope_error).all()


@pytest.mark.parametrize("row", range(8))
@pytest.mark.parametrize("off", [-0.5, 0.5, 2.0])
def test_a_reading_far_off_is_odd(row: int, off: float) -> None:
    """A reading more than ten times the scatter off the line is named, wherever it stands, and it alone."""
    y = READINGS.copy()
    y[row] += off
    assert np.flatnonzero(odd_points(LENGTHS[None, :], y[None, :])[0]).tolist() == [row]


def test_honest_scatter_is_seldom_odd() -> None:
    """Of sound lines, no more than the stated share has a point called odd."""
    random = np.random.default_rng(20240501)
    students = 4000
    y = 0.046 * LENGTHS + 0.15 + random.normal(0, 0.03, (students, LENGTHS.size))
    share = odd_points(np.tile(LENGTHS, (students, 1)), y).any(axis=1).mean()
    assert 0.3 * ODD_CHANCE < share < 1.5 * ODD_CHANCE


def test_points_exactly_on_a_line_are_not_odd() -> None:
    """Rounding noise of a perfect line names no point."""
    x = np.array([[0.1, 0.2, 0.3, 0.4, 0.5, 0.6]])
    assert not odd_points(x, 3.3 * x + 0.7).any()


def test_one_point_off_a_perfect_line_is_odd() -> None:
    """One wrong point among points exactly on a line is named."""
    x = np.array([[0.1, 0.2, 0.3, 0.4, 0.5, 0.6]])
    y = 3.3 * x
    y[0, 3] += 0.2
    assert np.flatnonzero(odd_points(x, y)[0]).tolist() == [3]


def test_few_points_are_never_odd() -> None:
    """With fewer points than the test needs nothing is called odd; with just enough it can be."""
    x = np.arange(1.0, FEWEST_FOR_ODD + 1)
    y = 2.0 * x + np.resize([0.001, -0.001, 0.0005], x.size)
    y[2] += 5
    assert odd_points(x[None, :], y[None, :])[0, 2]
    assert not odd_points(x[None, 1:], y[None, 1:]).any()
