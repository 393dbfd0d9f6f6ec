"""How widely the cells of honest pages vary, and how much of one cell is settled by others.

This is worked out from the class itself. Two honest pages agree in a cell the more often, the less the cell varies
in units of its last digit, and more often still where a cell that is correlated with it agrees already.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.copies.row_noise import blocks, row_noise
from marking.cohort.copies.written_cells import Pages
from marking.distributions import median

Values = NDArray[np.float64]

FARTHEST = 3.0
"""Standard deviations at which a value counts as no farther; a slip of the pen must not widen the class."""
INDEPENDENT = 0.02
"""Share by which cells are taken to vary on their own: a class of thirty cannot show that they never do."""
NEAR = 0.1
"""Share of all pairs of pages that count as near: pages with the same kind of part and the same setting of the supply,
where a class has several, so that the correlation of cells can be taken as constant between them."""
FEWEST_NEAR = 30
ANY_DIGIT = 0.1
"""How often two digits agree that nothing ties together."""
LOWEST_POWER = -9
POWERS = 20
"""Powers of ten whose digits are looked at: from 1e-9 to 1e10, in the unit of the item."""
FEWEST_DIGITS = 8
"""With fewer nobody knows which digits an item has at a power of ten, and they say nothing."""
FEWEST_RATIOS = 5
LEAST_RATIO = 1e-6
"""Keeps the width of a constant ratio above nothing."""
FEWEST_PAIRS = 20
"""Pairs that agree in the row above, to tell from them how often the next row agrees too."""
SURELY = 1.0
"""Standard deviations below the share that was counted at which it is taken, of single readings; judged. Rows of a
table follow from each other, and there the share itself is taken."""
AS_UNTIED = 5.0
"""How many pairs the plain share of pairs that agree in a cell counts for, beside those that agree in another too."""


class Variety(Struct, frozen=True, kw_only=True):
    """The standard deviation of each cell over the class and between similar pages; how cells correlate."""

    sizes: Values
    """Shape (groups, cells): what a spread is a share of; the value itself, or 1 where values may be zero."""
    spread: Values
    """Shape (cells,): standard deviation in the class."""
    near_spread: Values
    """The same between pages that are near each other in all cells."""
    together: Values
    """Correlations of the differences between pages that are near each other, shape (cells, cells)."""
    leading: Values
    """How often two pages of different benches agree in a cell down to a power of ten; shape (cells, powers from
    LOWEST_POWER on). Where a supply was set in steps they do more often than a smooth spread has it."""
    ratios: Values
    """Standard deviation of the ratio of each two cells over the class, as a share; shape (cells, cells),
    infinite where a value is not above zero. A resistor keeps the ratio of p.d. to current, whatever
    either was set to."""
    rows: Values
    """Shape (groups, cells): standard deviation of a cell about the course of its column; infinite where unknown."""
    ties: Values
    """How often two pages of different benches agree in a cell."""
    ties_below: Values
    """How often they agree in a cell once they agree in the row above; 0 where too few do."""
    both_same: Values
    """Pairs that agree in each two cells, shape (cells, cells)."""
    same_in_one: Values
    """Pairs that agree in the first and have a value in the second, the same shape."""
    doubted: float
    """Standard deviations below the counted share at which it is taken."""
    digits: Values
    """How often the digits agree that two readings of an item have at a power of ten, whatever stands before them;
    shape (cells, powers from LOWEST_POWER on)."""

    def left(self, matched: Sequence[int], cell: int) -> float:
        """Return the standard deviation of a cell that is left once the *matched* cells agree."""
        if not len(matched):
            return float(self.spread[cell])
        among = self.together[np.ix_(matched, matched)]
        across = self.together[matched, cell]
        share = 1.0 - float(across @ np.linalg.solve(among, across))
        near = float(self.near_spread[cell]) * math.sqrt(max(share, INDEPENDENT))
        return min(near, float(self.spread[cell]), float(self.ratios[matched, cell].min()))

    def tied_by(self, agreed: NDArray[np.bool_], cell: int) -> Values:
        """Return how often pairs of the class agree in a cell once they agree in one that stands before it.

        Where a current is set in steps, the p.d. leaves but one of them. The pair itself is not counted.

        Args:
            agreed: Where each pair agrees, shape (pairs, cells).
            cell: One of the cells.

        Returns:
            The largest over the cells before it in which the pair agrees, shape (pairs,); 0 where there is none.
        """
        before = agreed[:, :cell].astype(np.float64)
        hits = self.both_same[:cell, cell] - before * agreed[:, cell, None]
        of = np.maximum(self.same_in_one[:cell, cell] - before, 0.0)
        shares = np.minimum((hits + AS_UNTIED * self.ties[cell]) / (of + AS_UNTIED), 1.0)
        doubt = self.doubted * np.sqrt(shares * (1.0 - shares) / (of + AS_UNTIED))
        return np.asarray((before * (shares - doubt)).max(axis=1, initial=0.0))


def variety_of(pages: Pages) -> Variety:
    """Return how widely the cells of *pages* vary."""
    values = pages.values
    positive = np.array([bool((column[np.isfinite(column)] > 0).all()) for column in values.T])
    with np.errstate(all="ignore"):
        scaled = np.where(positive, np.log(np.where(values > 0, values, np.nan)), values)
    spread = np.array([_width(column[np.isfinite(column)]) for column in scaled.T])
    first, second = pairs_apart(pages)
    near = _near(scaled, first, second, spread)
    near_spread = np.array([_size(column) for column in near.T]) / math.sqrt(2.0)
    same, both = agreeing(pages, first, second)
    ties, below = _ties(pages, same, both)
    return Variety(
        sizes=np.where(positive, np.abs(values), 1.0),
        spread=spread,
        near_spread=near_spread,
        together=_correlations(near),
        leading=_leading(pages, first, second),
        ratios=_ratios(scaled, positive),
        rows=_rows(pages, first, second),
        ties=ties,
        ties_below=below,
        doubted=0.0 if pages.has_rows else SURELY,
        both_same=_counted(same, same),
        same_in_one=_counted(same, both),
        digits=_digits(pages),
    )


def pairs_apart(pages: Pages) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return every pair of groups that worked at different benches, the earlier first."""
    benches = np.array([one.bench for one in pages.partners])
    first, second = np.triu_indices(len(benches), 1)
    # Partners share readings by right; without a bench nobody knows who was whose partner.
    apart = (benches[first] != benches[second]) & (benches[first] != "") & (benches[second] != "")
    return first[apart], second[apart]


