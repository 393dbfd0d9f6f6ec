"""Where the line of the straight part is asked for: the rows past its end are left out, as if they were not there."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers.judged import Judged
from marking.checking.answers.written import Board, Cells
from marking.checking.fits import straight_part
from rubrics.model import Rubric

Mask = NDArray[np.bool_]


def rows_past(rubric: Rubric, judged: Mapping[str, Judged], board: Board) -> Mask:
    """Return which rows of the graph's table lie past the straight part, (students, rows); none where all is straight.

    By the test of ``fits.straight_part``, on what the readings lead to.
    """
    graph = rubric.graph
    if graph is None or not graph.is_straight_part:
        return np.zeros((1, 1), np.bool_)
    x, y = (judged[name].own if name in judged else board.cells[name].si for name in (graph.x, graph.y))
    part = straight_part(x, y)
    return np.asarray(part.any(axis=1, keepdims=True) & ~part)


def left_out(board: Board, past: Mask) -> Board:
    """Return the board with those rows of the graph's table empty."""
    graph = board.rubric.graph
    assert graph is not None  # only graphs have rows past their straight part
    table = board.rubric.items[graph.x].table
    cells = {
        name: _emptied(one, past) if board.rubric.items[name].table == table else one
        for name, one in board.cells.items()
    }
    return replace(board, cells=cells)


def _emptied(cells: Cells, past: Mask) -> Cells:
    return replace(cells, number=np.where(past, np.nan, cells.number), given=cells.given & ~past)


def joined(every: Mapping[str, Judged], straight: Mapping[str, Judged], past: Mask) -> dict[str, Judged]:
    """Return the answers as judged with every row, those off the line as judged without the rows past its end."""
    who = np.asarray(past.any(axis=1, keepdims=True))
    return {name: _chosen(who, straight[name], one) if one.item.table is None else one for name, one in every.items()}


def _chosen(who: Mask, yes: Judged, no: Judged) -> Judged:
    found = {name: getattr(no, name) for name in no.__struct_fields__}
    for name, value in found.items():
        other = getattr(yes, name)
        if isinstance(value, tuple):
            found[name] = tuple(np.where(who, a, b) for a, b in zip(other, value, strict=True))
        elif name != "item":
            found[name] = np.where(who, other, value)
    return Judged(**found)
