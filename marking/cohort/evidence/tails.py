"""Chances that several checks put together."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np


def at_least(count: int, chances: Iterable[float]) -> float:
    """Return how often *count* or more of independent events come about, each with its own chance."""
    distribution = np.ones(1)
    for chance in chances:
        distribution = np.convolve(distribution, [1.0 - chance, chance])
    return float(distribution[count:].sum()) if count < distribution.size else 0.0
