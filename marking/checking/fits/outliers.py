"""Repeats that do not belong, proposed by a published test and never dropped without a word.

Two tests, each for at most one reading of a set, at 5 % (a sound set has a reading named once in twenty):

* Grubbs, two-sided, as ISO 5725-2:1994 uses it; limits by the formula of the NIST/SEMATECH e-Handbook,
  1.3.5.17.1, which gives its table (Table 5) and that of Grubbs and Beck, Technometrics 14 (1972) 847.
* Dixon's Q (r10), two-sided 95 %, limits of Rorabacher, Analytical Chemistry 63 (1991) 139, Table 1.

With two repeats no reading can be named; they only disagree.
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Flags = NDArray[np.bool_]

FEWEST_REPEATS = 3
CHANCE = 0.05
DIXON_LIMITS = {3: 0.970, 4: 0.829, 5: 0.710, 6: 0.625, 7: 0.568, 8: 0.526, 9: 0.493, 10: 0.466}
LEAST_STEPS = 2.0
"""A reading nearer to the mean of the others than this many steps of the instrument is never odd: of 1.82, 1.82
and 1.83 either test would name the last."""
THUMB_RANGES = 3.0
"""School rule of thumb, no published test: a reading this many ranges of the others away from them may be left out."""


class OutlierTest(StrEnum):
    """The test that names a reading."""

    GRUBBS = "Grubbs, two-sided 5 % (ISO 5725-2)"
    DIXON = "Dixon Q, two-sided 5 % (Rorabacher 1991)"


def grubbs_limit(count: int, *, two_sided: bool = True, chance: float = CHANCE) -> float:
    """Return the largest distance from the mean, in standard deviations, of a sound set of *count* readings.

    Raises:
        ValueError: Fewer than three readings.
    """
    from scipy.special import stdtrit

    if count < FEWEST_REPEATS:
        raise ValueError(f"{count} readings are too few to call one odd: it takes {FEWEST_REPEATS}")
    tail = chance / count / (2.0 if two_sided else 1.0)
    t = float(stdtrit(count - 2, 1.0 - tail))
    return float((count - 1) / np.sqrt(count) * np.sqrt(t * t / (count - 2 + t * t)))


def grubbs_distance(values: Values) -> Values:
    """Return each reading's distance from the mean of its set in standard deviations, shape (sets, repeats)."""
    used, count, mean = _means(values)
    away = np.where(used, values - mean, 0.0)
    spread = np.sqrt((away * away).sum(axis=1, keepdims=True) / (count - 1))
    return np.asarray(np.where(used, np.abs(away) / spread, np.nan))


def dixon_ratio(values: Values) -> Values:
    """Return gap over range of the lowest and the highest reading of each set, NaN elsewhere; (sets, repeats)."""
    ordered = np.sort(values, axis=1)  # NaN goes to the end
    count = np.isfinite(values).sum(axis=1, keepdims=True)
    top = np.take_along_axis(ordered, np.maximum(count - 1, 0), axis=1)
    below_top = np.take_along_axis(ordered, np.maximum(count - 2, 0), axis=1)
    low, above_low = ordered[:, :1], ordered[:, 1:2]
    ratio = np.where(values == top, (top - below_top) / (top - low), np.nan)
    return np.asarray(np.where(values == low, (above_low - low) / (top - low), ratio))


def odd_repeats(values: Values, step: Values | float, test: OutlierTest = OutlierTest.GRUBBS) -> Flags:
    """Return which repeat of each set a test calls odd, at most one a set; shape (sets, repeats).

    Args:
        values: Shape (sets, repeats), NaN where nothing was read.
        step: The instrument's smallest step, in the same unit; shape (sets, 1) or one for all.
        test: Dixon's limits end at ten repeats; a longer set has none named by it.
    """
    with np.errstate(all="ignore"):
        used, count, mean = _means(values)
        whole = count.astype(np.int64)[:, 0]
        size = grubbs_distance(values) if test is OutlierTest.GRUBBS else dixon_ratio(values)
        limits = np.array([_limit(int(one), test) for one in whole])[:, None]
        farthest = size == np.where(used, np.nan_to_num(size), -1.0).max(axis=1, keepdims=True)
        others = (mean * count - values) / (count - 1)
        away = np.abs(values - others) > LEAST_STEPS * step * (1 + 1e-9)
        odd = used & farthest & (size > limits) & away
        return np.asarray(odd & (odd.sum(axis=1, keepdims=True) == 1))


def _limit(count: int, test: OutlierTest) -> float:
    if count < FEWEST_REPEATS:
        return np.inf
    return grubbs_limit(count) if test is OutlierTest.GRUBBS else DIXON_LIMITS.get(count, np.inf)


def _means(values: Values) -> tuple[Flags, Values, Values]:
    used = np.isfinite(values)
    count = used.sum(axis=1, keepdims=True).astype(np.float64)
    mean = np.where(used, values, 0.0).sum(axis=1, keepdims=True) / np.where(count > 0, count, np.nan)
    return used, count, np.asarray(mean)


class MeanKind(StrEnum):
    """What a student's mean was taken over."""

    OF_ALL = "of all, and all belong"
    WITHOUT_ODD = "of all but the odd one"
    WITHOUT_DOUBTFUL = "of all but one that a test of so few repeats cannot judge"
    ODD_KEPT = "of all, with the odd one"
    SOUND_LEFT_OUT = "of all but one that belongs"
    NEITHER = "of none of these"


def kind_of_mean(values: Values, step: float, low: float, high: float) -> MeanKind:
    """Return which mean of one set of repeats lies between *low* and *high*, what the written one stands for.

    Three repeats give either test next to no power: 1.82, 1.84 and 2.31 pass both. There the student may
    leave out what the rule of thumb calls odd, and may keep it. Where two means fit the figures written, the
    student gets the better reading.
    """
    sound = values[np.isfinite(values)]
    if not sound.size:
        return MeanKind.NEITHER
    odd = odd_repeats(sound[None, :], step)[0]
    fitting = [left_out for left_out in range(sound.size) if _fits(np.delete(sound, left_out), low, high)]
    if any(odd[left_out] for left_out in fitting):
        return MeanKind.WITHOUT_ODD
    if _fits(sound, low, high):
        return MeanKind.ODD_KEPT if odd.any() else MeanKind.OF_ALL
    if any(_is_far(sound, left_out, step) for left_out in fitting):
        return MeanKind.WITHOUT_DOUBTFUL
    return MeanKind.SOUND_LEFT_OUT if fitting else MeanKind.NEITHER


def _fits(kept: Values, low: float, high: float) -> bool:
    if not kept.size:
        return False
    noise = 1e-9 * float(np.abs(kept).max())
    return bool(low - noise <= kept.mean() <= high + noise)


def _is_far(values: Values, position: int, step: float) -> bool:
    others = np.delete(values, position)
    gap = float(np.abs(others - values[position]).min())
    return others.size > 1 and gap > THUMB_RANGES * float(np.ptp(others)) and gap > LEAST_STEPS * step
