"""What a named marker's marks would be in the hands of the others: a constant, or a structural line.

Ordinary regression draws both ends to the middle, because it takes one marker's marks for exact. A structural line
takes both for marks of the same kind: its slope is the ratio of the two spreads (reduced major axis; Kermack and
Haldane, Biometrika 37 (1950) 30, from memory). Rank order is kept, marks stay between nought and the maximum, and all
are rounded alike, halves up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from marking.decided import adjusted_mark
from marking.moderation.joint.pairs import PairTable
from marking.moderation.joint.two_stages import Named

FEWEST_PAIRS = 10
"""Nobody's marks are adjusted on fewer; common practice, no source."""
GROWS = 2.5
"""Standard errors of growth from which a line is proposed in place of a constant."""


class Adjustment(Struct, frozen=True, kw_only=True):
    """New mark = slope × mark + constant, on the marks that people give; slope 1 for a constant."""

    marker: str
    slope: float
    constant: float
    out_of: int
    pairs: int
    """How many pairs it rests on."""

    @property
    def is_line(self) -> bool:
        """Tell whether the shift changes with the mark."""
        return self.slope != 1.0

    def apply(self, mark: int) -> int:
        """Return the adjusted mark."""
        return adjusted_mark(mark, slope=self.slope, constant=self.constant, out_of=self.out_of)


def structural_line(marks: Sequence[float], others: Sequence[float]) -> tuple[float, float] | None:
    """Return slope and constant of the line that turns *marks* into *others*; None where either is one value."""
    x, y = np.array(marks, dtype=np.float64), np.array(others, dtype=np.float64)
    if x.size < 2 or not x.std() > 0 or not y.std() > 0:
        return None
    slope = float(y.std() / x.std())
    return slope, float(y.mean() - slope * x.mean())


def adjustment_for(named: Named, table: PairTable) -> Adjustment | None:
    """Return what would bring a named marker to the others; None on too few pairs, or where nothing would move."""
    place = table.markers.index(named.marker)
    as_first, as_second = table.first_by == place, table.second_by == place
    own = np.concatenate([table.first[as_first].sum(axis=1), table.second[as_second].sum(axis=1)])
    others = np.concatenate([table.second[as_first].sum(axis=1), table.first[as_second].sum(axis=1)])
    if own.size < FEWEST_PAIRS:
        return None
    slope, constant = 1.0, -float(_whole_marks(named) * np.sign(named.total.estimate))
    if named.growth is not None and abs(named.growth.score) >= GROWS:
        slope, constant = structural_line(own.tolist(), others.tolist()) or (slope, constant)
    if slope == 1.0 and constant == 0.0:
        return None
    whole = sum(table.out_of)
    return Adjustment(marker=named.marker, slope=slope, constant=constant, out_of=whole, pairs=int(own.size))


def _whole_marks(named: Named) -> int:
    """Return the shift in whole marks, half a standard error short: chance has its part in who is named."""
    sure = abs(named.total.estimate) - named.total.error / 2
    return max(1 if abs(named.total.estimate) >= 0.5 else 0, math.floor(sure + 0.5))


def is_one_criterion(named: Named) -> bool:
    """Tell whether a single criterion makes the difference: without it the rest is no farther off than chance does."""
    best = max(named.criteria, key=lambda one: abs(one.score))
    rest = named.total.estimate - best.estimate
    others = [one for one in named.criteria if one is not best]
    apart = math.sqrt(sum(one.error**2 for one in others))
    leads = abs(best.estimate) >= 2 * max((abs(one.estimate) for one in others), default=0.0)
    return leads and abs(rest) <= max(2 * apart, abs(best.estimate) / 2)
