"""Whether a marker is generous at one end of the range only: the slope of the differences against the mean marks."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from marking.moderation.statistics.severity import differences, t_multiple


class QualityTrend(Struct, frozen=True, kw_only=True):
    """By how much the difference grows with each mark of quality."""

    pairs: int
    slope: float
    """Marks of difference a mark of quality, which is the mean of the two marks."""
    low: float
    high: float
    """95 % interval, from Student's t."""

    @property
    def is_shown(self) -> bool:
        """Tell whether the interval leaves zero out."""
        return self.low > 0 or self.high < 0


def quality_trend(first: Sequence[float], second: Sequence[float]) -> QualityTrend | None:
    """Return the trend; None for fewer than three pairs, or where all pairs are of one quality."""
    apart = np.array(differences(first, second), dtype=np.float64)
    quality = (np.array(first, dtype=np.float64) + np.array(second, dtype=np.float64)) / 2
    if apart.size < 3:
        return None
    off = quality - quality.mean()
    squares = float(off @ off)
    if squares <= 0:
        return None
    slope = float(off @ apart) / squares
    rest = apart - apart.mean() - slope * off
    freedom = apart.size - 2
    error = math.sqrt(float(rest @ rest) / freedom / squares)
    room = t_multiple(freedom) * error
    return QualityTrend(pairs=int(apart.size), slope=slope, low=slope - room, high=slope + room)