def _rows(pages: Pages, first: NDArray[np.int64], second: NDArray[np.int64]) -> Values:
    found = np.full(pages.values.shape, np.inf)
    items = [item for item, _ in pages.cells]
    for item in dict.fromkeys(items):
        mine = [cell for cell, name in enumerate(items) if name == item]
        if len(mine) > 1:
            column = pages.values[:, mine]
            noise = row_noise(column, first, second)[:, None]
            known = np.isfinite(noise) & np.isfinite(column)
            found[:, mine] = np.where(known, np.where(known, noise, 0.0) * np.abs(column), np.inf)
    return found


def _ratios(scaled: Values, positive: NDArray[np.bool_]) -> Values:
    count = scaled.shape[1]
    found = np.full((count, count), np.inf)
    for cell in np.flatnonzero(positive):
        steps = scaled[:, cell : cell + 1] - scaled
        for other in np.flatnonzero(positive):
            known = steps[np.isfinite(steps[:, other]), other]
            if other != cell and known.size >= FEWEST_RATIOS:
                found[other, cell] = max(_width(known), LEAST_RATIO)
    return found


def _width(values: Values) -> float:
    robust = 1.4826 * median(np.abs(values - median(values)))
    plain = float(values.std(ddof=1))
    return min(robust, plain) if robust > 0 else plain


def _near(scaled: Values, first: NDArray[np.int64], second: NDArray[np.int64], spread: Values) -> Values:
    """Return the differences of the nearest pairs, shape (pairs, cells)."""
    distance = np.empty(first.size)
    for few in blocks(first.size):
        steps = scaled[first[few]] - scaled[second[few]]
        with np.errstate(all="ignore"):
            apart = np.minimum(np.abs(steps) / np.where(spread > 0, spread, np.inf), FARTHEST)
        known = np.isfinite(steps)
        far = np.where(known, apart, 0.0).sum(axis=1) / np.maximum(known.sum(axis=1), 1)
        distance[few] = np.where(known.mean(axis=1) >= 0.5, far, np.inf)
    count = max(FEWEST_NEAR, int(NEAR * first.size))
    nearest = np.argsort(distance, kind="stable")[:count]
    return np.asarray(scaled[first[nearest]] - scaled[second[nearest]])


