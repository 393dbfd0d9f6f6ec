"""From all that is known of the answers to one item to what each is worth."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers.chains import Reached, far_in_a_plain_column
from marking.checking.answers.judged import Judgement
from marking.checking.answers.worked import Interval, is_drawn
from marking.checking.answers.written import (
    Cells,
    Printed,
    any_of,
    is_direct,
    is_right_as_asked,
    is_right_elsewhere,
    is_rough,
    lies_inside,
)
from rubrics.formulas import Call, Formula
from rubrics.model import Item

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]


EXACTLY = 1e-9
MOST_COUNTED = 1000.0
"""Above it a count is as often given to three figures."""


class Evidence(Struct, frozen=True, kw_only=True, dict=True):
    """What is known of the answers to one item before chains are asked; arrays of the board's shape or narrower."""

    item: Item
    formula: Formula
    cells: Cells
    one: Printed
    """The answers as they were printed."""
    intervals: Sequence[Interval]
    """Where careful answers lie, in SI units: from the readings first, then for each mixture of earlier answers."""
    own: Sequence[Values]
    """The direct value by each way from the readings, the item's own formula first."""
    along: Sequence[Values]
    """The direct value by each way and each mixture of earlier answers as they stand."""
    by_other_way: Mask
    """What only a way prints, or a value of a constant, that is not the one of the student's other rows."""
    may_leave_out: Mask
    """A mean of repeats is behind it that stands nowhere: it may leave out what no other row has."""
    slips: Sequence[Values]
    """What named slips come to where they print the answer, NaN elsewhere."""
    near_line: Mask
    """Between the shares that decide for a drawn line."""
    off_own_line: Mask
    """The student shows the line that was drawn, and the answer is not of that one."""
    of_one_row: Mask
    """One row of the column of which the mean is asked for prints it, and no line is shown that it may be taken off."""
    all_there: Mask
    """Every input is there, so that a missing value means that there is none."""
    under_another: Mask
    """The number is right in another usual unit than the one that stands beside it."""
    is_counted: bool
    """It is made of ranks and counts alone, which nobody rounds."""
    unit_pays: bool
    """A criterion pays for the unit; else another one is a slip of the value like any other."""

    @property
    def missing(self) -> Mask:
        """Tell where the readings lead to no value."""
        return ~np.isfinite(self.own[0])

    @cached_property
    def is_own(self) -> Mask:
        """Tell which answers are the direct value from the readings."""
        return any_of([is_direct(self.one, value) for value in self.own])

    @cached_property
    def slip(self) -> Mask:
        """Tell which answers a named slip prints."""
        return any_of([np.zeros(self.cells.number.shape, np.bool_), *(np.isfinite(value) for value in self.slips)])

    @cached_property
    def only_near(self) -> Mask:
        """Tell which answers a named slip prints, and the direct value does not."""
        if not self.slip.any():
            return self.slip
        return self.slip & ~any_of([self.one.is_printed_by(value, value) for value in (*self.own, *self.along)])

    def is_open(self) -> Mask:
        """Tell for which answers chains are asked."""
        # An interval that cannot be told, such as the root of what may be below zero, is no licence.
        inside = lies_inside(self.cells, self.intervals) | (~self.missing & ~np.isfinite(self.intervals[0][0]))
        # Within one unit of the direct value, and just what a slip prints: only a chain tells which.
        return np.asarray(inside & (~self.is_own | self.only_near) & ~self.missing)


