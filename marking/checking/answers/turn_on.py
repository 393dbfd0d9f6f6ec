"""A turn-on value read off a curve, judged by where the student's own points start to rise."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.judged import Judged, Judgement
from marking.checking.answers.written import Board, overlaps, printed_interval
from marking.checking.curves import MODELS, SURE, Shapes
from rubrics.model import Item

Values = NDArray[np.float64]

STANDS_ERRORS = 3.0
"""Standard uncertainties of the fitted turn-on within which an answer stands; they hold how readers differ."""
EARLIEST_SHARE = 0.3
"""Less than this share of the earliest that stands is no reading of this curve."""


def judge_turn_ons(board: Board, curves: Mapping[tuple[str, str], Shapes]) -> dict[str, Judged]:
    """Return every answer of the rubric that is the turn-on value of a curve, judged."""
    return {
        item.name: _judged(board, item, curves[item.turn_on])
        for item in board.rubric.answers
        if item.turn_on is not None
    }


def _judged(board: Board, item: Item, shapes: Shapes) -> Judged:
    cells = board.cells[item.name]
    x = np.abs(board.cells[(item.turn_on or ("", ""))[0]].si)
    with np.errstate(all="ignore"):
        at = np.abs(shapes.turn_on)[:, None]
        room = STANDS_ERRORS * shapes.turn_on_error[:, None]
        low, high = np.maximum(at - room, 0.0), at + room
        largest = np.where(np.isfinite(x), x, 0.0).max(axis=1, keepdims=True)
        is_sure = shapes.probability[:, [MODELS.index("threshold")]] >= SURE
        # The sign only tells which way round the component was.
        low_end, high_end = printed_interval(np.abs(cells.number), cells.coarsest)
        printed = (low_end * cells.factor, high_end * cells.factor)
        stands = overlaps(*printed, low, high)
        possible = overlaps(*printed, EARLIEST_SHARE * low, np.maximum(largest, high))
        # Without a unit it may be in mV, and the point asks for the unit too.
        result = np.where(possible | cells.unlabelled, int(Judgement.UNSURE), int(Judgement.WRONG))
        result = np.where(stands & ~cells.unlabelled, int(Judgement.RIGHT), result)
        result = np.where(is_sure & np.isfinite(high), result, int(Judgement.NOT_RECALCULABLE))
        result = np.where(np.isnan(cells.number), int(Judgement.UNREADABLE), result)
        known = np.where(is_sure, at, np.nan)
    shape = cells.number.shape
    return Judged(
        item=item,
        judgement=np.where(cells.given, result, int(Judgement.NOT_GIVEN)),
        own=known,
        followed=np.full(shape, np.nan),
        unrounded=known,
        own_interval=(low, high),
        meant_interval=(low, high),
        figures=(np.ones(shape, np.int64), np.full(shape, 3, np.int64)),
    )