def _size(steps: Values) -> float:
    """Return the root mean square of differences, those far out drawn in."""
    known = np.abs(steps[np.isfinite(steps)])
    if not known.size:
        return 0.0
    usual = 1.4826 * median(known)
    return float(np.sqrt((np.minimum(known, FARTHEST * usual) ** 2).mean())) if usual > 0 else float(known.mean())


def _correlations(steps: Values) -> Values:
    sizes = np.array([_size(column) for column in steps.T])
    limits = FARTHEST * np.where(sizes > 0, sizes, 1.0)
    drawn = np.clip(np.where(np.isfinite(steps), steps, 0.0), -limits, limits)
    lengths = np.sqrt((drawn**2).sum(axis=0))
    drawn = drawn / np.where(lengths > 0, lengths, 1.0)
    plain = drawn.T @ drawn
    return np.asarray((1 - INDEPENDENT) * plain + INDEPENDENT * np.eye(plain.shape[0]))


def _digits(pages: Pages) -> Values:
    """Return how often digits agree: readings that are set to round values have the same zeros throughout."""
    found = np.ones((len(pages.cells), POWERS))
    items = [item for item, _ in pages.cells]
    for item in dict.fromkeys(items):
        mine = [cell for cell, name in enumerate(items) if name == item]
        values, places = pages.values[:, mine].ravel(), pages.places[:, mine].ravel()
        for power in range(POWERS):
            shown = np.isfinite(values) & (places <= power + LOWEST_POWER)
            if shown.sum() >= FEWEST_DIGITS:
                at = np.abs(np.round(values[shown] / 10.0 ** places[shown])) * 10.0 ** (
                    places[shown] - float(power + LOWEST_POWER)
                )
                counts = np.bincount(np.floor(at + 1e-6).astype(np.int64) % 10, minlength=10)
                found[mine, power] = max(ANY_DIGIT, float(((counts / counts.sum()) ** 2).sum()))
    return found


def _leading(pages: Pages, first: NDArray[np.int64], second: NDArray[np.int64]) -> Values:
    found = np.zeros((len(pages.cells), POWERS))
    there = np.isfinite(pages.values)
    shared = np.zeros(len(pages.cells), np.int64)
    for few in blocks(first.size):
        shared += (there[first[few]] & there[second[few]]).sum(axis=0)
    for power in range(POWERS):
        # A little is added, so that 0.3 has three tenths.
        start = np.floor(np.abs(pages.values) / 10.0 ** (power + LOWEST_POWER) + 1e-6) * np.sign(pages.values)
        start = np.where(there, start, np.nan)  # NaN is like nothing, itself included
        same = np.zeros(len(pages.cells), np.int64)
        for few in blocks(first.size):
            same += (start[first[few]] == start[second[few]]).sum(axis=0)
        found[:, power] = (same + 1) / (shared + 2)
    return found


def _counted(one: NDArray[np.bool_], other: NDArray[np.bool_]) -> Values:
    """Return for how many pairs the one holds in a cell and the other in another; shape (cells, cells)."""
    found = np.zeros((one.shape[1], other.shape[1]))
    for few in blocks(one.shape[0]):  # whole numbers, whose sums are exact in any order
        found += one[few].T.astype(np.float64) @ other[few].astype(np.float64)
    return found


def _ties(pages: Pages, same: NDArray[np.bool_], both: NDArray[np.bool_]) -> tuple[Values, Values]:
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
    same, both = np.empty((2, first.size, len(pages.cells)), np.bool_)
    for few in blocks(first.size):
        one, other = whole_numbers(pages, first[few], second[few])
        both[few] = np.isfinite(one) & np.isfinite(other)
        same[few] = both[few] & (one == other)
    return same, both


def whole_numbers(pages: Pages, first: NDArray[np.int64], second: NDArray[np.int64]) -> tuple[Values, Values]:
    """Return both pages' values in units of the coarser last place of the two."""
    unit = 10.0 ** np.maximum(pages.places[first], pages.places[second]).astype(np.float64)
    one, other = pages.values[first], pages.values[second]
    one /= unit
    other /= unit
    return np.round(one, out=one), np.round(other, out=other)
