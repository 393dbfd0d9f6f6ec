"""A student's own uncertainty answers: which of the conventions in use could have given them.

Half a division or a whole one at either end, half the range of repeats or all of it, their standard deviation or
standard error, percentages added, the steepest and the flattest line: whatever lies between the smallest and
the largest of these stands. A rule of thumb of the school that the rubric does not state (0.2 s for a hand on a
stopwatch) may lie well outside, so outside the range a teacher looks; only what no convention comes near is wrong.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Board, Cells, Interval, Judged, Judgement, column_value, overlaps, printed_interval
from marking.checking.uncertainty.at_school import school_uncertainty
from marking.checking.uncertainty.chains import Chain
from marking.checking.uncertainty.of_answers import answer_uncertainty
from rubrics.model import Item

Values = NDArray[np.float64]

WHOLE = 2.0
"""A whole division, or the whole range, for half of it."""
FAR = 10.0
"""What is this many times outside the range is near no convention, unless it is a small share of the value."""
SMALL_SHARE = 0.2
"""A plus-or-minus up to this share of the value may be a rule of thumb: a teacher looks."""
ROUNDING = 0.1
"""Room for parts that were rounded before they were added."""


def judge_uncertainties(board: Board) -> dict[str, Judged]:
    """Return every answer of the rubric that is an uncertainty of something else, judged."""
    with np.errstate(all="ignore"):
        return {item.name: _judged(board, item) for item in board.rubric.answers if item.uncertainty_of is not None}


def _judged(board: Board, item: Item) -> Judged:
    of = board.rubric.items[item.uncertainty_of or ""]
    cells = board.cells[item.name]
    value, low, middle, high = _range(board, item, of)
    sizes = [value]
    if is_relative(item, of):
        stated = np.abs(board.cells[of.name].si)
        sizes = [value, column_value("mean", [stated]) if item.table is None else stated]
        divisor = np.stack(np.broadcast_arrays(*sizes))
        low, high = low / np.fmax.reduce(divisor), high / np.fmin.reduce(divisor)
        middle = middle / value
        sizes = [np.ones((1, 1))]
    shape = cells.number.shape
    low, middle, high = (np.broadcast_to(one, shape) for one in (low * (1 - ROUNDING), middle, high * (1 + ROUNDING)))
    largest = np.maximum(high * FAR, SMALL_SHARE * np.fmax.reduce(np.stack(np.broadcast_arrays(*sizes))))
    return Judged(
        item=item,
        judgement=_judgement(cells, (low, high), (low / FAR, largest)),
        own=middle,
        followed=np.full(shape, np.nan),
        unrounded=middle,
        own_interval=(low, high),
        meant_interval=(low, high),
        figures=(np.ones(shape, np.int64), np.full(shape, 2, np.int64)),
    )


def is_relative(item: Item, of: Item) -> bool:
    """Tell whether *item* gives the uncertainty of *of* in per cent."""
    return item.unit.symbol == "%" and of.unit.symbol != "%"


def _range(board: Board, item: Item, of: Item) -> tuple[Values, Values, Values, Values]:
    """Return the size of the value, and the smallest, the usual and the largest plus-or-minus in use, in SI units."""
    if of.table is not None and item.table is None:
        return _of_repeats(board, of)
    if of.formula is None:
        half = Chain(board, of).half_width(of)
        return np.abs(board.cells[of.name].si), half, half, WHOLE * half
    standard, school = answer_uncertainty(board, of), school_uncertainty(board, of).plus_minus
    return np.abs(standard.value), standard.standard, school, WHOLE * school


def _of_repeats(board: Board, of: Item) -> tuple[Values, Values, Values, Values]:
    chain = Chain(board, of)
    column = chain.value({})
    used = np.isfinite(column)
    count = used.sum(axis=1, keepdims=True)
    if of.formula is None:
        half = np.where(used, chain.half_width(of), 0.0)
    else:
        half = np.where(used, school_uncertainty(board, of).plus_minus, 0.0)
    half = half.sum(axis=1, keepdims=True) / count
    spread = column_value("max", [column]) - column_value("min", [column])
    mean = column_value("mean", [column])
    away = np.where(used, column - mean, 0.0)
    error = np.sqrt((away**2).sum(axis=1, keepdims=True) / np.maximum(count - 1, 1) / count)
    smallest = np.minimum(half, np.minimum(error, spread / 2.0))
    return np.abs(mean), smallest, np.maximum(half, spread / 2.0), WHOLE * np.maximum(half, spread / 2.0)


def _judgement(cells: Cells, stands: Interval, possible: Interval) -> NDArray[np.int64]:
    low, high = printed_interval(np.abs(cells.number), cells.coarsest)
    printed = (low * cells.factor, high * cells.factor)
    result = np.where(overlaps(*printed, *possible), int(Judgement.UNSURE), int(Judgement.WRONG))
    result = np.where(overlaps(*printed, *stands), int(Judgement.RIGHT), result)
    # A plus-or-minus of nothing is half the range of equal repeats, and no other convention's.
    none = cells.number == 0
    result = np.where(none, np.where(stands[0] == 0, int(Judgement.RIGHT), int(Judgement.UNSURE)), result)
    result = np.where(np.isfinite(stands[0]) & np.isfinite(stands[1]), result, int(Judgement.NOT_RECALCULABLE))
    # Without a unit the number may be in any other, or in per cent.
    result = np.where(cells.unlabelled & (result != int(Judgement.RIGHT)), int(Judgement.UNSURE), result)
    result = np.where(np.isnan(cells.number), int(Judgement.UNREADABLE), result)
    return np.where(cells.given, result, int(Judgement.NOT_GIVEN))
