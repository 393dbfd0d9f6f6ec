"""The straight part of points that bend away from it further on: a spring past its limit of proportionality."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.checking.fits.straight_lines import fit_lines
from marking.distributions import t_limits

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

FEWEST_STRAIGHT = 4
"""Points that a straight part has at least; common practice, no source."""
BENT_CHANCE = 0.01
"""How often points that lie on one line may be said to leave it."""
LEAST_BEND = 0.02
"""Of the height of all points: what is nearer to the line cannot be seen to leave it; common practice, no source."""


def straight_part(x: Values, y: Values) -> Mask:
    """Return which points belong to the straight part, where the others leave it; all False where none do.

    From the smallest x on, a point belongs to it as long as it lies within the prediction limits of the line through
    those before (Student's t with n - 2 degrees of freedom, Bonferroni-corrected for looking at every point, at a
    chance of 1 % a line). Every point behind the first that does not must lie off on the same side: one odd point is
    no bend.

    Args:
        x: Shape (students, rows), NaN where nothing was read.
        y: The same shape.
    """
    x, y = np.broadcast_arrays(x, y)
    used = np.isfinite(x) & np.isfinite(y)
    order = np.argsort(np.where(used, x, np.inf), axis=1, kind="stable")
    x, y = (np.take_along_axis(np.where(used, one, np.nan), order, axis=1) for one in (x, y))
    count = used.sum(axis=1, keepdims=True)
    part = np.zeros(x.shape, np.bool_)
    is_open = np.ones((x.shape[0], 1), np.bool_)
    with np.errstate(all="ignore"):
        height = np.fmax.reduce(y, axis=1, keepdims=True) - np.fmin.reduce(y, axis=1, keepdims=True)
        for size in range(FEWEST_STRAIGHT, x.shape[1]):
            fit = fit_lines(x[:, :size], y[:, :size])
            away = y - fit.intercept - fit.slope * x
            scatter = np.square(away[:, :size]).sum(axis=1, keepdims=True) / (size - 2)
            # The variance of a prediction is that of a point and that of the line, far from its middle.
            middle = x[:, :size].mean(axis=1, keepdims=True)
            error = np.sqrt(scatter * (1 + 1 / size) + np.square(fit.slope_error * (x - middle)))
            limit = t_limits(size - 2, 1 - BENT_CHANCE / (2 * np.maximum(count, 1)))
            is_off = np.abs(away) > np.maximum(limit * error, LEAST_BEND * height)
            leaves = is_open & is_off[:, size : size + 1]
            side = np.sign(away[:, size : size + 1])
            behind = np.isfinite(away[:, size:])
            stays_away = (~behind | (is_off[:, size:] & (np.sign(away[:, size:]) == side))).all(axis=1, keepdims=True)
            part[:, :size] |= leaves & stays_away
            is_open = is_open & ~leaves
    found = np.zeros_like(part)
    np.put_along_axis(found, order, part, axis=1)
    return found
