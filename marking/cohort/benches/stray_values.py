"""Values of one quantity that a group got by a slip of its own: neither its bench's nor, by chance, the class's.

Few groups work at a bench, so one that misread pulls the mean of its bench far enough to hide apparatus that is off, or
to make some. Whether a value is such a slip is weighed for each bench: how likely its groups' values are if these are
sound and those were misread, the bench itself being like the others or off. What makes that likeliest is kept.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from marking.distributions import median

Values = NDArray[np.float64]
Places = NDArray[np.int64]
Flags = NDArray[np.bool_]

MISREAD = 0.05
"""Share of the values that a slip is behind; judged, no source."""
OFF = 0.05
"""Share of the benches whose apparatus is off; judged, no source."""
SMALLEST, LARGEST = 0.01, 1.0
"""A slip, or apparatus that is off, is as likely in each octave of these sizes (natural logarithm)."""
AS_DEVIATION = 0.9539
"""Median distance of two values, over their standard deviation, for a normal distribution."""
HALF_WITHIN = 0.6745
"""Median distance from the middle, over the standard deviation, for a normal distribution."""
FEWEST_PAIRS = 4
"""Pairs of groups of one bench, to tell from them how far groups differ."""


def without_strays(logs: Values, bench_of: Places, centres: Values, between: float, fixed: Flags) -> Values:
    """Return *logs* with NaN where a slip is likelier than anything else.

    Args:
        logs: Natural logarithm of one quantity, one a group; NaN where there is none.
        bench_of: Bench of each group.
        centres: What sound benches of its kind have, one a group.
        between: What sound benches usually differ by, as a standard deviation.
        fixed: Values that were no slip, such as a technician's.
    """
    away = logs - centres
    scatter = _scatter(away, bench_of, between)
    between = max(between, _all_over(away))
    kept = logs.copy()
    for bench in set(bench_of.tolist()):
        mine = np.flatnonzero((bench_of == bench) & np.isfinite(away))
        sound = _likeliest(away[mine], ~fixed[mine], scatter, between)
        kept[mine[~sound]] = np.nan
    return kept


def _all_over(away: Values) -> float:
    """Return how far groups of all benches lie from the middle, as their own middle has it.

    In a class that spreads more widely than usual, what is far off by the usual measure is no slip.
    """
    known = np.abs(away[np.isfinite(away)])
    return median(known) / HALF_WITHIN if known.size else 0.0


def _scatter(away: Values, bench_of: Places, usual: float) -> float:
    """Return how far groups of one bench differ, as the middle of all pairs has it, but no less than *usual*.

    What lies no farther from the rest than sound benches do from each other does no harm.
    """
    known = np.isfinite(away)
    own = (away[known & (bench_of == bench)] for bench in set(bench_of.tolist()))
    apart = np.concatenate([away[:0], *map(_distances, own)])
    if apart.size < FEWEST_PAIRS:
        return usual
    return max(median(apart) / AS_DEVIATION, usual)


def _distances(values: Values) -> Values:
    """Return how far each two of *values* lie apart."""
    first, second = np.triu_indices(values.size, 1)
    return np.asarray(np.abs(values[first] - values[second]))


def _likeliest(away: Values, doubtful: Flags, scatter: float, between: float) -> Flags:
    """Return which values of one bench are sound, found by leaving out one after the other while that is likelier."""
    sound = np.ones(away.size, np.bool_)
    best = _likelihood(away, sound, scatter, between)
    while (sound & doubtful).any():
        trials = []
        for place in np.flatnonzero(sound & doubtful).tolist():
            fewer = sound.copy()
            fewer[place] = False
            trials.append((_likelihood(away, fewer, scatter, between), -place))
        likelihood, chosen = max(trials)
        if likelihood <= best:
            break
        best, sound[-chosen] = likelihood, False
    return sound


def _likelihood(away: Values, sound: Flags, scatter: float, between: float) -> float:
    """Return the logarithm of how likely one bench's values are, if the *sound* ones were read and the rest misread."""
    count = int(sound.sum())
    middle = float(away[sound].mean()) if count else 0.0
    total = sum(math.log(MISREAD * any_size(float(one) - middle)) for one in away[~sound])
    if not count:
        return total
    squares = float(((away[sound] - middle) ** 2).sum()) / scatter**2
    total += count * math.log1p(-MISREAD) - squares / 2
    total -= (count - 1) * math.log(math.sqrt(2 * math.pi) * scatter) + math.log(count) / 2
    spread = math.hypot(between, scatter / math.sqrt(count))
    like_others = math.exp(-((middle / spread) ** 2) / 2) / (math.sqrt(2 * math.pi) * spread)
    return total + math.log((1 - OFF) * like_others + OFF * any_size(middle))


def any_size(away: Values | float) -> Values:
    """Return the density of what may be of any size, at *away* from where nothing went wrong."""
    return 1.0 / (2.0 * (1.0 + math.log(LARGEST / SMALLEST)) * np.maximum(np.abs(away), SMALLEST))
