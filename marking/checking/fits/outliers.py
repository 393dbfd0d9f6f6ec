"""How far a repeat stands from the rest of its set, and how far one of a sound set may stand.

Grubbs' test, two-sided, as ISO 5725-2:1994 uses it; limits by the formula of the NIST/SEMATECH e-Handbook,
1.3.5.17.1, which gives its table (Table 5) and that of Grubbs and Beck, Technometrics 14 (1972) 847. With two
repeats no reading can be named; they only disagree.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.distributions import t_limit

Values = NDArray[np.float64]
Flags = NDArray[np.bool_]

FEWEST_REPEATS = 3
CHANCE = 0.05
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
