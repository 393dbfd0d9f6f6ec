"""How often a sound bench lies as far from the others as one does, when nobody knows how widely sound benches spread.

Two spreads are unknown: that between benches, and that between the groups of one bench. Each possible pair of them is
weighed by how likely it makes what the other benches show, and by what is usual in schools; the chance of a bench as
far off is averaged over all pairs with those weights. A class that spreads more widely than usual, because what it
measures is hard to measure, or less, is then judged by itself, and one of few benches by what is usual.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.benches.stray_values import OFF, any_size

Values = NDArray[np.float64]

STEPS = np.exp(np.linspace(math.log(0.5), math.log(16.0), 31))
"""Spreads between benches that are weighed, in units of the usual one. A dozen benches may look more alike than half of
it by luck, but the next one is no reason to be told for a difference that nobody would mind."""
DOUBT, DOUBT_OF_PARTS = 0.35, 1.0
"""How far the spread of a class may be from the usual one: standard deviation of its logarithm. About a factor of 1.4
either way where the material fixes what is measured, of 3 where it is a part of each bench's own, such as a spring or
a cell; judged on the practicals of the catalogue."""
TAILS = 2.0
"""Degrees of freedom of that doubt: now and then it is another thing altogether."""
SMALLEST = 0.002
"""No school bench repeats another more closely than this, as a share."""
SCATTERS = np.exp(np.linspace(math.log(0.3), math.log(3.0), 13))
"""Spreads between the groups of a bench that are weighed, in units of the one that the class shows."""


class Others(Struct, frozen=True, kw_only=True, eq=False):
    """What the other benches show; arrays of shape (benches,)."""

    away: Values
    """Distance of each from the middle of its kind, natural logarithm."""
    shares: Values
    """Variance of each that comes from its few groups, in units of ``scatter``."""
    kinds: int
    """Middles that were fitted."""
    usual: float
    """What sound benches usually spread by, as a variance."""
    scatter: float
    """Variance between the groups of one bench, as the class shows it; 0 where no bench has two."""
    scatter_degrees: int
    companions: float
    """Benches that the middle of the doubtful bench's kind is taken from."""
    doubt: float = DOUBT
    """How far the spread may be from the usual one."""
    is_lossy: bool = False
    """Benches differ by a loss, which lies between none and what the lagging lets through: it has no long tails."""


def chance_of(away: float, share: float, others: Others) -> tuple[float, float]:
    """Return how often a sound bench lies as far off or farther, either way, and the standard uncertainty of *away*.

    Args:
        away: Distance of the bench from the middle of its kind.
        share: As those of the others.
        others: What the others show.
    """
    between = np.maximum(STEPS[:, None] ** 2 * others.usual, SMALLEST**2)
    has_scatter = others.scatter_degrees > 0 and others.scatter > 0
    scatter = (SCATTERS[None, :] ** 2 if has_scatter else np.zeros((1, 1))) * others.scatter
    own = between + scatter * share
    middle = (between + scatter * float(others.shares.mean())) / others.companions
    weight = _weights(between, scatter, others)
    deviation = np.sqrt(own + middle)
    if others.is_lossy:
        noise = np.sqrt(scatter * share + middle)
        tails = _beyond_even(abs(away), np.sqrt(3.0 * between), noise)
    else:
        tails = 2.0 * _normal_beyond(abs(away) / deviation)
    return float((weight * tails).sum()), float(np.sqrt((weight * deviation**2).sum()))


def _normal_beyond(z: Values) -> Values:
    each = map(math.erfc, (z / math.sqrt(2.0)).ravel().tolist())
    return np.fromiter(each, np.float64, z.size).reshape(z.shape) / 2.0


def _beyond_even(away: float, half: Values, noise: Values) -> Values:
    """Return how often a value spread evenly over *half* either way, with normal noise, is *away* or farther."""

    def summed(z: Values) -> Values:  # the integral of the normal distribution up to z
        return np.asarray(z * _normal_beyond(-z) + np.exp(-(z**2) / 2.0) / math.sqrt(2.0 * math.pi))

    return np.asarray(noise / half * (summed((half - away) / noise) - summed((-half - away) / noise)))


def _weights(between: Values, scatter: Values, others: Others) -> Values:
    """Return the weight of each pair of spreads, adding up to 1; shape (spreads, scatters)."""
    doubt = np.log(STEPS[:, None]) / others.doubt
    total = -(TAILS + 1) / 2 * np.log1p(doubt**2 / TAILS)
    variance = between[:, :, None] + scatter[:, :, None] * others.shares
    sound = np.exp(-(others.away**2) / variance / 2.0) / np.sqrt(2.0 * math.pi * variance)
    likely = np.log((1.0 - OFF) * sound + OFF * any_size(others.away)).sum(axis=2)
    # Fitted middles take as many benches' worth of freedom.
    total = total + likely + 0.5 * others.kinds * np.log(variance.mean(axis=2))
    if scatter.any():
        ratio = others.scatter / scatter
        total = total + others.scatter_degrees / 2 * (np.log(ratio) - ratio)
    weight = np.exp(total - total.max())
    return np.asarray(weight / weight.sum())
