"""How often two honest pages agree in as many digits as two pages do, at most: a bound, for many pairs at once.

For each digit it is known how often two honest pages agree in it. From this comes the likelihood ratio of copying to
honest work, and an upper bound for the chance that honest pages reach such a ratio (Chernoff's inequality, Annals of
Mathematical Statistics 23 (1952) 493).
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.copies.variety import LOWEST_POWER, POWERS, Variety, whole_numbers
from marking.cohort.copies.written_cells import Pages

Values = NDArray[np.float64]
Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]

CHANGED = 0.2
"""Share of the digits that somebody who copies may change; agreement is weighed for this, and found for less too."""
TILTS = np.array([0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.5, 2.0, 3.0, 5.0, 8.0, 12.0])
"""Where the bound is tried; the least of them holds."""
PLAIN = 0.95
"""A digit that honest pages agree in more often than this says nothing."""
FEW_DIGITS = 0.4
"""From this agreement on a last digit is one of two or so, as on a rule; below it, any digit comes."""
LONGEST = 7
"""Digits of a cell that are compared, counted from the last."""
WIDTHS: Values = 10.0 ** np.arange(LONGEST, dtype=np.float64)
PAIRS_AT_ONCE = 1024
"""Pairs that are worked out at a time."""


class CellLuck(Struct, frozen=True, kw_only=True):
    """One cell of many pairs: both numbers, and how often honest ones agree digit by digit, counted from the last."""

    one: Values
    """In units of the coarser last place of the two, shape (pairs,)."""
    other: Values
    further: Values
    """How often the digit agrees once all before it do, shape (pairs, digits), the last first."""
    free: Values
    """The same once a digit before it differs."""


def luck_at_most(pages: Pages, variety: Variety, first: Numbers, second: Numbers, left: Values) -> Values:
    """Return how often two honest pages would agree as much as each pair does, at most; shape (pairs,).

    Args:
        pages: The class.
        variety: How widely its cells vary.
        first: One page of each pair.
        second: The other.
        left: Spread of each cell as a share of its size, shape (cells,).
    """
    found = np.ones(first.size)
    for start in range(0, first.size, PAIRS_AT_ONCE):
        few = slice(start, start + PAIRS_AT_ONCE)
        bound = np.zeros((first[few].size, TILTS.size))
        for kept, cell in cell_lucks(pages, variety, first[few], second[few], left):
            bound += np.where(kept[:, None], _cell_bound(cell), 0.0)
        found[few] = np.exp(np.minimum(bound.min(axis=1), 0.0))
    return found


def cell_lucks(
    pages: Pages, variety: Variety, first: Numbers, second: Numbers, left: Values
) -> Iterator[tuple[Flags, CellLuck]]:
    """Yield each cell with the pairs for which it says something, shape (pairs,); arguments as for ``luck_at_most``."""
    one, other = whole_numbers(pages, first, second)
    last = np.maximum(pages.places[first], pages.places[second])
    both = np.isfinite(one) & np.isfinite(other)
    same = both & (one == other)
    sizes = np.minimum(variety.sizes[first], variety.sizes[second])
    spread = sizes * left / 10.0 ** last.astype(np.float64)
    for cell, above in enumerate(pages.follows):
        kept = both[:, cell]
        tied = np.full(first.size, variety.ties[cell])
        if above >= 0:
            # A column that is kept the same says once what it says.
            steady = pages.values[:, cell] == pages.values[:, above]
            kept = kept & ~(steady[first] & steady[second])
            tied = np.where(same[:, above], np.maximum(tied, variety.ties_below[cell]), tied)
        tied = np.maximum(tied, variety.tied_by(same, cell))
        powers = np.clip(last[:, cell, None] + np.arange(LONGEST) - LOWEST_POWER, 0, POWERS - 1)
        upto = np.maximum(
            _agreement(WIDTHS, spread[:, cell, None]), np.maximum(tied[:, None], variety.leading[cell][powers])
        )
        free = variety.digits[cell][powers]
        further = np.minimum(upto / np.column_stack([upto[:, 1:], np.ones(first.size)]), 1.0)
        if above >= 0:
            # A rule that is read to half its divisions has 0 or 5 there; of a cell that the rows before it settle, how
            # often the class agrees in it does not show that.
            further[:, 0] = np.maximum(further[:, 0], np.where(free[:, 0] >= FEW_DIGITS, free[:, 0], 0.0))
        yield kept, CellLuck(one=one[:, cell], other=other[:, cell], further=further, free=free)


def weights(luck: Values) -> tuple[Values, Values]:
    """Return the logarithm of the likelihood ratio of a digit that agrees, and of one that does not."""
    return np.log((1 - CHANGED) / luck), np.minimum(np.log(CHANGED / (1 - luck)), 0.0)


def seen_digits(cell: CellLuck) -> tuple[Values, Flags]:
    """Return how often luck makes each digit agree, as those before it stand, and whether it does; (pairs, digits)."""
    start_one, start_other = np.trunc(cell.one[:, None] / WIDTHS), np.trunc(cell.other[:, None] / WIDTHS)
    whole = start_one == start_other
    # Once two numbers agree down to a digit, they do in all before it.
    so_far = np.column_stack([whole[:, 1:], np.ones(cell.one.size, np.bool_)])
    agree = np.where(so_far, whole, np.abs(start_one) % 10 == np.abs(start_other) % 10)
    return np.where(so_far, cell.further, cell.free), agree


def _cell_bound(cell: CellLuck) -> Values:
    """Return what one cell adds to the logarithm of the bound, digit by digit, shape (pairs, tilts)."""
    by_luck, agree = seen_digits(cell)
    tells = by_luck < PLAIN
    luck = np.where(tells, by_luck, 0.5)[..., None]
    for_copy, against = weights(luck)
    usual = np.log(luck * np.exp(TILTS * for_copy) + (1 - luck) * np.exp(TILTS * against))
    seen = TILTS * np.where(agree[..., None], for_copy, against)
    return np.asarray(np.where(tells[..., None], usual - seen, 0.0).sum(axis=1))


_erf = np.frompyfunc(math.erf, 1, 1)


def _agreement(width: Values, spread: Values) -> Values:
    """Return how often two values of that *spread* fall into one interval of *width*."""
    with np.errstate(all="ignore"):
        ratio = width / (math.sqrt(2.0) * spread)
        normal = np.asarray(_erf(ratio / math.sqrt(2.0)), np.float64)
        inside = normal - math.sqrt(2 / math.pi) / ratio * (1 - np.exp(-(ratio**2) / 2))
    return np.where(np.isfinite(inside), inside, 1.0)
