"""Lines and curves that are fitted by calculation: weighted, through the origin, parabolas.

The functions of the formula language beside ``slope`` and ``intercept``, for a whole class at once.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.checking.fits.parabolas import fit_parabolas
from marking.checking.fits.weighted_lines import fit_weighted_lines

Values = NDArray[np.float64]

WEIGHTED = ("weighted_slope", "weighted_intercept")
"""Of y, x and the standard uncertainties of y and of x."""
ORIGIN = ("slope_through_origin",)
PARABOLA = ("parabola_constant", "parabola_linear", "parabola_square")
"""y = constant + linear x + square x²."""
FITS = (*WEIGHTED, *ORIGIN, *PARABOLA)
DRAWN_FITS = (*WEIGHTED, *ORIGIN)
"""Straight lines, which may be drawn by hand as well."""


def fit_value(function: str, columns: list[Values]) -> tuple[Values, Values]:
    """Return what *function* comes to and its standard uncertainty, each of shape (students, 1).

    Args:
        function: One of FITS.
        columns: y and x, for a weighted line their standard uncertainties behind them.
    """
    y, x = columns[:2]
    if function in WEIGHTED:
        line = fit_weighted_lines(x, y, columns[3], columns[2])
        is_slope = function == "weighted_slope"
        return (line.slope, line.slope_error) if is_slope else (line.intercept, line.intercept_error)
    if function in ORIGIN:
        return _through_origin(x, y)
    fit = fit_parabolas(x, y)
    which = function.removeprefix("parabola_")
    return np.asarray(getattr(fit, which)), np.asarray(getattr(fit, f"{which}_error"))


def scatter(function: str, y: Values, x: Values) -> tuple[Values, Values]:
    """Return the standard deviation of points about their fit and its degrees of freedom, (students, 1) each.

    Args:
        function: One of ORIGIN or PARABOLA.
        y: Shape (students, rows), NaN where nothing was read.
        x: The same shape.
    """
    used = np.isfinite(x) & np.isfinite(y)
    if function in ORIGIN:
        fitted, parameters = fit_value(function, [y, x])[0] * x, 1
    else:
        fit, parameters = fit_parabolas(x, y), 3
        fitted = fit.constant + fit.linear * x + fit.square * x**2
    freedom = used.sum(axis=1, keepdims=True).astype(np.float64) - parameters
    rest = np.where(used, y - fitted, 0.0)
    return np.sqrt((rest * rest).sum(axis=1, keepdims=True) / np.where(freedom > 0, freedom, np.nan)), freedom


def _through_origin(x: Values, y: Values) -> tuple[Values, Values]:
    with np.errstate(all="ignore"):
        x, y = np.broadcast_arrays(x, y)
        used = np.isfinite(x) & np.isfinite(y)
        x, y = np.where(used, x, 0.0), np.where(used, y, 0.0)
        xx = (x * x).sum(axis=1, keepdims=True)
        slope = (x * y).sum(axis=1, keepdims=True) / np.where(xx > 0, xx, np.nan)
        rest = np.where(used, y - slope * x, 0.0)
        freedom = used.sum(axis=1, keepdims=True) - 1
        variance = (rest * rest).sum(axis=1, keepdims=True) / np.where(freedom > 0, freedom, np.nan)
        return slope, np.sqrt(variance / xx)
