"""Pages that are so alike that one may have been copied from the other, with some digits changed.

Two pages of different benches are compared digit by digit. For each digit it is known how often two honest pages
agree in it; from this comes the likelihood ratio of copying to honest work, and an upper bound for the chance that
honest pages reach such a ratio (Chernoff's inequality, Annals of Mathematical Statistics 23 (1952) 493).

Up to so many groups are all compared with each other. Of more, those near each other in the list still are, and of the
others all that share enough whole cells, wherever in the set they stand. What is not seen there: pages of two far
classes that agree in fewer cells than that, and of hundreds of such pairs those that share least.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter, defaultdict
from collections.abc import Sequence, Set

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.cohort.leads.variety import LOWEST_POWER, POWERS, Variety, agreeing, pairs_apart, variety_of, whole_numbers
from marking.cohort.leads.written_cells import Pages

Values = NDArray[np.float64]
Numbers = NDArray[np.int64]

CHANGED = 0.2
"""Share of the digits that somebody who copies may change; agreement is weighed for this, and found for less too."""
TILTS = np.array([0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.5, 2.0, 3.0, 5.0, 8.0, 12.0])
"""Where the bound is tried; the least of them holds."""
WORTH_A_LOOK = 3.0
"""Agreement in whole cells, natural logarithm of how seldom by luck, from which on digits are compared one by one."""
CLOSE = 0.15
"""Values nearer than this share of the class's spread are close: they may well come from the same kind of part."""
CLOSE_UNITS = 2.0
"""So are values that differ by no more than this in the last digit."""
COURSE = 2
"""Rows that settle the course of a column; from then on only noise is left."""
PLAIN = 0.95
"""A digit that honest pages agree in more often than this says nothing."""
FEW_DIGITS = 0.4
"""From this agreement on a last digit is one of two or so, as on a rule; below it, any digit comes."""
LONGEST = 7
"""Digits of a cell that are compared, counted from the last."""
MOST_AT_ONCE = 400
"""Groups of which each is compared with each, in the order of the list; a year group is several classes."""
MOST_SHARING = 20
"""Groups with one and the same number in a cell beyond which it brings no two of them together."""
ENOUGH_SHARED = 0.4
"""Share of its cells that a page far down the list must share with another to be compared with it."""
FEWEST_SHARED = 3
MOST_FAR = 400
"""Such pairs that are looked at for each part of the list, those that share most first."""


class Alike(Struct, frozen=True, kw_only=True):
    """Two pages that are alike."""

    first: int
    """Position of the group."""
    second: int
    chance: float
    """How often an honest page would be so like any of the others."""
    items: tuple[str, ...]
    """Items with cells that agree in every digit."""
    same: int
    """Those cells."""
    of: int
    """Cells that both filled in."""


def alike_pages(pages: Pages, limit: float) -> tuple[Alike, ...]:
    """Return the pairs of different benches that honest work would bring up no more often than *limit*."""
    if len(pages.cells) == 0:
        return ()
    found: list[Alike] = []
    for start in range(0, len(pages.partners), MOST_AT_ONCE):
        found += [
            replace(one, first=one.first + start, second=one.second + start)
            for one in _among(pages.of(slice(start, start + MOST_AT_ONCE)), limit)
        ]
    for start, pairs in _far_apart(pages).items():
        found += _beside_class(pages, start, pairs, limit)
    return tuple(sorted(found, key=lambda one: (one.chance, one.first, one.second)))


def _far_apart(pages: Pages) -> dict[int, list[tuple[int, int]]]:
    """Return the pairs of groups that are not compared already and share enough cells, the earlier first.

    They are gathered by the first group that the earlier is compared with; the most that share most of them.
    """
    if len(pages.partners) <= MOST_AT_ONCE:
        return {}
    shared: Counter[tuple[int, int]] = Counter()
    for cell in range(len(pages.cells)):
        alike: defaultdict[tuple[float, int], list[int]] = defaultdict(list)
        for group in np.flatnonzero(np.isfinite(pages.values[:, cell])).tolist():
            place = int(pages.places[group, cell])
            alike[float(np.round(pages.values[group, cell] / 10.0**place)), place].append(group)
        for groups in alike.values():
            if 1 < len(groups) <= MOST_SHARING:
                shared.update(pair for pair in itertools.combinations(groups, 2) if _in_two_parts(pair))
    filled = np.isfinite(pages.values).sum(axis=1)
    found: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)
    for (one, other), count in sorted(shared.items(), key=lambda item: (-item[1], item[0])):
        mine = found[one - one % MOST_AT_ONCE]
        enough = count >= max(FEWEST_SHARED, ENOUGH_SHARED * min(filled[one], filled[other]))
        if enough and len(mine) < MOST_FAR:
            mine.append((one, other))
    return {start: sorted(pairs) for start, pairs in sorted(found.items()) if pairs}


