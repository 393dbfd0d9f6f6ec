"""Lines through points that are uncertain both ways, against another library and the plain fit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import minimize

from marking.checking.fits.straight_lines import fit_lines
from marking.checking.fits.weighted_lines import fit_weighted_lines

Values = NDArray[np.float64]

X = np.array([[0.10, 0.20, 0.31, 0.40, 0.62, 0.81, 1.00]])
Y = np.array([[0.60, 1.02, 1.47, 1.90, 2.80, 3.65, 4.58]])


def misfit(line: Values, x_error: Values, y_error: Values) -> float:
    """Return the weighted sum of squares of a line (slope, intercept) through X, Y."""
    slope, intercept = line
    return float((((Y - intercept - slope * X) ** 2) / (y_error**2 + slope**2 * x_error**2)).sum())


@settings(deadline=None)
@given(
    shares=st.lists(st.floats(0.2, 5.0), min_size=14, max_size=14),
)
def test_no_other_line_fits_better(shares: list[float]) -> None:
    """A minimiser that knows only the sum of squares arrives at the same line."""
    x_error, y_error = 0.004 * np.array([shares[:7]]), 0.03 * np.array([shares[7:]])
    ours = fit_weighted_lines(X, Y, x_error, y_error)
    theirs = minimize(misfit, [4.4, 0.15], args=(x_error, y_error), method="Nelder-Mead", options={"xatol": 1e-9})
    assert ours.misfit[0, 0] <= theirs.fun * (1 + 1e-9)
    assert ours.slope[0, 0] == pytest.approx(theirs.x[0], rel=1e-4)


def test_equal_errors_of_y_alone_are_the_plain_fit() -> None:
    """Where x is exact and all y are equally good, the line is that of least squares."""
    ours = fit_weighted_lines(X, Y, np.zeros_like(X), np.full_like(Y, 0.02))
    plain = fit_lines(X, Y)
    assert ours.slope[0, 0] == pytest.approx(plain.slope[0, 0], rel=1e-12)
    assert ours.intercept[0, 0] == pytest.approx(plain.intercept[0, 0], rel=1e-10)


def test_exchanged_axes_are_the_same_line() -> None:
    """With errors both ways it is no matter which quantity stands on which axis."""
    x_error, y_error = np.full_like(X, 0.005), np.full_like(Y, 0.02)
    one, other = fit_weighted_lines(X, Y, x_error, y_error), fit_weighted_lines(Y, X, y_error, x_error)
    assert one.slope[0, 0] == pytest.approx(1 / other.slope[0, 0], rel=1e-10)


def test_errors_say_what_they_mean() -> None:
    """Over many simulated tables the slope scatters by its stated uncertainty, errors correlated or not."""
    random = np.random.default_rng(11)
    for r in (0.0, 0.6):
        true_x = np.tile(np.linspace(1, 8, 8), (3000, 1))
        one, other = random.normal(size=(2, *true_x.shape))
        x = true_x + 0.05 * one
        y = 2.0 * true_x + 0.5 + 0.15 * (r * one + np.sqrt(1 - r * r) * other)
        line = fit_weighted_lines(x, y, np.full_like(x, 0.05), np.full_like(y, 0.15), r)
        assert line.slope.std() == pytest.approx(line.slope_error.mean(), rel=0.05)
        assert line.intercept.std() == pytest.approx(line.intercept_error.mean(), rel=0.05)
        assert line.misfit.mean() == pytest.approx(6, rel=0.05)


def test_gaps_and_too_few_points() -> None:
    """A row that is missing is left out, one student does not disturb another, and one point has no line."""
    x, y = np.tile(X, (3, 1)), np.tile(Y, (3, 1))
    y[1, 3], x[2, 1:] = np.nan, np.nan
    errors = np.full_like(x, 0.01)
    found = fit_weighted_lines(x, y, errors, 5 * errors)
    alone = fit_weighted_lines(np.delete(X, 3, 1), np.delete(Y, 3, 1), errors[:1, :6], 5 * errors[:1, :6])
    assert found.slope[1, 0] == pytest.approx(alone.slope[0, 0], rel=1e-12)
    assert found.slope[0, 0] == pytest.approx(fit_weighted_lines(X, Y, errors[:1], 5 * errors[:1]).slope[0, 0])
    assert np.isnan(found.slope[2, 0])
    assert found.count[:, 0].tolist() == [7, 6, 1]


def test_a_point_without_errors_is_left_out() -> None:
    """A row whose errors are both zero or missing has no weight to give, and the others keep theirs."""
    errors = np.full_like(Y, 0.02)
    errors[0, 2] = np.nan
    found = fit_weighted_lines(X, Y, np.zeros_like(X), errors)
    assert found.count[0, 0] == 6
    assert np.isfinite(found.slope[0, 0])
