"""How far a row of honest work scatters about the smooth course of its column.

The ratio of two honest tables of like parts changes smoothly from row to row; what scatters about that is noise.
Where the first rows of two tables agree, how often the others agree follows from this noise.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from marking.checking.fits import fit_lines

Values = NDArray[np.float64]
Numbers = NDArray[np.int64]

FEWEST_ROWS = 4
"""A straight course takes two rows for itself; two more are needed to see noise."""
COMPANIONS = 4
"""The tables that run most closely alongside; the fourth is taken, so that a copy or two among them change nothing."""


PAIRS_AT_ONCE = 4096
"""Pairs whose numbers are held at a time: a year group has a hundred thousand of them."""


def blocks(pairs: int) -> Iterator[slice]:
    """Yield where so many *pairs* are to be cut, a few at a time."""
    return (slice(start, start + PAIRS_AT_ONCE) for start in range(0, pairs, PAIRS_AT_ONCE))


def row_noise(column: Values, first: Numbers, second: Numbers) -> Values:
    """Return the noise of each group's rows as a share of their values, shape (groups,); infinite where unknown.

    Args:
        column: One column of every group, shape (groups, rows); NaN where nothing stands.
        first: Groups to compare, one a pair.
        second: The groups they are compared with.
    """
    with np.errstate(all="ignore"):
        logs = np.where(column != 0, np.log(np.abs(column)), np.nan)
    noise = np.empty(first.size)
    for few in blocks(first.size):
        noise[few] = _of_pairs(logs[first[few]] - logs[second[few]])
    found = np.full(column.shape[0], np.inf)
    for group in range(column.shape[0]):
        mine = np.sort(noise[(first == group) | (second == group)])
        if mine.size:
            found[group] = mine[min(COMPANIONS, mine.size) - 1]
    return found


def _of_pairs(steps: Values) -> Values:
    """Return the noise of the ratio of two tables; *steps* are its logarithms, shape (pairs, rows)."""
    rows = np.broadcast_to(np.arange(steps.shape[1], dtype=np.float64), steps.shape)
    fit = fit_lines(rows, steps)
    residuals = steps - fit.intercept - fit.slope * rows
    known = np.isfinite(residuals)
    degrees = known.sum(axis=1) - 2
    squares = np.where(known, residuals, 0.0) ** 2
    with np.errstate(all="ignore"):
        noise = np.sqrt(squares.sum(axis=1) / degrees / 2.0)
    return np.where(degrees >= FEWEST_ROWS - 2, noise, np.inf)
