"""A part of one bench that differs from the others', where no instrument that reads off accounts for what was found.

A resistor that is not what its label says moves what rests on it and leaves the rest alone; an instrument that is off
by a steady factor moves everything that is read with it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.benches.bench_quantities import Quantities
from marking.cohort.benches.unknown_spread import Others, chance_of
from marking.distributions import median

Values = NDArray[np.float64]

FEWEST_GROUPS = 2
"""One figure of one group may be that group's slip."""
FEWEST_BENCHES = 3
LEAST_ALIKE = 0.9
"""Share of the other benches that have parts of one kind. Where several kinds are about, one more is no fault."""
LEAST = 0.07
"""Parts are sold to 5 % (gold band, IEC 60062), so that a sound one may be nearly as far off."""
CHANCE = 0.01
"""At most this share of sound classes has a part named; benches that are off have the rest of 1 in 20."""
WELL_EXPLAINED = 4.0
"""Spreads by which a part may miss what an instrument that reads off makes of it."""


class OddPart(Struct, frozen=True, kw_only=True):
    """A quantity in which one bench differs."""

    part: Quantities
    item: str
    factor: float
    """How far from the other benches, natural logarithm."""
    spread: float
    """What sound benches differ by, as a standard deviation."""
    chance: float
    """How often any bench of a sound class would differ as far in any quantity."""

    def follows(self, instrument: str, factor: float) -> bool:
        """Tell whether *instrument*, off by *factor* (natural logarithm), accounts for it."""
        powers = self.part.exponents.get(instrument)
        expected = 0.0 if powers is None else factor * float(powers[self.part.names.index(self.item)])
        return abs(self.factor - expected) <= WELL_EXPLAINED * self.spread


def odd_parts(parts: Sequence[Quantities], bench: str) -> tuple[OddPart, ...]:
    """Return the quantities in which *bench* differs more than parts and luck account for, the farthest first."""
    found = [one for part in parts if bench in part.benches for one in _of_practical(part, bench)]
    return tuple(sorted(found, key=lambda one: -abs(one.factor)))


def _of_practical(part: Quantities, bench: str) -> Iterator[OddPart]:
    place, result = part.benches.index(bench), part.rubric.result
    # Another material is no fault where the practical is to find out which it is.
    sought = result.answer if result is not None and len(result.accepted) > 1 else ""
    for number, item in enumerate(part.names):
        if item == sought:
            continue
        kinds = np.delete(part.kinds[:, number], place)
        if not (kinds >= 0).any():
            continue
        others = np.delete(part.means[:, number], place)[kinds == np.bincount(kinds[kinds >= 0]).argmax()]
        mine = part.logs[part.bench_of == place, number]
        mine = mine[np.isfinite(mine)]
        if mine.size < FEWEST_GROUPS or others.size < max(FEWEST_BENCHES, LEAST_ALIKE * (kinds >= 0).sum()):
            continue
        middle = median(others)
        away = mine - middle
        factor = float(away.mean())
        if abs(factor) < LEAST or abs(np.sign(away).sum()) < away.size:
            continue
        one, spread = chance_of(factor, 1.0 / mine.size, _others(part, place, number, others - middle))
        chance = one * len(part.benches) * len(part.names)
        if chance <= CHANCE:
            yield OddPart(part=part, item=item, factor=factor, spread=spread, chance=chance)


def _others(part: Quantities, place: int, number: int, away: Values) -> Others:
    """Return what the benches beside the one at *place* show of one quantity; *away* is each from their middle."""
    groups = part.logs[:, number] - part.means[part.bench_of, number]
    known = np.isfinite(groups) & (part.bench_of != place)
    sizes = np.bincount(part.bench_of[known], minlength=len(part.benches))
    degrees = int(np.maximum(sizes - 1, 0).sum())
    return Others(
        away=np.clip(away, -LEAST, LEAST),  # another bench with an odd part must not hide this one
        shares=np.full(away.size, float((1 / sizes[sizes > 0]).mean())),
        kinds=1,
        usual=float(part.ordinary[number]) ** 2,
        scatter=float((groups[known] ** 2).sum()) / degrees if degrees else 0.0,
        scatter_degrees=degrees,
        companions=float(away.size),
    )