def _in_two_parts(pair: tuple[int, int]) -> bool:
    return pair[0] // MOST_AT_ONCE != pair[1] // MOST_AT_ONCE


def _beside_class(pages: Pages, start: int, pairs: Sequence[tuple[int, int]], limit: float) -> list[Alike]:
    """Return those of the *pairs* that are alike, by how widely the pages from *start* on vary."""
    near = range(start, min(start + MOST_AT_ONCE, len(pages.partners)))
    around = [*near, *dict.fromkeys(other for _, other in pairs)]
    place = {group: at for at, group in enumerate(around)}
    # They were found among all of the set.
    strict = limit * len(around) / len(pages.partners)
    found = _among(pages.of(around), strict, {(place[one], place[other]) for one, other in pairs})
    return [
        replace(
            pair, first=around[pair.first], second=around[pair.second], chance=min(1.0, pair.chance * limit / strict)
        )
        for pair in found
    ]


def _among(pages: Pages, limit: float, only: Set[tuple[int, int]] | None = None) -> list[Alike]:
    first, second = pairs_apart(pages)
    if not first.size:
        return []
    variety = variety_of(pages)
    compared = len({*first.tolist(), *second.tolist()}) - 1
    if only is not None:
        mine = np.array([pair in only for pair in zip(first.tolist(), second.tolist(), strict=True)])
        first, second = first[mine], second[mine]
    likely = _agree_enough(pages, variety, first, second)
    first, second = first[likely], second[likely]
    rough = compared * _luck(pages, variety, first, second, np.broadcast_to(variety.spread, (1, len(pages.cells))))
    found = []
    for one, two in zip(first[rough <= limit], second[rough <= limit], strict=True):
        pair = np.array([one]), np.array([two])
        same, both = agreeing(pages, *pair)
        left = _left(pages, variety, _close(pages, variety, *pair)[0], one, two)
        chance = compared * float(_luck(pages, variety, *pair, left)[0])
        if chance <= limit:
            items = tuple(dict.fromkeys(pages.cells[cell][0] for cell in np.flatnonzero(same[0])))
            found.append(
                Alike(
                    first=int(one),
                    second=int(two),
                    chance=chance,
                    items=items,
                    same=int(same.sum()),
                    of=int(both.sum()),
                )
            )
    return found


def _agree_enough(pages: Pages, variety: Variety, first: Numbers, second: Numbers) -> NDArray[np.bool_]:
    """Tell which pairs agree in cells that seldom agree; the others need no closer look."""
    same, _ = agreeing(pages, first, second)
    seldom = -np.log(np.maximum(variety.ties, variety.ties_below))
    return np.asarray(same @ seldom >= WORTH_A_LOOK)


def _close(pages: Pages, variety: Variety, first: Numbers, second: Numbers) -> NDArray[np.bool_]:
    """Return where two pages agree or nearly do, as those of one kind of part and one setting would."""
    one, other = whole_numbers(pages, first, second)
    unit = 10.0 ** np.maximum(pages.places[first], pages.places[second]).astype(np.float64)
    wide = CLOSE * variety.spread * np.minimum(variety.sizes[first], variety.sizes[second]) / unit
    with np.errstate(all="ignore"):
        return np.asarray(np.abs(one - other) <= np.maximum(wide, CLOSE_UNITS))


def _left(pages: Pages, variety: Variety, close: NDArray[np.bool_], one: int, two: int) -> Values:
    """Return the spread of each cell that the close cells before it leave, shape (1, cells)."""
    settled: list[int] = []
    rows: Counter[str] = Counter()
    left = np.empty((1, close.size))
    for cell, (item, _) in enumerate(pages.cells):
        left[0, cell] = variety.left(settled, cell)
        if rows[item] >= COURSE:
            noise = min(variety.rows[one, cell], variety.rows[two, cell])
            size = min(variety.sizes[one, cell], variety.sizes[two, cell])
            left[0, cell] = min(left[0, cell], noise / size)
        if close[cell]:
            settled.append(cell)
            rows[item] += 1
    return left


