"""How far a repeat stands from the rest of its set, and how far one of a sound set may stand.

Grubbs' test, two-sided, as ISO 5725-2:1994 uses it; limits by the formula of the NIST/SEMATECH e-Handbook,
1.3.5.17.1, which gives its table (Table 5) and that of Grubbs and Beck, Technometrics 14 (1972) 847. With two
repeats no reading can be named; they only disagree.

Three repeats by themselves say too little for any test. Where the same student repeated other readings of the kind,
their scatter tells how far three may lie apart: Student's t of the reading left out against the scatter of all others
(the deleted residual), with Bonferroni's factor for the number of readings.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.distributions import t_limit

Values = NDArray[np.float64]
Flags = NDArray[np.bool_]

FEWEST_REPEATS = 3
CHANCE = 0.05
LEAST_FREEDOM = 4
"""Degrees of freedom from which the scatter of other sets says anything."""
LEAST_STEPS = 2.0
"""A reading nearer to the mean of the others than this many steps of the instrument is never odd: of 1.82, 1.82
and 1.83 the test would name the last."""


def grubbs_limit(count: int, *, two_sided: bool = True, chance: float = CHANCE) -> float:
    """Return the largest distance from the mean, in standard deviations, of a sound set of *count* readings.

    Raises:
        ValueError: Fewer than three readings.
    """
    if count < FEWEST_REPEATS:
        raise ValueError(f"{count} readings are too few to call one odd: it takes {FEWEST_REPEATS}")
    tail = chance / count / (2.0 if two_sided else 1.0)
    t = t_limit(count - 2, 1.0 - tail)
    return float((count - 1) / np.sqrt(count) * np.sqrt(t * t / (count - 2 + t * t)))


def chance_beside_others(sets: Values, which: int, step: float) -> tuple[int, float]:
    """Return which reading of one set lies farthest from the rest, and how likely a sound one does, by the other sets.

    Scatter may be the same in every set, or grow with the reading: the larger chance of the two counts.

    Args:
        sets: Repeats of one student, shape (sets, repeats), NaN where nothing was read.
        which: The set that is looked at, of three readings at least.
        step: Of the instrument; scatter is never taken for less than half of it.

    Returns:
        The position in the set, and the chance, one where the other sets say too little.
    """
    from scipy.special import stdtr

    values = sets[which]
    away = np.array([abs(values[n] - np.nanmean(np.delete(values, n))) for n in range(values.size)])
    farthest = int(np.nanargmax(away))
    others = np.delete(values, farthest)
    rest = np.delete(sets, which, axis=0)
    rest = rest[np.isfinite(rest).sum(axis=1) >= 2]
    freedom = float((np.isfinite(rest).sum(axis=1) - 1).sum() + np.isfinite(others).sum() - 1)
    if freedom < LEAST_FREEDOM:
        return farthest, 1.0
    level = float(np.nanmean(others))
    chances = []
    for scale in (1.0, abs(level)):
        scaled = np.concatenate([_residuals(rest, scale), _residuals(others[None], scale)]) * scale
        scatter = max(float(np.sqrt((scaled**2).sum() / freedom)), 0.5 * step)
        t = away[farthest] / (scatter * np.sqrt(1.0 + 1.0 / np.isfinite(others).sum()))
        chances.append(2.0 * float(stdtr(freedom, -t)) * np.isfinite(sets).sum())
    return farthest, min(1.0, max(chances))


def _residuals(sets: Values, scale: float) -> Values:
    """Return how far each reading is from the mean of its set, as a share of it unless *scale* is 1."""
    mean = np.nanmean(sets, axis=1, keepdims=True)
    away = (sets - mean) / (1.0 if scale == 1.0 else np.where(mean != 0, np.abs(mean), np.inf))
    return np.asarray(away[np.isfinite(away)])


def grubbs_distance(values: Values) -> Values:
    """Return each reading's distance from the mean of its set in standard deviations, shape (sets, repeats)."""
    used, count, mean = _means(values)
    away = np.where(used, values - mean, 0.0)
    spread = np.sqrt((away * away).sum(axis=1, keepdims=True) / (count - 1))
    return np.asarray(np.where(used, np.abs(away) / spread, np.nan))


def _means(values: Values) -> tuple[Flags, Values, Values]:
    used = np.isfinite(values)
    count = used.sum(axis=1, keepdims=True).astype(np.float64)
    mean = np.where(used, values, 0.0).sum(axis=1, keepdims=True) / np.where(count > 0, count, np.nan)
    return used, count, np.asarray(mean)
