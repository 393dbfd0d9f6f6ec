"""Parabolas through the readings of a whole class, by least squares: is a square term needed?

The square is first freed of what a straight line can say (an orthogonal polynomial), so that nothing is lost
by subtraction even where x runs to millions and the square term is of the fifteenth decimal.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.fits.straight_lines import fit_lines
from marking.distributions import t_limits

Values = NDArray[np.float64]

BEND_CHANCE = 0.01
"""How often a sound line is called bent."""
FEWEST_FOR_BEND = 5


class ParabolaFit(Struct, frozen=True, kw_only=True):
    """One parabola a student, y = constant + linear x + square x²; arrays of shape (students, 1)."""

    constant: Values
    linear: Values
    square: Values
    constant_error: Values
    """Standard uncertainty; NaN with fewer than four points."""
    linear_error: Values
    square_error: Values
    count: Values


def fit_parabolas(x: Values, y: Values) -> ParabolaFit:
    """Return the least-squares parabolas of *y* on *x*, both of shape (students, rows), NaN where nothing was read."""
    with np.errstate(all="ignore"):
        x, y = np.broadcast_arrays(x, y)
        used = np.isfinite(x) & np.isfinite(y)
        x, y = np.where(used, x, np.nan), np.where(used, y, np.nan)
        line = fit_lines(x, y)
        middle = np.nansum(x, axis=1, keepdims=True) / line.count
        beside = fit_lines(x, (x - middle) ** 2)
        z = np.where(used, (x - middle) ** 2 - beside.intercept - beside.slope * x, 0.0)
        left = np.where(used, y - line.intercept - line.slope * x, 0.0)
        zz = (z * z).sum(axis=1, keepdims=True)
        square = (z * left).sum(axis=1, keepdims=True) / zz
        rest = left - square * z
        variance = (rest * rest).sum(axis=1, keepdims=True) / np.where(line.count > 3, line.count - 3, np.nan)
        across = np.where(used, x - middle, 0.0)
        of_slope = variance / (across * across).sum(axis=1, keepdims=True)
        tilt, lift = beside.slope + 2.0 * middle, beside.intercept - middle**2
        return ParabolaFit(
            constant=line.intercept - square * lift,
            linear=line.slope - square * tilt,
            square=square,
            constant_error=np.sqrt(variance / line.count + of_slope * middle**2 + variance / zz * lift**2),
            linear_error=np.sqrt(of_slope + variance / zz * tilt**2),
            square_error=np.sqrt(variance / zz),
            count=line.count,
        )


def bends(x: Values, y: Values) -> NDArray[np.bool_]:
    """Tell for each student whether the points bend: whether a square term is needed, by Student's t; (students,)."""
    with np.errstate(all="ignore"):
        fit = fit_parabolas(x, y)
        freedom = np.where(fit.count >= FEWEST_FOR_BEND, fit.count - 3, np.nan)
        # Points exactly on a line have a square term of binary noise, and no scatter to compare it with.
        wide = np.nanmax(np.abs(x), axis=1, keepdims=True, initial=0.0) ** 2
        noise = 1e-9 * np.nanmax(np.abs(y), axis=1, keepdims=True, initial=0.0) / wide
        size = np.abs(fit.square) / np.maximum(fit.square_error, noise)
        return np.asarray((size > t_limits(freedom, 1.0 - BEND_CHANCE / 2.0))[:, 0])
