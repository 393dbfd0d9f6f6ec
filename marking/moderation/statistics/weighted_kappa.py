"""Agreement beyond chance of two markers: Cohen's kappa, plain and weighted.

Sources: Cohen, Psychological Bulletin 70 (1968) 213; for the standard errors Fleiss, Cohen and Everitt, Psychological
Bulletin 72 (1969) 323. All of it depends on the spread of the marks in the sample.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.moderation.statistics.limits_of_agreement import NORMAL_95

Values = NDArray[np.float64]


class Kappa(Struct, frozen=True, kw_only=True):
    """A kappa of two markers."""

    pairs: int
    value: float
    low: float
    """Lower end of its 95 % interval, large-sample."""
    high: float
    """At most 1."""
    error: float
    """Standard error, for a kappa that is not zero."""
    null_error: float
    """Standard error if there were no agreement beyond chance."""


def cross_table(first: Sequence[int], second: Sequence[int], out_of: int) -> Values:
    """Return how many pairs have each two marks, shape (out_of + 1, out_of + 1)."""
    table = np.zeros((out_of + 1, out_of + 1))
    for x, y in zip(first, second, strict=True):
        table[x, y] += 1
    return table


def quadratic_distances(size: int) -> Values:
    """Return how far apart each two marks count as: the square of their difference, shape (size, size)."""
    marks = np.arange(size, dtype=np.float64)
    return np.asarray((marks[:, None] - marks[None, :]) ** 2, dtype=np.float64)


def kappa_of(table: Values, distances: Values | None = None) -> Kappa | None:
    """Return the kappa of a table of counts, rows first marker and columns second.

    Args:
        table: Counts, shape (k, k).
        distances: How far apart each cell counts as, 0 on the diagonal, on any scale; None for 1 wherever marks differ.

    Returns:
        The kappa; None where chance alone would agree fully: no pair, or one mark throughout.
    """
    count = float(table.sum())
    if count <= 0:
        return None
    apart = 1 - np.eye(len(table)) if distances is None else distances
    # Whole numbers up to here, so that a value which ends on a five is printed as it is worked out by hand.
    by_chance = float(table.sum(axis=1) @ apart @ table.sum(axis=0))
    if by_chance <= 0:
        return None
    value = 1 - count * float((apart * table).sum()) / by_chance
    shares, agreed = table / count, 1 - apart / float(apart.max())
    rows, columns = shares.sum(axis=1), shares.sum(axis=0)
    chance = float(rows @ agreed @ columns)
    margins = (agreed @ columns)[:, None] + (rows @ agreed)[None, :]
    off = (agreed - margins * (1 - value)) ** 2
    variance = float((shares * off).sum()) - (value - chance * (1 - value)) ** 2
    under_null = float(rows @ ((agreed - margins) ** 2) @ columns) - chance**2
    error = math.sqrt(max(0.0, variance)) / (1 - chance) / math.sqrt(count)
    null_error = math.sqrt(max(0.0, under_null)) / (1 - chance) / math.sqrt(count)
    room = NORMAL_95 * error
    return Kappa(
        pairs=round(count),
        value=value,
        low=value - room,
        high=min(1.0, value + room),
        error=error,
        null_error=null_error,
    )


def quadratic_kappa(first: Sequence[int], second: Sequence[int], out_of: int) -> Kappa | None:
    """Return the quadratic weighted kappa of marks from 0 to *out_of*; None where it cannot be told."""
    return kappa_of(cross_table(first, second, out_of), quadratic_distances(out_of + 1))
