"""How students are known to write numbers, by what they wrote before: nobody changes habits from step to step.

What would take another habit than the one that shows is not known to be wrong either: it lies near, for the teacher.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers.written import FIGURES_OF_A_DISPLAY, Cells, Places, ten_to
from rubrics.formulas import Call, Formula, Operation, Power, walk

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

FEWEST_KEPT_ANYWHERE = 3
"""Figures that every step may be rounded to, whatever the readings have."""
SURELY_UP = 0.01
"""Of the last place: so much larger than what it was worked out from, and a number was rounded up."""


class Manner(Struct, frozen=True):
    """Habits that are known; shape (students, 1), or (answers, 1) of some answers."""

    rounds: Mask
    """A number of theirs was rounded up, so they do not cut off."""
    keeps_three: Mask
    """A step of theirs has three figures where a reading has two, so they do not keep two."""

    def bars(self, figures: int | None, cut: bool) -> Mask:
        """Tell whose manner it is not to keep so many *figures* of a step, *cut* off or rounded."""
        short = figures is not None and figures < FEWEST_KEPT_ANYWHERE
        return np.asarray((self.rounds & cut) | (self.keeps_three & short))

    def with_seen(self, seen: Manner) -> Manner:
        """Return what is known once one answer more was seen."""
        return Manner(self.rounds | seen.rounds, self.keeps_three | seen.keeps_three)

    def of(self, students: NDArray[np.int64]) -> Manner:
        """Return the manner of the student of each answer."""
        return Manner(self.rounds[students], self.keeps_three[students])


def seen_in(cells: Cells, ways: Sequence[Formula], values: Sequence[Values], stands: Mask, figures: Places) -> Manner:
    """Return what the answers to one item show of their students, where they stand.

    Whether a number was rounded up shows only where it was worked out in a single step: of more, each may have been cut
    off, and the answer be larger for it.

    Args:
        cells: The answers as they were written.
        ways: How they may be worked out.
        values: What they come to unrounded, by readings and by what stands written, in SI units.
        stands: Which of them are right.
        figures: Of the least precise reading behind each.
    """
    stands = stands & (cells.most_figures < FIGURES_OF_A_DISPLAY)
    three = stands & (cells.fewest_figures >= FEWEST_KEPT_ANYWHERE) & (figures < FEWEST_KEPT_ANYWHERE)
    up = np.zeros_like(stands)
    if len(ways) == 1 and steps_of(ways[0]) == 1:
        unit = ten_to(cells.finest)
        with np.errstate(all="ignore"):
            over = [(np.abs(cells.number) - np.abs(cells.from_si(value))) / unit for value in values]
            each = [((one > SURELY_UP) & (one <= 0.5 + SURELY_UP)) | np.isnan(one) for one in over]
            up = stands & np.logical_and.reduce(each) & ~np.logical_and.reduce([np.isnan(one) for one in over])
    rounds, keeps_three = (np.asarray(one.any(axis=1, keepdims=True)) for one in (up, three))
    return Manner(rounds, keeps_three)


def steps_of(way: Formula) -> int:
    """Return how many steps of calculation a formula takes; a function of columns is more than one, but for a mean."""
    parts = list(walk(way.tree))
    columns = sum(isinstance(part, Call) and bool(part.columns) and part.function != "mean" for part in parts)
    return columns + sum(isinstance(part, Operation | Power | Call) for part in parts)
