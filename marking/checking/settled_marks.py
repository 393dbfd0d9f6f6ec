"""Answers whose marks can be read two ways, 25,960: read as what their student's own figures lead to.

Neither reading is taken on trust. Each answer is judged with both, and where just one of them is right, it was meant;
else it stays unreadable, and a person looks. What rests on a settled one is judged afterwards.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec.structs import replace

from marking.cells import Entry, Place
from marking.checking.answers import Board, Judgement, in_order, judge, lay_out, unplaced_entry
from marking.write_up import WriteUp
from rubrics.model import Item

_RIGHT = (Judgement.RIGHT, Judgement.FOLLOWS)
_Open = dict[int, dict[int, Entry]]
"""Student, from 0, and row, from 1, to an answer that can be read two ways."""


def with_settled_marks(board: Board) -> Board:
    """Return *board* with those answers read that can be read one way only; itself where there is none."""
    for item in in_order(board.rubric):
        open_ones = _open(board, item)
        if open_ones:
            board = _settled(board, item, open_ones)
    return board


def _open(board: Board, item: Item) -> _Open:
    if item.name not in board.cells:
        return {}
    cells, found = board.cells[item.name], _Open()
    for student, row in np.argwhere(cells.given & np.isnan(cells.number)).tolist():
        entry = unplaced_entry(item, board.write_ups[student], row + 1)
        if entry is not None and entry.ways:
            found.setdefault(student, {})[row + 1] = entry
    return found


def _settled(board: Board, item: Item, open_ones: _Open) -> Board:
    """Return the board with what can be settled of one item."""
    students, own = list(open_ones), [board.write_ups[student] for student in open_ones]
    right = []
    for way in (0, 1):
        tried = [
            _with(one, item, {row: entry.ways[way] for row, entry in open_ones[student].items()})
            for student, one in zip(students, own, strict=True)
        ]
        right.append(np.isin(judge(lay_out(board.rubric, tried))[item.name].judgement, _RIGHT))
    write_ups = list(board.write_ups)
    for position, student in enumerate(students):
        meant = {
            row: entry.ways[0 if right[0][position, row - 1] else 1]
            for row, entry in open_ones[student].items()
            if right[0][position, row - 1] != right[1][position, row - 1]
        }
        if meant:
            places = _places(own[position], item, meant)
            write_ups[student] = replace(_with(own[position], item, meant), settled=(*own[position].settled, *places))
    return lay_out(board.rubric, write_ups)


def _with(write_up: WriteUp, item: Item, meant: Mapping[int, Entry]) -> WriteUp:
    """Return a write-up with some entries of one item read as they were *meant*, by row."""
    if item.table is None:
        (entry,) = meant.values()
        place = write_up.singles[item.name].place
        return replace(write_up, singles={**write_up.singles, item.name: entry.at(place)})
    column = write_up.columns[item.name]
    read = {row: entry.at(column[row].place) for row, entry in meant.items()}
    return replace(write_up, columns={**write_up.columns, item.name: {**column, **read}})


def _places(write_up: WriteUp, item: Item, rows: Mapping[int, Entry]) -> tuple[Place, ...]:
    if item.table is None:
        return (write_up.singles[item.name].place,)
    return tuple(write_up.columns[item.name][row].place for row in rows)
