"""How much likelier two pages are if one was copied from the other, with some digits changed, than by luck.

For honest pages a likelihood ratio of r or more comes up no more often than once in r (Markov's
inequality), whatever else is true of the class; that bound, over all the pages that a page might have been
like, is the chance that a lead is given with.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marking.cohort.pages import Pages
from marking.cohort.variety import LOWEST_POWER, POWERS, Variety, agreeing, variety_of, whole_numbers

Values = NDArray[np.float64]
Numbers = NDArray[np.int64]

CHANGED = np.array([0.01, 0.1, 0.2, 0.3])
"""Shares of the digits that somebody may have changed in copying; all are tried, none is preferred."""
PLAIN = 0.95
"""A digit that honest pages agree in more often than this says nothing."""
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
    same: int
    """Cells that agree in every digit."""
    of: int
    """Cells that both filled in."""


def alike_pages(pages: Pages, limit: float) -> tuple[Alike, ...]:
    """Return the pairs of different benches that honest work would bring up no more often than *limit*."""
    if len(pages.cells) == 0:
        return ()
    found: list[Alike] = []
    for start in range(0, len(pages.partners), MOST_AT_ONCE):
        found += _among(pages, np.arange(start, min(start + MOST_AT_ONCE, len(pages.partners))), limit)
    return tuple(sorted(found, key=lambda one: (one.chance, one.first, one.second)))


def _among(pages: Pages, groups: Numbers, limit: float) -> list[Alike]:
    benches = np.array([pages.partners[group].bench for group in groups])
    place, other = np.triu_indices(len(groups), 1)
    # Partners share readings by right; without a bench nobody knows who was whose partner.
    apart = (benches[place] != benches[other]) & (benches[place] != "") & (benches[other] != "")
    first, second = groups[place[apart]], groups[other[apart]]
    if not first.size:
        return []
    variety = variety_of(pages)
    compared = int((benches != "").sum()) - 1
    needed = math.log(compared / limit)
    rough = _evidence(pages, variety, first, second, np.ones((first.size, len(pages.cells))))
    likely = rough > needed
    found = []
    for one, two in zip(first[likely], second[likely], strict=True):
        pair = np.array([one]), np.array([two])
        same, both = agreeing(pages, *pair)
        evidence = float(_evidence(pages, variety, *pair, _left(variety, same[0]))[0])
        if evidence > needed:
            chance = compared * math.exp(-evidence)
            found.append(Alike(first=int(one), second=int(two), chance=chance, same=int(same.sum()), of=int(both.sum())))
    return found


def _left(variety: Variety, same: NDArray[np.bool_]) -> Values:
    """Return, for each cell, the share of its spread that the agreeing cells before it leave, shape (1, cells)."""
    matched: list[int] = []
    left = np.ones((1, same.size))
    for cell in range(same.size):
        left[0, cell] = variety.settled(matched, cell)
        if same[cell]:
            matched.append(cell)
    return left


def _evidence(pages: Pages, variety: Variety, first: Numbers, second: Numbers, left: Values) -> Values:
    """Return the logarithm of the likelihood ratio of each pair, shape (pairs,)."""
    one, other = whole_numbers(pages, first, second)
    last = np.maximum(pages.places[first], pages.places[second])
    unit = 10.0 ** last.astype(np.float64)
    spread = np.minimum(variety.spread[first], variety.spread[second]) * left / unit
    same, both = agreeing(pages, first, second)
    total = np.zeros((first.size, CHANGED.size))
    for cell, above in enumerate(pages.follows):
        tied = np.full(first.size, variety.ties[cell])
        if above >= 0:
            tied = np.where(same[:, above], np.maximum(tied, variety.ties_below[cell]), tied)
        powers = np.clip(last[:, cell, None] + np.arange(LONGEST) - LOWEST_POWER, 0, POWERS - 1)
        free = variety.digits[cell][powers]
        shown = _cell_evidence(one[:, cell], other[:, cell], spread[:, cell], tied, free)
        total += np.where(both[:, cell, None], shown, 0.0)
    most = total.max(axis=1)
    return np.asarray(most + np.log(np.exp(total - most[:, None]).mean(axis=1)))


def _cell_evidence(one: Values, other: Values, spread: Values, tied: Values, free: Values) -> Values:
    """Return the evidence of one cell, digit by digit from the first, shape (pairs, shares of changed digits)."""
    evidence = np.zeros((one.size, CHANGED.size))
    before = np.ones(one.size)
    whole = np.ones(one.size, np.bool_)
    """So far every digit agrees."""
    for place in range(LONGEST - 1, -1, -1):
        width = 10.0**place
        start_one, start_other = np.trunc(one / width), np.trunc(other / width)
        upto = np.maximum(_agreement(width, spread), tied)
        by_luck = np.where(whole, np.minimum(upto / before, 1.0), free[:, place])
        agree = np.where(whole, start_one == start_other, np.abs(start_one) % 10 == np.abs(start_other) % 10)
        by_luck = np.minimum(by_luck, PLAIN)[:, None]
        for_copy = np.where(by_luck < PLAIN, np.log((1 - CHANGED) / by_luck), 0.0)
        evidence += np.where(agree[:, None], for_copy, np.minimum(np.log(CHANGED / (1 - by_luck)), 0.0))
        before = np.where(whole, upto, before)
        whole &= agree
    return evidence


def _agreement(width: float, spread: Values) -> Values:
    """Return how often two values of that *spread* fall into one interval of *width*."""
    from scipy.special import erf

    with np.errstate(all="ignore"):
        ratio = width / (math.sqrt(2.0) * spread)
        inside = erf(ratio / math.sqrt(2.0)) - math.sqrt(2 / math.pi) / ratio * (1 - np.exp(-(ratio**2) / 2))
    return np.where(np.isfinite(inside), inside, 1.0)
