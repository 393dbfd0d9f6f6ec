"""Whether a bench stands out from the sound ones, and how often one of a sound class would.

Each bench in turn is left out and held against the mean of all others (a test of the deleted residual). The bench
that differs most is set aside first and the rest tested again, so that two benches that are off do not hide each
other (Rosner, Technometrics 25 (1983) 165). The scatter between the groups of one bench and the scatter between
benches are estimated apart, as in an analysis of variance with random benches; since a dozen benches tell the
latter only roughly, it is averaged with the value that is usual in schools.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.benches.contrasts import ORDINARY_BENCHES, Contrast, Measured
from marking.distributions import t_below

FEWEST_BENCHES = 3
"""With fewer sound benches to compare with, nothing stands out."""
MOST_OFF = 0.25
"""Share of a class's benches that may be off before nobody can say which are sound."""


class StandsOut(Struct, frozen=True, kw_only=True):
    """A bench that is off beside the others."""

    contrast: Contrast
    bench: str
    factor: float
    """How far off it is, natural logarithm."""
    error: float
    """Standard uncertainty of *factor*."""
    chance: float
    """How often any bench of a sound class would be as far off in one look."""
    measurements: int
    """Groups times quantities."""
    same_side: float
    """Share of the bench's groups that are off to the same side as the bench."""


def standing_out(contrast: Contrast, looks: float, limit: float) -> tuple[StandsOut, ...]:
    """Return the benches that are off, supposing that the instrument of *contrast* is to blame.

    Args:
        contrast: The factors of the benches.
        looks: How many different contrasts of this class are tested; the chance of a false alarm is shared among them.
        limit: A bench is named if a sound class would show as much no more often than this.
    """
    sound = list(contrast.benches)
    found: list[StandsOut] = []
    most = max(1, int(MOST_OFF * len(sound)))
    while len(found) < most and len(sound) > FEWEST_BENCHES:
        worst = min((_judged(contrast, bench, sound, looks) for bench in sound), key=lambda one: one.chance)
        if worst.chance >= 1.0:
            break
        found.append(worst)
        sound.remove(worst.bench)
    last = max((place for place, one in enumerate(found, 1) if one.chance <= limit), default=0)
    named = [one.bench for one in found[:last]]
    rest = [bench for bench in contrast.benches if bench not in named]
    judged = [_judged(contrast, bench, [*rest, bench], looks) for bench in named]
    return tuple(one for one in judged if one.chance <= limit)


def _judged(contrast: Contrast, bench: str, among: Sequence[str], looks: float) -> StandsOut:
    """Return how far *bench* differs from the mean of the others in *among*, with the chance of as much by luck."""
    others = frozenset(one for one in among if one != bench)
    measured = contrast.measured(others)
    place = contrast.benches.index(bench)
    variance, degrees = _variance(measured, place, np.array([one in others for one in contrast.benches]))
    factor = float(measured.factors[place])
    known = bool(np.isfinite(factor)) and variance > 0
    error = float(np.sqrt(variance)) if known else np.inf
    tail = 2 * t_below(degrees, -abs(factor) / error) if known else 1.0
    return StandsOut(
        contrast=contrast,
        bench=bench,
        factor=factor if known else 0.0,
        error=error,
        chance=min(1.0, tail * len(among) * looks),
        measurements=int(measured.measurements[place]),
        same_side=float(measured.above[place] if factor > 0 else 1 - measured.above[place]) if known else 0.0,
    )


def _variance(measured: Measured, place: int, is_rest: NDArray[np.bool_]) -> tuple[float, float]:
    """Return the variance of a sound bench's difference from the mean of the others, and its degrees of freedom."""
    rest = is_rest & np.isfinite(measured.factors)
    degrees = int(rest.sum()) - measured.kinds
    companions = float(measured.companions[place])
    if degrees < 1 or companions < 1:
        return np.nan, 1.0
    usual, own = float(measured.sampling[rest].mean()), float(measured.sampling[place])
    scatter_degrees = measured.sampling_degrees
    expected = measured.ordinary + usual
    between = (ORDINARY_BENCHES * expected + float((measured.factors[rest] ** 2).sum())) / (ORDINARY_BENCHES + degrees)
    between_degrees = ORDINARY_BENCHES + degrees
    extra = own - usual
    variance = max(between + extra, own)
    effective = between_degrees
    if scatter_degrees and extra:
        effective = variance**2 / (between**2 / between_degrees + extra**2 / scatter_degrees)
    return variance + between / companions, float(effective)