def _luck(pages: Pages, variety: Variety, first: Numbers, second: Numbers, left: Values) -> Values:
    """Return how often two honest pages would agree as much as each pair does, at most; shape (pairs,)."""
    one, other = whole_numbers(pages, first, second)
    last = np.maximum(pages.places[first], pages.places[second])
    sizes = np.minimum(variety.sizes[first], variety.sizes[second])
    spread = sizes * left / 10.0 ** last.astype(np.float64)
    same, both = agreeing(pages, first, second)
    bound = np.zeros((first.size, TILTS.size))
    for cell, above in enumerate(pages.follows):
        tied = np.full(first.size, variety.ties[cell])
        if above >= 0:
            tied = np.where(same[:, above], np.maximum(tied, variety.ties_below[cell]), tied)
        powers = np.clip(last[:, cell, None] + np.arange(LONGEST) - LOWEST_POWER, 0, POWERS - 1)
        ties = np.maximum(tied[:, None], variety.leading[cell][powers])
        digits = variety.digits[cell][powers]
        shown = _cell_bound(one[:, cell], other[:, cell], spread[:, cell], ties, digits, in_table=above >= 0)
        # A column that is kept the same says once what it says.
        kept = both[:, cell] if above < 0 else both[:, cell] & ~_kept_same(pages, first, second, cell, above)
        bound += np.where(kept[:, None], shown, 0.0)
    return np.asarray(np.exp(np.minimum(bound.min(axis=1), 0.0)))


def _kept_same(pages: Pages, first: Numbers, second: Numbers, cell: int, above: int) -> NDArray[np.bool_]:
    same = pages.values[:, cell] == pages.values[:, above]
    return np.asarray(same[first] & same[second])


def _cell_bound(one: Values, other: Values, spread: Values, tied: Values, free: Values, *, in_table: bool) -> Values:
    """Return what one cell adds to the logarithm of the bound, digit by digit from the first, shape (pairs, tilts)."""
    bound = np.zeros((one.size, TILTS.size))
    before = np.ones(one.size)
    whole = np.ones(one.size, np.bool_)  # so far every digit agrees
    for place in range(LONGEST - 1, -1, -1):
        width = 10.0**place
        start_one, start_other = np.trunc(one / width), np.trunc(other / width)
        upto = np.maximum(_agreement(width, spread), tied[:, place])
        further = np.minimum(upto / before, 1.0)
        if place == 0 and in_table:
            # A rule that is read to half its divisions has 0 or 5 there; of a cell that the rows before it settle, how
            # often the class agrees in it does not show that.
            further = np.maximum(further, np.where(free[:, 0] >= FEW_DIGITS, free[:, 0], 0.0))
        by_luck = np.where(whole, further, free[:, place])
        agree = np.where(whole, start_one == start_other, np.abs(start_one) % 10 == np.abs(start_other) % 10)
        bound += _digit_bound(by_luck, agree)
        before = np.where(whole, upto, before)
        whole &= agree
    return bound


def _digit_bound(by_luck: Values, agree: NDArray[np.bool_]) -> Values:
    tells = by_luck < PLAIN
    luck = np.where(tells, by_luck, 0.5)[:, None]
    for_copy, against = np.log((1 - CHANGED) / luck), np.minimum(np.log(CHANGED / (1 - luck)), 0.0)
    usual = np.log(luck * np.exp(TILTS * for_copy) + (1 - luck) * np.exp(TILTS * against))
    seen = TILTS * np.where(agree[:, None], for_copy, against)
    return np.where(tells[:, None], usual - seen, 0.0)


_erf = np.frompyfunc(math.erf, 1, 1)


def _agreement(width: float, spread: Values) -> Values:
    """Return how often two values of that *spread* fall into one interval of *width*."""
    with np.errstate(all="ignore"):
        ratio = width / (math.sqrt(2.0) * spread)
        normal = np.asarray(_erf(ratio / math.sqrt(2.0)), np.float64)
        inside = normal - math.sqrt(2 / math.pi) / ratio * (1 - np.exp(-(ratio**2) / 2))
    return np.where(np.isfinite(inside), inside, 1.0)
