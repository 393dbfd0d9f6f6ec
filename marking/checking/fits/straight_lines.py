"""Straight lines through the readings of a whole class, by least squares.

Formulas: JCGM 100:2008, H.3 (a line and the standard uncertainties of its slope and intercept), with
equal weights. The columns are centred first, so that nothing is lost by subtraction.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.distributions import t_limits

Values = NDArray[np.float64]

FEWEST_FOR_ODD = 5
"""With fewer points than this no point can be called odd."""
ODD_CHANCE = 0.01
"""How often a sound line of points may have one point called odd."""


class LineFit(Struct, frozen=True, kw_only=True):
    """One line a student; every array has shape (students, 1), NaN where there is no line."""

    slope: Values
    intercept: Values
    slope_error: Values
    """Standard uncertainty; NaN with fewer than three points."""
    intercept_error: Values
    count: Values


def fit_lines(x: Values, y: Values) -> LineFit:
    """Return the least-squares lines of *y* on *x*, both of shape (students, rows).

    A row counts where both are finite. With fewer than two different x there is no line.
    """
    with np.errstate(all="ignore"):
        one = _Centred.of(x, y)
        n, mean_x, slope = one.count, one.mean_x, one.slope
        intercept = one.mean_y - slope * mean_x
        residual = np.where(one.used, one.dy - slope * one.dx, 0.0)
        variance = (residual * residual).sum(axis=1, keepdims=True) / np.where(n > 2, n - 2, np.nan)
        some = np.where(n > 0, n, np.nan)
        return LineFit(
            slope=slope,
            intercept=intercept,
            slope_error=np.sqrt(variance / one.sxx),
            intercept_error=np.sqrt(variance * (1.0 / some + mean_x * mean_x / one.sxx)),
            count=n,
        )


def gradients(x: Values, y: Values) -> Values:
    """Return the gradients of the same lines, shape (students, 1), at half the cost of all that is known of them."""
    with np.errstate(all="ignore"):
        return _Centred.of(x, y).slope


class _Centred(Struct, frozen=True):
    """Points about their middle."""

    used: NDArray[np.bool_]
    count: Values
    mean_x: Values
    mean_y: Values
    dx: Values
    dy: Values
    sxx: Values
    """NaN where all x are one."""

    @classmethod
    def of(cls, x: Values, y: Values) -> _Centred:
        x, y = np.broadcast_arrays(x, y)
        used = np.isfinite(x) & np.isfinite(y)
        n = used.sum(axis=1, keepdims=True).astype(np.float64)
        some = np.where(n > 0, n, np.nan)
        mean_x = np.where(used, x, 0.0).sum(axis=1, keepdims=True) / some
        mean_y = np.where(used, y, 0.0).sum(axis=1, keepdims=True) / some
        dx = np.where(used, x - mean_x, 0.0)
        dy = np.where(used, y - mean_y, 0.0)
        sxx = (dx * dx).sum(axis=1, keepdims=True)
        # Equal x values centre to rounding noise, not to zero.
        wide = sxx > 1e-24 * n * mean_x * mean_x
        return cls(used, n, mean_x, mean_y, dx, dy, np.where(wide & (sxx > 0), sxx, np.nan))

    @property
    def slope(self) -> Values:
        return np.asarray((self.dx * self.dy).sum(axis=1, keepdims=True) / self.sxx)


def odd_points(x: Values, y: Values) -> NDArray[np.bool_]:
    """Return which points lie too far off the line through the others, shape (students, rows).

    The test is the deleted (externally studentised) residual against Student's t with n - 3 degrees
    of freedom, Bonferroni-corrected for looking at every point (Cook and Weisberg, Residuals and
    Influence in Regression, 1982, 2.2.2), at a chance of 1 % a line. At most one point a line is named.
    """
    with np.errstate(all="ignore"):
        x, y = np.broadcast_arrays(x, y)
        used = np.isfinite(x) & np.isfinite(y)
        fit = fit_lines(x, y)
        n = fit.count
        mean_x = np.where(used, x, 0.0).sum(axis=1, keepdims=True) / n
        dx = np.where(used, x - mean_x, 0.0)
        leverage = 1.0 / n + dx * dx / (dx * dx).sum(axis=1, keepdims=True)
        residual = np.where(used, y - fit.intercept - fit.slope * x, 0.0)
        total = (residual * residual).sum(axis=1, keepdims=True)
        deleted = (total - residual * residual / (1.0 - leverage)) / (n - 3)
        # All the other points exactly on one line: nothing to compare the last one with but rounding.
        floor = (1e-9 * np.abs(np.where(used, y, 0.0)).max(axis=1, keepdims=True)) ** 2
        size = np.abs(residual) / np.sqrt(np.maximum(deleted, floor) * (1.0 - leverage))
        limit = t_limits(np.where(n > 3, n - 3, np.nan), 1.0 - ODD_CHANCE / (2.0 * n))
        worst = size == np.where(used, size, -1.0).max(axis=1, keepdims=True)
        return np.asarray(used & worst & (size > limit) & (n >= FEWEST_FOR_ODD))
