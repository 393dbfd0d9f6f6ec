"""Pages that are so alike that one may have been copied from the other, with some digits changed.

Two pages of different benches are compared digit by digit. For each digit it is known how often two honest pages
agree in it; from this comes the likelihood ratio of copying to honest work. An upper bound for the chance that honest
pages reach such a ratio (Chernoff's inequality, Annals of Mathematical Statistics 23 (1952) 493) leaves few pairs, for
which that chance is worked out.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marking.cohort.evidence import Digit, Rules, as_alike_by_luck
from marking.cohort.leads.variety import LOWEST_POWER, POWERS, Variety, agreeing, pairs_apart, variety_of, whole_numbers
from marking.cohort.leads.written_cells import Pages

Values = NDArray[np.float64]
Numbers = NDArray[np.int64]

CHANGED = 0.2
"""Share of the digits that somebody who copies may change; agreement is weighed for this, and found for less too."""
TILTS = np.array([0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.5, 2.0, 3.0, 5.0, 8.0, 12.0])
"""Where the bound is tried; the least of them holds."""
WORTH_A_LOOK = 1.0
"""Agreement in whole cells, natural logarithm of how seldom by luck, from which on digits are compared one by one."""
CLOSE = 0.15
"""Values nearer than this share of the class's spread are close: they may well come from the same kind of part."""
CLOSE_UNITS = 2.0
"""So are values that differ by no more than this in the last digit."""
COURSE = 2
"""Rows that settle the course of a column; from then on only noise is left."""
PLAIN = 0.95
"""A digit that honest pages agree in more often than this says nothing."""
ODD_DIGIT = 0.01
"""One such digit in a hundred is another one in honest work too, by a slip of the pen; judged, no source. In a copy in
which digits were changed a fifth of them are. One in a number counts: more are a point or a unit that slipped."""
ROUGH = 1000.0
"""Pairs that may be as many times likelier by a quick bound are looked at more closely."""
LONGEST = 7
"""Digits of a cell that are compared, counted from the last."""
MOST_AT_ONCE = 400
"""Groups that are compared with each other at a time, in the order of the class; a year group is several classes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
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
    return tuple(sorted(found, key=lambda one: (one.chance, one.first, one.second)))


def _among(pages: Pages, limit: float) -> list[Alike]:
    first, second = pairs_apart(pages)
    if not first.size:
        return []
    variety = variety_of(pages)
    compared = len({*first.tolist(), *second.tolist()}) - 1
    likely = _agree_enough(pages, variety, first, second)
    first, second = first[likely], second[likely]
    rough = compared * _luck(pages, variety, first, second, np.broadcast_to(variety.spread, (1, len(pages.cells))))
    found = []
    for one, two in zip(first[rough <= ROUGH * limit], second[rough <= ROUGH * limit], strict=True):
        pair = np.array([one]), np.array([two])
        same, both = agreeing(pages, *pair)
        left = _left(pages, variety, _close(pages, variety, *pair)[0], one, two)
        chance = compared * _exact_luck(pages, variety, *pair, left)
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
    bound = np.zeros((2, first.size, TILTS.size))
    for cell, above in enumerate(pages.follows):
        tied = np.full(first.size, variety.ties[cell])
        if above >= 0:
            tied = np.where(same[:, above], np.maximum(tied, variety.ties_below[cell]), tied)
        powers = np.clip(last[:, cell, None] + np.arange(LONGEST) - LOWEST_POWER, 0, POWERS - 1)
        ties = np.maximum(tied[:, None], variety.leading[cell][powers])
        shown = _cell_bound(one[:, cell], other[:, cell], spread[:, cell], ties, variety.digits[cell][powers])
        # A column that is kept the same says once what it says.
        kept = both[:, cell] if above < 0 else both[:, cell] & ~_kept_same(pages, first, second, cell, above)
        bound += np.where(kept[:, None], shown, 0.0)
    return np.asarray(np.exp(np.minimum(bound.min(axis=(0, 2)), 0.0)))


def _exact_luck(pages: Pages, variety: Variety, first: Numbers, second: Numbers, left: Values) -> float:
    """Return how often two honest pages would agree as much as one pair does, copied as it stands or with changes."""
    cells = list(_digits(pages, variety, first, second, left))
    chances = (as_alike_by_luck(cells, Rules(changed=CHANGED, plain=PLAIN, odd=odd)) for odd in (0.0, ODD_DIGIT))
    # Either of the two questions may have been the one to ask.
    return min(2.0 * min(chances), 1.0)


def _digits(pages: Pages, variety: Variety, first: Numbers, second: Numbers, left: Values) -> Iterator[list[Digit]]:
    """Yield the digits of each cell that says something about one pair, from the first digit on."""
    one, other = whole_numbers(pages, first, second)
    last = np.maximum(pages.places[first], pages.places[second])
    spread = np.minimum(variety.sizes[first], variety.sizes[second]) * left / 10.0 ** last.astype(np.float64)
    same, both = agreeing(pages, first, second)
    for cell, above in enumerate(pages.follows):
        if not both[0, cell] or (above >= 0 and _kept_same(pages, first, second, cell, above)[0]):
            continue
        tied = float(variety.ties[cell])
        if above >= 0 and same[0, above]:
            tied = max(tied, float(variety.ties_below[cell]))
        powers = np.clip(last[0, cell] + np.arange(LONGEST) - LOWEST_POWER, 0, POWERS - 1)
        ties = np.maximum(tied, variety.leading[cell][powers])
        places, before = [], 1.0
        for place in range(LONGEST - 1, -1, -1):
            width = 10.0**place
            upto = max(float(_agreement(width, spread[0, cell])), float(ties[place]))
            agrees = np.trunc(abs(one[0, cell]) / width) % 10 == np.trunc(abs(other[0, cell]) / width) % 10
            free = float(variety.digits[cell][powers[place]])
            places.append(Digit(by_luck=min(upto / before, 1.0), free=free, agrees=bool(agrees)))
            before = upto
        yield places


def _kept_same(pages: Pages, first: Numbers, second: Numbers, cell: int, above: int) -> NDArray[np.bool_]:
    same = pages.values[:, cell] == pages.values[:, above]
    return np.asarray(same[first] & same[second])


def _cell_bound(one: Values, other: Values, spread: Values, tied: Values, free: Values) -> Values:
    """Return what one cell adds to the logarithm of each bound, digit by digit, shape (2, pairs, tilts).

    The first bound is for agreement alone; in the second, odd digits count too.
    """
    plainly, oddly = np.zeros((one.size, TILTS.size)), np.zeros((one.size, TILTS.size))
    before = np.ones(one.size)
    whole = np.sign(one) == np.sign(other)  # so far every digit agrees
    unless_odd, odd = whole.copy(), np.zeros(one.size, np.bool_)  # the same, but for an odd digit; that was seen
    for place in range(LONGEST - 1, -1, -1):
        width = 10.0**place
        agree = np.trunc(np.abs(one) / width) % 10 == np.trunc(np.abs(other) / width) % 10
        upto = np.maximum(_agreement(width, spread), tied[:, place])
        step = np.minimum(upto / before, 1.0)
        plainly += _digit_bound(np.where(whole, step, free[:, place]), agree)
        by_luck = np.where(unless_odd, step, free[:, place])
        alone = (by_luck >= PLAIN) & unless_odd & ~odd
        oddly += np.where(alone[:, None], _odd_bound(agree), _digit_bound(by_luck, agree))
        odd |= alone & ~agree
        before = np.where(unless_odd, upto, before)
        whole &= agree
        unless_odd &= agree | alone
    return np.stack([plainly, oddly])


def _digit_bound(by_luck: Values, agree: NDArray[np.bool_]) -> Values:
    tells = by_luck < PLAIN
    luck = np.where(tells, by_luck, 0.5)[:, None]
    for_copy, against = np.log((1 - CHANGED) / luck), np.minimum(np.log(CHANGED / (1 - luck)), 0.0)
    usual = np.log(luck * np.exp(TILTS * for_copy) + (1 - luck) * np.exp(TILTS * against))
    seen = TILTS * np.where(agree[:, None], for_copy, against)
    return np.where(tells[:, None], usual - seen, 0.0)


def _odd_bound(agree: NDArray[np.bool_]) -> Values:
    """Return the same for a digit in which nearly all honest pages agree: it speaks where it differs."""
    for_copy = math.log(CHANGED / ODD_DIGIT)
    usual = np.log(1 - ODD_DIGIT + ODD_DIGIT * np.exp(TILTS * for_copy))
    return np.asarray(usual - TILTS * np.where(agree[:, None], 0.0, for_copy))


_erf = np.frompyfunc(math.erf, 1, 1)


def _agreement(width: float, spread: Values) -> Values:
    """Return how often two values of that *spread* fall into one interval of *width*."""
    with np.errstate(all="ignore"):
        ratio = width / (math.sqrt(2.0) * spread)
        normal = np.asarray(_erf(ratio / math.sqrt(2.0)), np.float64)
        inside = normal - math.sqrt(2 / math.pi) / ratio * (1 - np.exp(-(ratio**2) / 2))
    return np.where(np.isfinite(inside), inside, 1.0)
