"""Whether a bench stands out from the sound ones, and how often one of a sound class would.

The deleted test for outliers, one bench at a time against all others, taken backwards so that two benches
that are off do not hide each other (Rosner, Technometrics 25 (1983) 165); a bench's own scatter and the
scatter between benches are kept apart, as in an analysis of variance with random benches.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marking.cohort.contrasts import Contrast, Measured

FEWEST_BENCHES = 4
"""With fewer sound benches to compare with, nothing stands out."""
MOST_OFF = 0.25
"""Share of a class's benches that may be off before nobody can say which are sound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsOut:
    """A bench that is off beside the others."""

    contrast: Contrast
    bench: str
    factor: float
    """Natural logarithm of the instrument's factor."""
    error: float
    """Standard uncertainty of *factor*."""
    chance: float
    """How often any bench of a sound class would be as far off in one look."""
    measurements: int


def standing_out(contrast: Contrast, looks: int, limit: float) -> tuple[StandsOut, ...]:
    """Return the benches that are off, if *contrast*'s instrument is to blame for it.

    Args:
        contrast: The factors of the benches.
        looks: How many contrasts the class is looked at by; each look may raise a false alarm.
        limit: A bench is named if a sound class would show as much no more often than this.
    """
    benches = contrast.benches
    sound = list(benches)
    found: list[StandsOut] = []
    most = int(MOST_OFF * len(benches))
    while len(found) < most and len(sound) > FEWEST_BENCHES:
        worst = min((_judged(contrast, bench, sound, looks) for bench in sound), key=lambda one: one.chance)
        found.append(worst)
        sound.remove(worst.bench)
    last = max((place for place, one in enumerate(found, 1) if one.chance <= limit), default=0)
    named = [one.bench for one in found[:last]]
    rest = [bench for bench in benches if bench not in named]
    judged = [_judged(contrast, bench, [*rest, bench], looks) for bench in named]
    return tuple(one for one in judged if one.chance <= limit)


def _judged(contrast: Contrast, bench: str, among: Sequence[str], looks: int) -> StandsOut:
    """Return how far *bench* is off beside the others of *among*."""
    from scipy.special import stdtr

    others = [one for one in among if one != bench]
    measured = contrast.measured(frozenset(others))
    mine, rest = measured.of([bench]), measured.of(others)
    variance, degrees = _variance(mine, rest)
    factor = float(mine.factors[0])
    if not np.isfinite(factor) or not variance > 0:
        return StandsOut(contrast=contrast, bench=bench, factor=0.0, error=np.inf, chance=1.0, measurements=0)
    error = float(np.sqrt(variance))
    tail = 2 * float(stdtr(degrees, -abs(factor) / error))
    return StandsOut(
        contrast=contrast,
        bench=bench,
        factor=factor,
        error=error,
        chance=min(1.0, tail * len(among) * looks),
        measurements=int(mine.groups[0]),
    )


def _variance(mine: Measured, rest: Measured) -> tuple[float, float]:
    """Return the variance of a sound bench beside the others' middle, and its degrees of freedom."""
    present = np.isfinite(rest.factors)
    factors, sampling = rest.factors[present], rest.sampling[present]
    degrees = factors.size - rest.kinds
    companions = float(mine.companions[0])
    if degrees < 1 or companions < 1:
        return np.nan, 1.0
    between = float((factors**2).sum() / degrees)
    usual, own = float(sampling.mean()), float(mine.sampling[0])
    extra = own - usual
    variance = between + extra
    scatter_degrees = rest.sampling_degrees
    if between < usual and scatter_degrees:
        # Benches agree better than their groups do: one spread, known from both.
        pooled = (degrees * between + scatter_degrees * usual) / (degrees + scatter_degrees)
        return pooled * (own / usual + 1 / companions), float(degrees + scatter_degrees)
    effective = degrees
    if scatter_degrees and extra:
        effective = variance**2 / (between**2 / degrees + extra**2 / scatter_degrees)
    return variance + between / companions, float(effective)
