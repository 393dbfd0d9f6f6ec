"""How often two honest pages agree in as many digits as one pair does: the whole distribution, added up.

The bound in ``digit_luck`` is some five times too high where a few digits differ. Where cells are single readings,
each of them with its own noise, the distribution itself can be had: digits and cells are added up one by one, each
weight rounded to a grid, which only makes it another weight.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.copies.digit_luck import LONGEST, PLAIN, CellLuck, cell_lucks, seen_digits, weights
from marking.cohort.copies.variety import Variety
from marking.cohort.copies.written_cells import Pages

Values = NDArray[np.float64]

GRID = 0.1
"""Weights are rounded to this, natural logarithm."""


class _Sums(Struct, frozen=True, kw_only=True):
    """How often each sum of weights comes about by luck."""

    chances: Values
    lowest: int
    """The sum that the first of them stands for, in steps of the grid."""

    def then(self, weight: int, chance: float) -> _Sums:
        return _Sums(chances=self.chances * chance, lowest=self.lowest + weight)

    def either(self, other: _Sums) -> _Sums:
        low = min(self.lowest, other.lowest)
        high = max(self.lowest + self.chances.size, other.lowest + other.chances.size)
        both = np.zeros(high - low)
        for one in (self, other):
            both[one.lowest - low : one.lowest - low + one.chances.size] += one.chances
        return _Sums(chances=both, lowest=low)

    def beside(self, other: _Sums) -> _Sums:
        return _Sums(chances=np.convolve(self.chances, other.chances), lowest=self.lowest + other.lowest)


NOTHING = _Sums(chances=np.ones(1), lowest=0)


def exact_luck(pages: Pages, variety: Variety, one: int, other: int, left: Values) -> float:
    """Return how often two honest pages would agree as much as pages *one* and *other* do.

    Args:
        pages: The class.
        variety: How widely its cells vary.
        one: A page.
        other: Another page.
        left: Spread of each cell as a share of its size, shape (cells,).
    """
    sums, seen = NOTHING, 0
    for kept, cell in cell_lucks(pages, variety, np.array([one]), np.array([other]), left):
        if kept[0]:
            sums, seen = sums.beside(_sums_of(cell)), seen + _seen(cell)
    return float(sums.chances[max(seen - sums.lowest, 0) :].sum())


def _sums_of(cell: CellLuck) -> _Sums:
    """Return how often each weight of one cell comes about, from the last digit to the first."""
    so_far = differing = NOTHING
    for place in range(LONGEST):
        further, free = float(cell.further[0, place]), float(cell.free[0, place])
        agreed, not_agreed = _steps(further)
        so_far = so_far.then(agreed, further)
        if further < 1.0:
            so_far = so_far.either(differing.then(not_agreed, 1.0 - further))
        agreed, not_agreed = _steps(free)
        if agreed or not_agreed:
            differing = differing.then(agreed, free).either(differing.then(not_agreed, 1.0 - free))
    return so_far


def _seen(cell: CellLuck) -> int:
    """Return the weight of one cell as it stands."""
    by_luck, agree = seen_digits(cell)
    return sum(
        _steps(luck)[0 if same else 1] for luck, same in zip(by_luck[0].tolist(), agree[0].tolist(), strict=True)
    )


def _steps(luck: float) -> tuple[int, int]:
    """Return the weights of a digit that agrees and of one that does not, in steps of the grid."""
    if luck >= PLAIN:
        return 0, 0
    agreed, not_agreed = weights(np.array(luck))
    return round(float(agreed) / GRID), round(float(not_agreed) / GRID)
