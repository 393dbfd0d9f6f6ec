"""Readings taken again: their mean, the one that may be left out, and those that agree.

Every function works along the last axis and passes over NaN, a repeat that was not taken.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

FEWEST_TO_LEAVE_OUT = 3
"""With two readings nobody can tell which of them is the odd one."""
_NOISE = 1e-9
"""Binary arithmetic: 0.83 - 0.82 and 0.82 - 0.81 are one step each."""


def mean_of(values: Values) -> Values:
    """Return the mean of the readings that are there; NaN where there is none."""
    present = np.isfinite(values)
    counts = present.sum(axis=-1, keepdims=True)
    total = np.where(present, values, 0.0).sum(axis=-1, keepdims=True)
    return np.asarray(total / np.where(counts > 0, counts, np.nan))


def means_of(values: Values) -> tuple[Values, Values]:
    """Return the least and the greatest mean that a careful student may take.

    A reading that is further from every other than those are from one another may be left out, and
    may be kept. The rule is common practice in schools, no source.
    """
    everything = mean_of(values)
    low, high = everything, everything
    present = np.isfinite(values)
    enough = present.sum(axis=-1, keepdims=True) >= FEWEST_TO_LEAVE_OUT
    ordered = np.sort(np.where(present, values, np.inf), axis=-1)
    counts = present.sum(axis=-1, keepdims=True)
    last = np.take_along_axis(ordered, np.maximum(counts - 1, 0), axis=-1)
    before_last = np.take_along_axis(ordered, np.maximum(counts - 2, 0), axis=-1)
    first, second = ordered[..., :1], ordered[..., 1:2] if ordered.shape[-1] > 1 else ordered[..., :1]
    with np.errstate(all="ignore"):
        room = _NOISE * np.maximum(np.abs(first), np.abs(last))
        odd_ends = (
            (first, (second - first) > (last - second) + room),
            (last, (last - before_last) > (before_last - first) + room),
        )
        for end, is_odd in odd_ends:
            rest = (everything * counts - end) / (counts - 1)
            one = np.where(enough & is_odd, rest, np.nan)
            low, high = np.fmin(low, one), np.fmax(high, one)
    return low, high


def concordant_mean(values: Values, within: Values) -> Values:
    """Return the mean of the largest group of readings that lie within *within* of one another.

    Of equally large groups the tightest is taken, then the lowest. NaN where no two agree.
    """
    ordered, reach = _ordered(values, within)
    best = np.full((*ordered.shape[:-1], 1), np.nan)
    best_count = np.ones(best.shape)
    best_width = np.full(best.shape, np.inf)
    with np.errstate(all="ignore"):
        for start in range(ordered.shape[-1]):
            inside = (np.arange(ordered.shape[-1]) >= start) & (ordered - ordered[..., start : start + 1] <= reach)
            group = np.where(inside, ordered, np.nan)
            count = np.isfinite(group).sum(axis=-1, keepdims=True)
            width = np.where(inside, ordered, -np.inf).max(axis=-1, keepdims=True) - ordered[..., start : start + 1]
            better = (count > best_count) | ((count == best_count) & (count > 1) & (width < best_width))
            best = np.where(better, mean_of(group), best)
            best_count, best_width = np.where(better, count, best_count), np.where(better, width, best_width)
    return best


def concordant_means(values: Values, within: Values) -> tuple[Values, Values]:
    """Return the least and the greatest mean of any two or more readings that agree to *within*."""
    ordered, reach = _ordered(values, within)
    low = high = np.full((*ordered.shape[:-1], 1), np.nan)
    with np.errstate(all="ignore"):
        for start in range(ordered.shape[-1]):
            for end in range(start + 1, ordered.shape[-1]):
                a, b = ordered[..., start : start + 1], ordered[..., end : end + 1]
                pair = np.where(b - a <= reach, 0.5 * (a + b), np.nan)
                low, high = np.fmin(low, pair), np.fmax(high, pair)
    return low, high


def concordant_runs(values: Values, within: Values) -> list[Values]:
    """Return the mean of every run of two or more neighbouring readings that agree to *within*, NaN where it does not.

    The mean of the largest group, which :func:`concordant_mean` takes, stands first.
    """
    ordered, reach = _ordered(values, within)
    found = [concordant_mean(values, within)]
    with np.errstate(all="ignore"):
        for start in range(ordered.shape[-1]):
            for end in range(start + 1, ordered.shape[-1]):
                run = ordered[..., start : end + 1]
                agrees = run[..., -1:] - run[..., :1] <= reach
                found.append(np.where(agrees, run.mean(axis=-1, keepdims=True), np.nan))
    return found


def _ordered(values: Values, within: Values) -> tuple[Values, Values]:
    ordered = np.sort(values, axis=-1)  # NaN last
    return ordered, np.asarray(within * (1 + _NOISE) + _NOISE * np.abs(ordered[..., :1]))
