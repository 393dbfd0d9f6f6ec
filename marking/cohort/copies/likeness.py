"""How like each other two pages of a class are, and how often honest work would be so like."""

from __future__ import annotations

import math
from collections import Counter
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.cohort.copies.digit_luck import luck_at_most
from marking.cohort.copies.exact_luck import exact_luck
from marking.cohort.copies.page_slips import NO_SLIPS, PageSlips, page_slips, rarity
from marking.cohort.copies.shared_slips import as_judged, shared_slips, without_answers
from marking.cohort.copies.variety import Variety, agreeing, variety_of, whole_numbers
from marking.cohort.copies.written_cells import Pages, whole_pages
from rubrics.model import Role, Rubric

Values = NDArray[np.float64]
Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]

WORTH_A_LOOK = 3.0
"""Agreement in whole cells, natural logarithm of how seldom by luck, from which on digits are compared one by one."""
GAINED = 20.0
"""How much less likely than its bound a likeness may turn out to be."""
BY_ANSWER = 100.0
"""The same for each wrong answer that is the other page's."""
CLOSE = 0.15
"""Values nearer than this share of the class's spread are close: they may well come from the same kind of part."""
CLOSE_UNITS = 2.0
"""So are values that differ by no more than this in the last digit."""
MOST_ALIKE = 40
"""Pairs whose likeness shows how far honest pages of a class go, the most alike of them; a few would do."""
LEADING = 4
"""Of those, so many that share no page tell it."""
LEAST_LUCK = 1e-300
COURSE = 2
"""Rows that settle the course of a column; from then on only noise is left."""


class Likely(Struct, frozen=True, kw_only=True):
    """How likely two pages are to be so alike by luck."""

    digits: float
    """How often honest pages agree in as many digits."""
    rare: float
    """How often an honest page has so many slips; 1 where that page has none that the other explains."""
    page: int
    """That page."""

    @property
    def chance(self) -> float:
        """Return how often both come together."""
        return self.digits * self.rare