def verdicts(known: Evidence, reached: Reached) -> NDArray[np.int64]:
    """Return the judgement of each answer, the weakest claim first and each stronger one over it."""
    item, cells, one, exact = known.item, known.cells, known.one, known.own[0]
    direct = [*known.own, *known.along]
    missing, slip, only_near = known.missing, known.slip, known.only_near
    # A value that nothing sound can give says that a reading has lost a sign or is not what it seems.
    result = np.where(missing | _beyond(item, exact), int(Judgement.NOT_RECALCULABLE), int(Judgement.WRONG))
    near = Judgement.NEAR_LINE if is_drawn(known.formula) else Judgement.NEAR
    # What only a habit leads to that no other row of the column shows lies near; what only hidden figures do does not.
    far = far_in_a_plain_column(item, one, direct)
    alone = far & ~known.may_leave_out
    led = reached.near | (reached.own | reached.follows) & alone | reached.roughly & ~far | known.by_other_way
    result = np.where(led & ~slip & ~known.off_own_line, int(near), result)
    result = np.where(known.near_line & ~slip & ~known.off_own_line, int(Judgement.NEAR_LINE), result)
    result = np.where(is_right_elsewhere(cells, item, known.intervals), int(Judgement.UNLABELLED), result)
    labelled = known.under_another & ~cells.unlabelled & known.unit_pays
    result = np.where(labelled & ~slip, int(Judgement.OTHER_LABEL), result)
    as_asked = is_right_as_asked(one, item, direct) & (known.unit_pays | item.unit.is_pure_number)
    result = np.where(as_asked, int(Judgement.RIGHT_AS_ASKED), result)
    result = np.where(is_rough(cells, direct), int(Judgement.ROUGH), result)
    is_along = any_of([is_direct(one, value) for value in known.along])
    result = np.where(is_along | (reached.follows & ~alone), int(Judgement.FOLLOWS), result)
    result = np.where(known.is_own | (reached.own & ~alone), int(Judgement.RIGHT), result)
    is_right = (result == int(Judgement.RIGHT)) | (result == int(Judgement.FOLLOWS))
    by_calculator = known.is_own | is_along
    is_doubtful = is_right & (known.off_own_line | known.of_one_row) & ~by_calculator
    result = np.where(is_doubtful, int(near), result)
    # The first reading is no intercept, and no more are tangents sines, however near.
    mistaken = only_near & (~(reached.own | reached.follows) | _is_intercept(known.formula))
    result = np.where(mistaken & ~missing, int(Judgement.WRONG), result)
    result = np.where(_is_miscounted(known, direct), int(Judgement.WRONG), result)
    result = np.where(np.isnan(cells.number), int(Judgement.UNREADABLE), result)
    result = np.where(missing & known.all_there & ~_has_size(cells, exact), int(Judgement.NO_VALUE), result)
    return np.where(cells.given, result, int(Judgement.NOT_GIVEN))


def _is_miscounted(known: Evidence, direct: Sequence[Values]) -> Mask:
    """Tell which answers are not what is counted, to the last half: 2 for a rank of 2.5, 108 for a sum of 109."""
    if not known.is_counted:
        return np.zeros((1, 1), np.bool_)
    with np.errstate(all="ignore"):
        halves = any_of([np.isfinite(one) & (np.rint(2.0 * one) == 2.0 * one) for one in direct])
        is_it = any_of([np.isclose(known.cells.number, one, rtol=0.0, atol=EXACTLY) for one in direct])
        is_small = np.abs(known.cells.number) < MOST_COUNTED
    return np.asarray(halves & is_small & ~is_it & np.isfinite(known.cells.number) & ~known.missing)


def _is_intercept(formula: Formula) -> bool:
    return isinstance(formula.tree, Call) and formula.tree.function == "intercept"


def _beyond(item: Item, exact: Values) -> Mask:
    if item.limits is None:
        return np.zeros(exact.shape, np.bool_)
    low, high = (item.unit.to_si(limit) for limit in item.limits)
    with np.errstate(all="ignore"):
        return np.asarray((exact < low) | (exact > high))


def _has_size(cells: Cells, exact: Values) -> Mask:
    # V / 0 is beyond every size, so a number written there is a matter for the teacher; 0 / 0 is nothing at all.
    return np.isinf(exact) & np.isfinite(cells.number)
