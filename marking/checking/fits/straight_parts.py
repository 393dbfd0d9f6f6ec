"""The straight part of points that bend away from it further on: a spring past its limit of proportionality."""

from __future__ import annotations

from collections.abc import Iterator

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

MOST_AT_ONCE = 200_000
"""Numbers in one array while lines through the first points are fitted."""


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
        for sizes in _blocks(x.shape):
            kept = np.arange(x.shape[1]) < sizes[:, None, None]
            leaves, stays_away = _leaving(x, y, kept, sizes[:, None, None], height, count)
            for size in range(len(sizes)):
                part |= is_open & leaves[size] & stays_away[size] & kept[size]
                is_open &= ~leaves[size]
            if not is_open.any():
                break
    found = np.zeros_like(part)
    np.put_along_axis(found, order, part, axis=1)
    return found


def _blocks(shape: tuple[int, ...]) -> Iterator[NDArray[np.int64]]:
    """Yield the numbers of points that a straight part may have, so many at a time as memory takes."""
    sizes = np.arange(FEWEST_STRAIGHT, shape[1])
    step = max(1, MOST_AT_ONCE // max(1, shape[0] * shape[1]))
    for start in range(0, len(sizes), step):
        yield sizes[start : start + step]


def _leaving(
    x: Values, y: Values, kept: Mask, size: NDArray[np.int64], height: Values, count: Values
) -> tuple[Mask, Mask]:
    """Return whether the point behind the first *size* leaves their line, and whether all behind it stay away.

    Args:
        x: Shape (students, rows), in order, what was not read at the end.
        y: The same shape.
        kept: Which rows are among the first, shape (sizes, 1, rows).
        size: How many these are, shape (sizes, 1, 1).
        height: Of all points, shape (students, 1).
        count: Of all points, the same shape.

    Returns:
        Two arrays of shape (sizes, students, 1).
    """
    shape = (len(size), *x.shape)
    parts = (np.broadcast_to(np.where(kept, one, np.nan), shape).reshape(-1, x.shape[1]) for one in (x, y))
    fit = fit_lines(*parts)
    intercept, slope, slope_error = (one.reshape(*shape[:2], 1) for one in (fit.intercept, fit.slope, fit.slope_error))
    away = y - intercept - slope * x
    scatter = np.where(kept, np.square(away), 0.0).sum(axis=2, keepdims=True) / (size - 2)
    # The variance of a prediction is that of a point and that of the line, far from its middle.
    middle = np.where(kept, x, 0.0).sum(axis=2, keepdims=True) / size
    error = np.sqrt(scatter * (1 + 1 / size) + np.square(slope_error * (x - middle)))
    limit = t_limits(size - 2, 1 - BENT_CHANCE / (2 * np.maximum(count, 1)))
    is_off = np.abs(away) > np.maximum(limit * error, LEAST_BEND * height)
    first = np.broadcast_to(size, (*shape[:2], 1))
    side = np.sign(np.take_along_axis(away, first, axis=2))
    behind = np.isfinite(away) & ~kept
    stays_away = (~behind | (is_off & (np.sign(away) == side))).all(axis=2, keepdims=True)
    return np.take_along_axis(is_off, first, axis=2), stays_away
