"""The line that a student drew, as the two points that they read off it tell.

How far a line may be drawn from the fitted one is a question only where nobody has seen it. Whoever writes two points
of it down shows it: what they take off it lies by these.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers.written import Board, printed_interval
from rubrics.formulas import Call, Name
from rubrics.model import Item, Rubric

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]
Interval = tuple[Values, Values]

READ_AGAIN_SHARE = 0.03
"""The same line read off at two other points gives a gradient up to this much off: half a small square at each end of
half an axis; common practice, no source."""
MOST_READ_AGAIN_SHARE = 0.05
"""And no more than this where the points were written with few figures: 0.2 is mostly a line of the grid."""


def is_gradient(rubric: Rubric, item: Item) -> bool:
    """Tell whether an answer is the gradient of the graph on paper, of which two points are asked for."""
    graph = rubric.graph
    tree = item.formula.tree if item.formula is not None else None
    if graph is None or not graph.read_off or not isinstance(tree, Call):
        return False
    return tree == Call("slope", (Name(graph.y), Name(graph.x)))


def own_gradients(board: Board) -> Interval:
    """Return the lowest and the highest gradient that the two points read off may stand for, in SI units.

    Returns:
        Both ends, each (students, 1); NaN where a point is missing or the two stand one above the other.
    """
    graph = board.rubric.graph
    nowhere = np.full((len(board.write_ups), 1), np.nan)
    if graph is None or len(graph.read_off) != 4:
        return nowhere, nowhere
    if not all(board.cells[name].given.any() for name in graph.read_off):
        return nowhere, nowhere  # as in most classes: nobody wrote two points down
    ends = []
    for name in graph.read_off:
        cells = board.cells[name]
        factor, offset = cells.factor[:, :1], cells.offset[:, :1]
        low, high = printed_interval(cells.number[:, :1], cells.finest[:, :1])
        ends.append((low * factor + offset, high * factor + offset))
    x1, y1, x2, y2 = ends
    with np.errstate(all="ignore"):
        has_run = (np.maximum(*x1) < np.minimum(*x2)) | (np.maximum(*x2) < np.minimum(*x1))
        every = [(d - b) / (c - a) for a in x1 for b in y1 for c in x2 for d in y2]
        known = np.isfinite(every).all(axis=0) & has_run
        low, high = np.minimum.reduce(every), np.maximum.reduce(every)
        return np.where(known, low, np.nan), np.where(known, high, np.nan)


class OwnLine(Struct, frozen=True):
    """What the points that were read off say of the answers to one item."""

    is_off: Mask
    """The answer is not the gradient of the line that its student shows, however it was read; (students, 1)."""

    @classmethod
    def of(cls, board: Board, item: Item) -> OwnLine:
        """Return it for the answers of a class; of what is no gradient of the graph it says nothing."""
        if not is_gradient(board.rubric, item):
            return cls(np.zeros((1, 1), np.bool_))
        low, high = own_gradients(board)
        middle = 0.5 * (low + high)
        cells = board.cells[item.name]
        printed = [end * cells.factor for end in printed_interval(cells.number, cells.trusted)]
        with np.errstate(all="ignore"):
            rounded = 0.5 * (high - low) / np.abs(middle)
            room = np.clip(rounded, READ_AGAIN_SHARE, MOST_READ_AGAIN_SHARE) * np.abs(middle)
            return cls((np.maximum(*printed) < middle - room) | (np.minimum(*printed) > middle + room))
