"""Straight lines through points that are uncertain both ways, for a whole class at once.

The unified equations of York, Evensen, Martínez and Delgado, American Journal of Physics 72 (2004) 367,
which are exact for normal errors. Weights are the inverse squares of the standard uncertainties.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.fits.straight_lines import fit_lines

Values = NDArray[np.float64]

MOST_ROUNDS = 100
CONVERGED = 1e-14
"""Relative change of the slope at which it stands; reached after some ten rounds."""


class WeightedLine(Struct, frozen=True, kw_only=True):
    """One line a student; every array has shape (students, 1), NaN where there is no line."""

    slope: Values
    intercept: Values
    slope_error: Values
    """Standard uncertainty from the errors that were given, whether or not the points scatter as they say."""
    intercept_error: Values
    misfit: Values
    """Weighted sum of squares; about count - 2 where the errors that were given are right."""
    count: Values


def fit_weighted_lines(
    x: Values, y: Values, x_error: Values, y_error: Values, correlation: Values | float = 0.0
) -> WeightedLine:
    """Return the line through each student's points.

    Args:
        x: Shape (students, rows), NaN where nothing was read.
        y: The same shape.
        x_error: Standard uncertainty of each x; zero where x is exact.
        y_error: The same of y; a row whose errors are both zero or missing is left out.
        correlation: Of the errors of x and y of one point.
    """
    with np.errstate(all="ignore"):
        x, y, x_error, y_error, r = np.broadcast_arrays(x, y, x_error, y_error, correlation)
        used = np.isfinite(x) & np.isfinite(y) & np.isfinite(x_error) & np.isfinite(y_error)
        used &= (x_error > 0) | (y_error > 0)
        count = used.sum(axis=1, keepdims=True).astype(np.float64)
        x, y = np.where(used, x, 0.0), np.where(used, y, 0.0)
        xx, yy, xy = x_error**2, y_error**2, r * x_error * y_error
        slope = fit_lines(np.where(used, x, np.nan), np.where(used, y, np.nan)).slope
        for _ in range(MOST_ROUNDS):
            before, (slope, *_) = slope, _round(slope, x, y, used, (xx, yy, xy))
            if not (np.abs(slope - before) > CONVERGED * np.abs(slope)).any():
                break
        slope, middle_x, middle_y, weight, beta = _round(slope, x, y, used, (xx, yy, xy))
        total = weight.sum(axis=1, keepdims=True)
        intercept = middle_y - slope * middle_x
        adjusted = middle_x + beta
        centre = (weight * adjusted).sum(axis=1, keepdims=True) / total
        slope_error = 1.0 / np.sqrt((weight * (adjusted - centre) ** 2).sum(axis=1, keepdims=True))
        residual = y - intercept - slope * x
        has_line = (count >= 2) & np.isfinite(slope)
        results = (slope, intercept, slope_error, np.sqrt(1.0 / total + (centre * slope_error) ** 2))
        slope, intercept, slope_error, intercept_error = (np.where(has_line, one, np.nan) for one in results)
        return WeightedLine(
            slope=slope,
            intercept=intercept,
            slope_error=slope_error,
            intercept_error=intercept_error,
            misfit=np.where(has_line, (weight * residual**2).sum(axis=1, keepdims=True), np.nan),
            count=count,
        )


_Round = tuple[Values, Values, Values, Values, Values]


def _round(
    slope: Values, x: Values, y: Values, used: NDArray[np.bool_], variances: tuple[Values, Values, Values]
) -> _Round:
    """Return a better slope, the weighted middle of x and y, the weights, and the points' places along the line."""
    xx, yy, xy = variances
    weight = np.where(used, 1.0 / (yy + slope**2 * xx - 2.0 * slope * xy), 0.0)
    total = weight.sum(axis=1, keepdims=True)
    middle_x = (weight * x).sum(axis=1, keepdims=True) / total
    middle_y = (weight * y).sum(axis=1, keepdims=True) / total
    u, v = np.where(used, x - middle_x, 0.0), np.where(used, y - middle_y, 0.0)
    along = np.where(used, u * yy + slope * v * xx - (slope * u + v) * xy, 0.0)
    beta = weight * along
    better = (weight * beta * v).sum(axis=1, keepdims=True) / (weight * beta * u).sum(axis=1, keepdims=True)
    return better, middle_x, middle_y, weight, beta
