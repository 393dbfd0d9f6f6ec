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

from marking.cohort.benches.contrasts import Contrast, Measured
from marking.cohort.benches.unknown_spread import DOUBT, DOUBT_OF_PARTS, Others, chance_of

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
    borne_out: float
    """What is left of *factor* without the group that is farthest to its side, as a share of it."""


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
    measured = contrast.measured(frozenset(one for one in among if one != bench))
    place = contrast.benches.index(bench)
    others = _others(measured, place, np.array([one != bench for one in contrast.benches]))
    factor = float(measured.factors[place])
    chance, error = 1.0, np.inf
    if others is not None and np.isfinite(factor):
        chance, error = chance_of(factor, float(measured.shares[place]), others)
    else:
        factor = 0.0
    return StandsOut(
        contrast=contrast,
        bench=bench,
        factor=factor,
        error=error,
        chance=min(1.0, chance * len(among) * looks),
        measurements=int(measured.measurements[place]),
        borne_out=float(measured.without_farthest[place]) / factor if factor else 0.0,
    )


def _others(measured: Measured, place: int, is_rest: NDArray[np.bool_]) -> Others | None:
    """Return what the sound benches show, beside which the one at *place* is held; None where there are too few."""
    rest = is_rest & np.isfinite(measured.factors)
    companions = float(measured.companions[place])
    if int(rest.sum()) - measured.kinds < 1 or companions < 1:
        return None
    return Others(
        away=measured.factors[rest],
        shares=measured.shares[rest],
        kinds=measured.kinds,
        usual=measured.beforehand.ordinary,
        scatter=measured.scatter,
        scatter_degrees=measured.scatter_degrees,
        companions=companions,
        doubt=DOUBT if measured.beforehand.is_known else DOUBT_OF_PARTS,
        is_lossy=measured.beforehand.is_lossy,
    )