class Likeness:
    """Groups that are compared with each other, and what is known of them all."""

    def __init__(self, rubric: Rubric, readings: Pages) -> None:
        """Take the *readings* of the groups; their answers are read from the same write-ups."""
        self.rubric = rubric
        self.readings = readings
        self.variety = variety_of(readings)
        # A table says enough by its digits, and its answers come in columns, which ``wrong_alike`` compares.
        self.slips = NO_SLIPS if readings.has_rows else page_slips(rubric, readings)
        self.counts = np.zeros(len(readings.partners), np.int64) if readings.has_rows else self.slips.counts
        self._looked_at = np.empty(0, np.int64), np.empty(0, np.int64), np.empty(0)
        self.whole = whole_pages(rubric, readings.partners) if self.counts.any() else readings

    @cached_property
    def whole_variety(self) -> Variety:
        """How widely readings and answers vary."""
        return variety_of(self.whole)

    def worth_a_look(self, first: Numbers, second: Numbers, limit: float) -> list[tuple[int, int]]:
        """Return the pairs that honest work might bring up no more often than *limit*; the others need no look."""
        same_wrong, seldom = self._agreement(first, second)
        enough = seldom >= WORTH_A_LOOK
        first, second, same_wrong = first[enough], second[enough], same_wrong[enough]
        bound = luck_at_most(self.readings, self.variety, first, second, self.variety.spread)
        self._looked_at = first, second, bound
        rare = np.array([rarity(self.counts, page, page, int(slips)) for page, slips in enumerate(self.counts)])
        # Of a table the bound is all there is.
        gained = 1.0 if self.readings.has_rows else GAINED * BY_ANSWER**same_wrong
        near = bound * np.minimum(rare[first], rare[second]) <= limit * gained
        return list(zip(first[near].tolist(), second[near].tolist(), strict=True))

    def overstated(self, pair: tuple[int, int], pairs: int, limit: float) -> float:
        """Return by what factor the logarithm of luck is too large in this class, at least 1; of tables alone.

        Of so many honest pairs one is as alike as one in so many. Where other pairs than this are more alike than that,
        though none so much that it would be told, something ties the pages of this class that digits do not show.

        Args:
            pair: Two pages that are alike.
            pairs: How many pairs of pages the class has.
            limit: Luck from which on a pair is told.
        """
        if not self.readings.has_rows:
            return 1.0
        taken, found = {*pair}, 1.0
        place = 0
        for seldom, one, other in self._most_alike:
            if place == LEADING:
                break
            if seldom >= -math.log(limit) or taken & {one, other}:
                continue
            taken |= {one, other}
            place += 1
            found = max(found, seldom / max(math.log(pairs / place), 1.0))
        return found

    @cached_property
    def _most_alike(self) -> list[tuple[float, int, int]]:
        """The pairs looked at that are most alike by readings, with how seldom so by luck, natural logarithm."""
        first, second, bound = self._looked_at
        chosen = np.argsort(bound, kind="stable")[:MOST_ALIKE]
        pairs = zip(first[chosen].tolist(), second[chosen].tolist(), strict=True)
        return sorted((-math.log(max(self._digits(one, other), LEAST_LUCK)), one, other) for one, other in pairs)[::-1]

    def likely(self, one: int, other: int, limit: float) -> Likely:
        """Return how likely two pages are to be so alike by luck; strictly only where that is *limit* or less."""
        if not (self.counts[one] or self.counts[other]):
            return Likely(digits=self._digits(one, other), rare=1.0, page=one)
        found = self._likely(self.slips, one, other)
        if found.chance > limit:
            return found
        # What is wrong beyond all rounding may still be right another way; finding out is only worth it where the
        # readings alone do not say enough.
        by_readings = self._likely(without_answers(self.slips), one, other)
        if by_readings.chance <= limit:
            return by_readings
        return self._likely(as_judged(self.rubric, self.whole, self.slips, one, other), one, other)

    def _likely(self, slips: PageSlips, one: int, other: int) -> Likely:
        shared = shared_slips(self.rubric, self.whole, slips, one, other)
        rare, page = min(
            (rarity(self.counts, page, beside, min(count, int(self.counts[page]))), page)
            for page, beside, count in ((one, other, shared.of_one), (other, one, shared.of_other))
        )
        if shared.has_answers:
            told = replace(self.whole, values=np.where(shared.told, self.whole.values, np.nan))
            digits = exact_luck(told, self.whole_variety, one, other, _left(told, self.whole_variety, one, other))
        else:
            digits = self._digits(one, other, exactly=rare < 1.0)
        return Likely(digits=digits, rare=rare, page=page)

    def _digits(self, one: int, other: int, *, exactly: bool = False) -> float:
        left = _left(self.readings, self.variety, one, other)
        if exactly or not self.readings.has_rows:
            return exact_luck(self.readings, self.variety, one, other, left)
        return float(luck_at_most(self.readings, self.variety, np.array([one]), np.array([other]), left)[0])

    def _agreement(self, first: Numbers, second: Numbers) -> tuple[Values, Values]:
        """Return in how many wrong answers each pair agrees, and how seldom it agrees so, natural logarithm."""
        same, both = agreeing(self.whole, first, second)
        is_reading = np.array([self.rubric.items[item].role is Role.READING for item, _ in self.whole.cells])
        ties = (same.sum(axis=0) + 1) / (both.sum(axis=0) + 2)
        ties[is_reading] = np.maximum(self.variety.ties, self.variety.ties_below)
        wrong = self.slips.wrong_cells(self.whole)
        same_wrong = same & (wrong[first] != wrong[second])
        seldom = (same_wrong | (same & is_reading)) @ -np.log(ties)
        return same_wrong.sum(axis=1).astype(np.float64), np.asarray(seldom)


def _close(pages: Pages, variety: Variety, first: Numbers, second: Numbers) -> NDArray[np.bool_]:
    """Return where two pages agree or nearly do, as those of one kind of part and one setting would."""
    one, other = whole_numbers(pages, first, second)
    unit = 10.0 ** np.maximum(pages.places[first], pages.places[second]).astype(np.float64)
    wide = CLOSE * variety.spread * np.minimum(variety.sizes[first], variety.sizes[second]) / unit
    with np.errstate(all="ignore"):
        return np.asarray(np.abs(one - other) <= np.maximum(wide, CLOSE_UNITS))


def _left(pages: Pages, variety: Variety, one: int, two: int) -> Values:
    """Return the spread of each cell that the close cells before it leave, shape (cells,)."""
    close = _close(pages, variety, np.array([one]), np.array([two]))[0]
    settled: list[int] = []
    rows: Counter[str] = Counter()
    left = np.empty(close.size)
    for cell, (item, _) in enumerate(pages.cells):
        left[cell] = variety.left(settled, cell)
        if rows[item] >= COURSE:
            noise = min(variety.rows[one, cell], variety.rows[two, cell])
            size = min(variety.sizes[one, cell], variety.sizes[two, cell])
            left[cell] = min(left[cell], noise / size)
        if close[cell]:
            settled.append(cell)
            rows[item] += 1
    return left
