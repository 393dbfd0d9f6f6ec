"""Single values of one group that neither its other values nor its neighbours at the bench bear out.

A bench that is off shifts everything that follows the instrument, for all its groups. One value that stands alone was
misread; it must neither hide a bench that is off nor make one of a sound bench.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.distributions import median

Values = NDArray[np.float64]

FEWEST = 4
"""Values of one bench below which nobody knows which of them stands alone."""
ALONE = 5.0
"""A value so many spreads from the middle of its bench, and from every neighbour's, stands alone."""
LEAST_SPREAD = 0.004
"""Readings of one bench repeat to this share at best; common practice, no source."""
AS_DEVIATION = 1.4826
"""Standard deviation over median distance, for a normal distribution."""


def without_careless(residuals: Values, exponents: Values, bench_of: NDArray[np.int64]) -> Values:
    """Return *residuals* with NaN where a value stands alone.

    Args:
        residuals: Natural logarithms of ratios to the sound benches, shape (groups, quantities).
        exponents: Power of each quantity in the instrument, none of them zero, shape (quantities,).
        bench_of: Bench of each group.
    """
    scaled = residuals / exponents
    middles = np.full(scaled.shape, np.nan)
    for bench in set(bench_of.tolist()):
        mine = bench_of == bench
        values = scaled[mine]
        known = values[np.isfinite(values)]
        if known.size >= FEWEST:
            middles[mine] = median(known)
    away = np.abs(scaled - middles)
    if not np.isfinite(away).any():
        return residuals
    far = away > ALONE * max(AS_DEVIATION * median(away[~np.isnan(away)]), LEAST_SPREAD)
    kept = residuals.copy()
    for group, place in zip(*np.nonzero(far), strict=True):
        others = scaled[(bench_of == bench_of[group]) & (np.arange(len(bench_of)) != group), place]
        apart = np.abs(others[np.isfinite(others)] - scaled[group, place])
        if apart.size and apart.min() > away[group, place] / 2:
            kept[group, place] = np.nan
    return kept
