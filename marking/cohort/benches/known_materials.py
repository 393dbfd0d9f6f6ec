"""What each group's object is made of, where a class has several materials and the rubric has their accepted values.

Two groups with different materials are compared by the ratio of each result to the accepted value of its own. Nobody
says which that is, and apparatus that is off by a few per cent makes brass of iron; so the groups of a bench are taken
together: which single factor, with a material for each group, accounts best for all that they found.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from marking.cohort.benches.stray_values import MISREAD, OFF, any_size

Values = NDArray[np.float64]
Places = NDArray[np.int64]

FARTHEST = 0.14
"""A result farther than this from every accepted value (natural logarithm, 15 %) is of another material."""
MOST_UNKNOWN = 0.2
"""Share of the groups with another material, beyond which the accepted values are not those of this class."""
ONE_MATERIAL = 0.75
"""Share of the groups whose results are nearest to one accepted value, from which on the class has that material."""
REPEATS = 0.015
"""What results differ by from the accepted value besides a factor of their bench, as a standard deviation; judged."""


def references(logs: Values, bench_of: Places, accepted: Values) -> Values:
    """Return the natural logarithm of the accepted value that each group's result belongs to.

    Args:
        logs: Natural logarithm of the result, one a group; NaN where there is none.
        bench_of: Bench of each group.
        accepted: Natural logarithms of the accepted values.

    Returns:
        Zero throughout where the class has one material, or others than those.
    """
    none = np.zeros(logs.shape)
    known = np.isfinite(logs)
    away = logs[:, None] - accepted[None, :]
    away = np.where(np.abs(away) <= FARTHEST, away, np.nan)
    unknown = known & ~np.isfinite(away).any(axis=1)
    if not known.any() or unknown.sum() > MOST_UNKNOWN * known.sum():
        return none
    nearest = np.nanargmin(np.abs(away[known & ~unknown]), axis=1)
    if np.bincount(nearest).max() >= ONE_MATERIAL * nearest.size:
        return none
    chosen = np.full(logs.shape, -1, np.int64)
    for bench in set(bench_of.tolist()):
        mine = np.flatnonzero((bench_of == bench) & known & ~unknown)
        if mine.size:
            chosen[mine] = _materials(away[mine])
    return np.where(chosen >= 0, accepted[chosen], np.nan)


def _materials(away: Values) -> Places:
    """Return the position of the material of each group of one bench, shape (groups,).

    Args:
        away: Ratio of each result to each accepted value, natural logarithm, shape (groups, materials).
    """
    factors = [0.0, *sorted(away[np.isfinite(away)].tolist(), key=abs)]
    best = max(factors, key=lambda factor: round(_likelihood(away, factor), 9))
    return np.asarray(np.nanargmin(np.abs(away - best), axis=1))


def _likelihood(away: Values, factor: float) -> float:
    """Return the logarithm of how likely the results of one bench are, if it makes them larger by *factor*."""
    nearest = np.nanmin(np.abs(away - factor), axis=1)
    found = sum(math.log((1 - MISREAD) * _normal(float(one)) + MISREAD * any_size(float(one))) for one in nearest)
    return found + math.log((1 - OFF) * _normal(factor) + OFF * any_size(factor))


def _normal(away: float) -> float:
    return math.exp(-((away / REPEATS) ** 2) / 2) / (math.sqrt(2 * math.pi) * REPEATS)
