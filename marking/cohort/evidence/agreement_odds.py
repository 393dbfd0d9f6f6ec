"""How often two honest pages would agree as much as two do: the whole distribution, digit by digit.

Each digit has a score, the logarithm of how likely it is in a copy over how likely in honest work. Scores of a cell
hang together, for digits are compared as long as those before them agree; cells are taken one after the other. The sum
is laid out on a lattice, and its upper tail is what honest work brings up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

STEP = 0.1
"""Width of the lattice, natural logarithm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Digit:
    """One place of one cell."""

    by_luck: float
    """How often honest pages agree in it, where they agree in all before."""
    free: float
    """How often they do where they differed before."""
    agrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """How digits are scored."""

    changed: float
    """Share of the digits that somebody who copies changes."""
    plain: float
    """A digit that honest pages agree in more often than this says nothing where it agrees."""
    odd: float
    """How often honest work differs in such a digit all the same; 0 where that, too, is to say nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sum:
    """A distribution of scores: chances from *low* on, in steps of the lattice."""

    low: int
    chances: Values

    def moved(self, by: int, chance: float) -> _Sum:
        return _Sum(low=self.low + by, chances=self.chances * chance)

    def either(self, other: _Sum) -> _Sum:
        low = min(self.low, other.low)
        high = max(self.low + self.chances.size, other.low + other.chances.size)
        together = np.zeros(high - low)
        for one in (self, other):
            together[one.low - low : one.low - low + one.chances.size] += one.chances
        return _Sum(low=low, chances=together)

    def plus(self, other: _Sum) -> _Sum:
        return _Sum(low=self.low + other.low, chances=np.convolve(self.chances, other.chances))


_NOTHING = _Sum(low=0, chances=np.ones(1))


def as_alike_by_luck(cells: Iterable[Sequence[Digit]], rules: Rules) -> float:
    """Return how often honest pages reach the score of these cells, each from its first digit on."""
    total, seen = _NOTHING, 0
    for cell in cells:
        total = total.plus(_of_cell(cell, rules))
        seen += _seen(cell, rules)
    above = max(seen - total.low, 0)
    return float(min(total.chances[above:].sum(), 1.0))


def _scores(luck: float, rules: Rules) -> tuple[int, int]:
    """Return what a digit scores where it agrees and where it differs; nothing for one that is plain."""
    if luck >= rules.plain:
        return 0, 0
    differs = min(math.log(rules.changed / (1 - luck)), 0.0)
    return round(math.log((1 - rules.changed) / luck) / STEP), round(differs / STEP)


def _odd_score(rules: Rules) -> int:
    return round(math.log(rules.changed / rules.odd) / STEP)


def _of_cell(cell: Sequence[Digit], rules: Rules) -> _Sum:
    """Return the distribution of one cell, worked out from its last digit on."""
    free = whole = after_odd = _NOTHING
    for digit in reversed(cell):
        up, down = _scores(digit.by_luck, rules)
        luck = digit.by_luck
        is_plain = luck >= rules.plain
        differs = free.moved(down, 1 - luck)
        if is_plain and rules.odd:
            now = whole.moved(0, 1 - rules.odd).either(after_odd.moved(_odd_score(rules), rules.odd))
        else:
            now = whole.moved(up, luck).either(differs)
        after_odd = after_odd.moved(up, luck).either(differs)
        whole = now
        up, down = _scores(digit.free, rules)
        free = free.moved(up, digit.free).either(free.moved(down, 1 - digit.free))
    return whole


def _seen(cell: Sequence[Digit], rules: Rules) -> int:
    """Return the score of what is there."""
    total, whole, odd = 0, True, False
    for digit in cell:
        luck = digit.by_luck if whole else digit.free
        if whole and not odd and luck >= rules.plain and rules.odd:
            odd = not digit.agrees
            total += 0 if digit.agrees else _odd_score(rules)
            continue
        up, down = _scores(luck, rules)
        total += up if digit.agrees else down
        whole &= digit.agrees
    return total
