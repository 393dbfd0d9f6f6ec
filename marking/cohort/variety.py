"""How widely the cells of honest pages vary, and how much of one cell is settled by others.

A class's own pages tell: two pages of honest work agree in a cell as often as the cell is narrow beside its
last digit, and more often where another cell that goes with it agrees already.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marking.cohort.pages import Pages

Values = NDArray[np.float64]

FARTHEST = 3.0
"""Standard deviations at which a value counts as no farther; a slip of the pen must not widen the class."""
INDEPENDENT = 0.02
"""Share by which cells are taken to vary on their own: a class of thirty cannot show that they never do."""
NARROWED = .7
"""Values lie in lumps, by the kind of part or the setting of a supply; within a lump they are nearer than the
class's spread says, by about this factor."""
ANY_DIGIT = 0.1
"""How often two digits agree that nothing ties together."""
LOWEST_POWER = -9
POWERS = 20
"""Powers of ten whose digits are looked at: from 1e-9 to 1e10, in the unit of the item."""
FEWEST_PAIRS = 20
"""Pairs that agree in the row above, to tell from them how often the next row agrees too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Variety:
    """The spread of each cell, and how the cells go together."""

    spread: Values
    """Shape (groups, cells): standard deviation at each value, in the unit of the item."""
    together: Values
    """Correlations, shape (cells, cells)."""
    ties: Values
    """How often two pages of different benches agree in a cell."""
    ties_below: Values
    """How often they agree in a cell once they agree in the row above; 0 where too few do."""
    digits: Values
    """How often the digits agree that two readings of an item have at a power of ten, whatever stands before them;
    shape (cells, powers from LOWEST_POWER on)."""

    def settled(self, matched: Sequence[int], cell: int) -> float:
        """Return the share of a cell's standard deviation that is left once the *matched* cells agree."""
        if not len(matched):
            return 1.0
        among = self.together[np.ix_(matched, matched)]
        across = self.together[matched, cell]
        left = 1.0 - float(across @ np.linalg.solve(among, across))
        return math.sqrt(max(left, INDEPENDENT))


def variety_of(pages: Pages) -> Variety:
    """Return how widely the cells of *pages* vary."""
    values = pages.values
    with np.errstate(all="ignore"):
        positive = np.array([bool(np.nanmin(column, initial=np.inf) > 0) for column in values.T])
        scaled = np.where(positive, np.log(np.where(positive, values, 1.0)), values)
    standard = np.empty_like(scaled)
    widths = np.empty(scaled.shape[1])
    for cell, column in enumerate(scaled.T):
        middle, widths[cell] = _middle_and_width(column[np.isfinite(column)])
        standard[:, cell] = (column - middle) / widths[cell] if widths[cell] > 0 else 0.0
    standard = np.clip(np.where(np.isfinite(standard), standard, 0.0), -FARTHEST, FARTHEST)
    spread = NARROWED * np.where(positive, np.abs(values), 1.0) * widths
    ties, below = _ties(pages)
    return Variety(
        spread=spread, together=_correlations(standard), ties=ties, ties_below=below, digits=_digits(pages)
    )


def _middle_and_width(values: Values) -> tuple[float, float]:
    middle = float(np.median(values))
    robust = 1.4826 * float(np.median(np.abs(values - middle)))
    plain = float(values.std(ddof=1))
    return middle, min(robust, plain) if robust > 0 else plain


def _correlations(standard: Values) -> Values:
    centred = standard - standard.mean(axis=0)
    sizes = np.sqrt((centred**2).sum(axis=0))
    sizes = np.where(sizes > 0, sizes, 1.0)
    plain = (centred / sizes).T @ (centred / sizes)
    return np.asarray((1 - INDEPENDENT) * plain + INDEPENDENT * np.eye(plain.shape[0]))


def _digits(pages: Pages) -> Values:
    """Return how often digits agree: readings that are set to round values have the same zeros throughout."""
    found = np.full((len(pages.cells), POWERS), ANY_DIGIT)
    items = [item for item, _ in pages.cells]
    for item in dict.fromkeys(items):
        mine = [cell for cell, name in enumerate(items) if name == item]
        values, places = pages.values[:, mine].ravel(), pages.places[:, mine].ravel()
        for power in range(POWERS):
            shown = np.isfinite(values) & (places <= power + LOWEST_POWER)
            if shown.sum() >= FEWEST_PAIRS:
                at = np.abs(np.round(values[shown] / 10.0 ** places[shown])) * 10.0 ** (places[shown] - float(power + LOWEST_POWER))
                counts = np.bincount(np.floor(at + 1e-6).astype(np.int64) % 10, minlength=10)
                found[mine, power] = max(ANY_DIGIT, float(((counts / counts.sum()) ** 2).sum()))
    return found


def _ties(pages: Pages) -> tuple[Values, Values]:
    benches = np.array([one.bench for one in pages.partners])
    first, second = np.triu_indices(len(benches), 1)
    apart = benches[first] != benches[second]
    first, second = first[apart], second[apart]
    same, both = agreeing(pages, first, second)
    ties = (same.sum(axis=0) + 1) / (both.sum(axis=0) + 2)
    below = np.zeros(ties.shape)
    for cell, above in enumerate(pages.follows):
        if above >= 0:
            chosen = same[:, above] & both[:, cell]
            if chosen.sum() >= FEWEST_PAIRS:
                below[cell] = same[chosen, cell].mean()
    return ties, below


def agreeing(
    pages: Pages, first: NDArray[np.int64], second: NDArray[np.int64]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return where two pages agree in every digit that both wrote, and where both wrote anything."""
    one, other = whole_numbers(pages, first, second)
    both = np.isfinite(one) & np.isfinite(other)
    return both & (one == other), both


def whole_numbers(pages: Pages, first: NDArray[np.int64], second: NDArray[np.int64]) -> tuple[Values, Values]:
    """Return both pages' values in units of the coarser last place of the two."""
    unit = 10.0 ** np.maximum(pages.places[first], pages.places[second]).astype(np.float64)
    return np.round(pages.values[first] / unit), np.round(pages.values[second] / unit)
