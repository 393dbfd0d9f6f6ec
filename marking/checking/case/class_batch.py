"""A batch of students as the checks ask for it, student by student: lists in the place of arrays, each made once.

To take one number out of an array costs more than to look at it, and checks look at every number of every student.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from functools import cached_property
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import (
    NO_LIMIT,
    Board,
    Cells,
    Judged,
    Judgement,
    Places,
    Points,
    own_gradients,
    unplaced_of,
)
from marking.checking.case.formula_words import FormulaWords
from marking.findings import Explanation
from marking.write_up import State
from rubrics.formulas import Call, Name, walk
from rubrics.model import Item, Role, Rubric

ExplanationTable = Mapping[tuple[str, int, int], tuple[Explanation, ...]]
"""(item, student, row from 0) to what may have happened, likeliest first."""

Numbers = list[list[float]]
"""Student and row, from 0, to a number; NaN where there is none."""
Counts = list[list[int]]

PLACES_COMPARED = 9
"""Decimal places to which two readings are compared: only the noise of binary numbers is below."""
FIGURES_IN_A_WHOLE_NUMBER = 2
"""A whole number that ends in zeros shows at least so many figures, where it has them (common practice, no source)."""
_OF_REPEATS = frozenset({"mean", "median", "stdev", "sum", "concordant", "count"})
RIGHT_IN_ANOTHER_UNIT = (Judgement.RIGHT_AS_ASKED, Judgement.OTHER_LABEL)
"""Of numbers that are right in another unit than the one beside them."""
_JUDGEMENTS = {int(one): one for one in Judgement}
Key = TypeVar("Key", bound=Hashable)
Made = TypeVar("Made")


class Once(dict[Key, Made]):
    """Name of an item to what is made of it when it is first asked for; as many as a rubric has items."""

    __slots__ = ("_make",)

    def __init__(self, make: Callable[[Key], Made]) -> None:
        """Take what makes it."""
        super().__init__()
        self._make = make

    def __missing__(self, name: Key) -> Made:
        made = self[name] = self._make(name)
        return made


class Batch:
    """What was laid out, judged and explained of some students, and what sentences quote of each formula."""

    def __init__(
        self,
        board: Board,
        judged: Mapping[str, Judged],
        explanations: ExplanationTable,
        certain: ExplanationTable,
    ) -> None:
        """Take what is known of the batch.

        Args:
            board: What was written.
            judged: Every answer, judged.
            explanations: What may have happened to wrong answers.
            certain: Those of answers whose cause arithmetic alone makes certain, whatever the class has shown.
        """
        self.board, self.judged = board, judged
        self.explanations, self.certain = explanations, certain
        rubric, cells = board.rubric, board.cells
        self.judgements: Once[str, list[list[Judgement]]] = Once(lambda name: _judgements(judged[name].judgement))
        """What each answer to an item is worth."""
        self.own: Once[str, Numbers] = Once(lambda name: judged[name].own.tolist())
        """What the readings lead to, in SI units."""
        self.followed: Once[str, Numbers] = Once(lambda name: judged[name].followed.tolist())
        """What the earlier answers that were given lead to, in SI units."""
        self.si: Once[str, Numbers] = Once(lambda name: cells[name].si.tolist())
        """What was written of an item, in SI units."""
        self.in_own_unit: Once[str, Numbers] = Once(lambda name: _in_own_unit(board, name).tolist())
        """What was written of an item, in the item's unit."""
        self.compared: Once[str, Numbers] = Once(
            lambda name: np.round(_in_own_unit(board, name), PLACES_COMPARED).tolist()
        )
        """The same as far as two readings are compared."""
        self.printed_si: Once[str, tuple[Numbers, Numbers]] = Once(lambda name: _both(*cells[name].printed_si()))
        """The least and the most that each printed number may stand for, rounded or cut off, in SI units."""
        self.clear: Once[str, list[bool]] = Once(lambda name: _each(cells[name].clear))
        """Whether all that was written of an item is numbers in units of its quantity, by student."""
        self.plain: Once[str, list[bool]] = Once(lambda name: _each(cells[name].plain))
        """Whether they are in its own unit, so that nothing is to be asked, by student."""
        self.first: Once[str, list[int]] = Once(lambda name: _first(cells[name].given))
        """The first row, from 1, in which anything was written of an item; 0 where nothing was."""
        self.rows: Once[str, list[list[int]]] = Once(lambda name: _rows_expected(board, name))
        """The rows, from 1, in which an item of a table should stand, by student."""
        self.places: Once[str, list[tuple[int, int] | None]] = Once(lambda name: _common_places(cells[name]))
        """What decimal places all numbers of an item have, and the first row with one, by student."""
        self.figures: Once[str, tuple[Counts, Counts]] = Once(
            lambda name: _both(cells[name].fewest_figures, cells[name].most_figures)
        )
        """The fewest and the most significant figures that each number may have."""
        self.figures_wanted: Once[str, tuple[Counts, Counts]] = Once(
            lambda name: _both(*_figures_wanted(rubric.items[name], cells[name], judged.get(name)))
        )
        """The fewest and the most significant figures that each number should have."""
        self.figures_astray: Once[str, list[bool]] = Once(
            lambda name: _figures_astray(rubric.items[name], cells[name], judged.get(name)).tolist()
        )
        """Whether any number of an item has more or fewer figures than it should, by student."""
        self.unit_astray: Once[str, list[bool]] = Once(lambda name: _unit_astray(cells[name], judged[name]).tolist())
        """Whether the unit of any answer to an item may be another than the one asked for, by student."""
        self.plotted: Once[tuple[str, str], Points] = Once(
            lambda axes: Points.of(*(judged[name].own if name in judged else cells[name].si for name in axes))
        )
        """The points of a graph, by the columns across and up, as the readings lead to them."""
        words: Once[str, FormulaWords] = Once(lambda name: FormulaWords(rubric, rubric.items[name]))
        self.words = words  # nothing here holds the batch itself: it has to go without the cycle collector
        """What sentences quote of an answer's formula."""
        self.earlier: Once[str, list[Item]] = Once(
            lambda name: [one for one in words[name].inputs if one.name in judged]
        )
        """The answers that were judged among what goes into an item."""
        self.averaged: Once[str, bool] = Once(lambda name: _is_averaged(rubric, name))
        """Whether the rows of a column are repeats of one quantity: equal ones count as often as they stand."""

    @cached_property
    def own_gradients(self) -> tuple[list[float], list[float]]:
        """Return the lowest and the highest gradient that the points read off may stand for, by student, in SI units.

        NaN where a student shows no line.
        """
        low, high = own_gradients(self.board)
        return low[:, 0].tolist(), high[:, 0].tolist()


def _rows_expected(board: Board, name: str) -> list[list[int]]:
    """Return the rows in which the table of an item holds a reading, or the item itself, by student."""
    table, width = board.rubric.items[name].table, board.rows[board.rubric.items[name].table or ""]
    there = np.zeros((len(board.write_ups), width), np.bool_)
    for other in board.rubric.columns:
        if other.table == table and (other.role is Role.READING or other.name == name):
            there |= _given_words(board, other, width) if other.is_words else board.cells[other.name].given
    return [[row for row, is_there in enumerate(one, start=1) if is_there] for one in there.tolist()]


def _given_words(board: Board, item: Item, width: int) -> NDArray[np.bool_]:
    """Return where words stand, which no array holds; shape (students, rows)."""
    there = np.zeros((len(board.write_ups), width), np.bool_)
    for student, write_up in enumerate(board.write_ups):
        for row, entry in unplaced_of(item, write_up):
            there[student, row - 1] = entry.state is not State.BLANK
    return there


def _first(there: NDArray[np.bool_]) -> list[int]:
    rows: list[int] = np.where(there.any(axis=1), there.argmax(axis=1) + 1, 0).tolist()
    return rows


def _each(flags: NDArray[np.bool_]) -> list[bool]:
    return [all(row) for row in flags.tolist()]


def _common_places(cells: Cells) -> list[tuple[int, int] | None]:
    """Return the places that all numbers have, and the first row with one; None where they have to be looked at.

    That is where not all are clear, where none is but noughts, which have no places to speak of, and where they differ.
    """
    there = np.isfinite(cells.number) & (cells.number != 0)
    places = np.maximum(-cells.finest, 0)
    least, most = np.where(there, places, np.iinfo(np.int64).max).min(axis=1), np.where(there, places, -1).max(axis=1)
    alike = cells.clear.all(axis=1) & (least == most)
    found = zip(alike.tolist(), most.tolist(), _first(there), strict=True)
    return [(own, first) if is_alike else None for is_alike, own, first in found]


def _figures_wanted(item: Item, cells: Cells, judged: Judged | None) -> tuple[Places, Places]:
    """Return how many figures are wanted at the least and at the most, both of the shape of the board.

    Of an answer with a formula as many as the least precise reading behind it, or one more; any of the item's own
    window are always enough. The trailing zeros of a whole number may count or not: 30 mm beside 67 mm is no reason for
    an answer of one figure, as 0.4 A is.
    """
    low, high = (np.full(cells.number.shape, count, np.int64) for count in item.figures)
    if judged is None:
        return low, high
    fewest, most = judged.figures
    fewest = np.where(most < NO_LIMIT, np.maximum(fewest, np.minimum(most, FIGURES_IN_A_WHOLE_NUMBER)), fewest)
    low = np.where(cells.number == 0, 1, low)  # nought has no figures to speak of
    return np.minimum(fewest, low), np.maximum(np.where(most < NO_LIMIT, most, high) + 1, high)


def _figures_astray(item: Item, cells: Cells, judged: Judged | None) -> NDArray[np.bool_]:
    low, high = _figures_wanted(item, cells, judged)
    is_astray = (cells.fewest_figures > high) | (cells.most_figures < low)
    return np.asarray((np.isfinite(cells.number) & is_astray).any(axis=1))


def _unit_astray(cells: Cells, judged: Judged) -> NDArray[np.bool_]:
    return np.asarray((~cells.plain | np.isin(judged.judgement, RIGHT_IN_ANOTHER_UNIT)).any(axis=1))


def _is_averaged(rubric: Rubric, name: str) -> bool:
    return any(
        isinstance(node, Call) and node.function in _OF_REPEATS and Name(name) in node.arguments
        for answer in rubric.items.values()
        if answer.formula is not None
        for node in walk(answer.formula.tree)
    )


def _in_own_unit(board: Board, name: str) -> NDArray[np.float64]:
    return board.rubric.items[name].unit.from_si(board.cells[name].si)


def _both(one: NDArray[Any], other: NDArray[Any]) -> tuple[list[list[Any]], list[list[Any]]]:
    return one.tolist(), other.tolist()


def _judgements(found: NDArray[np.int64]) -> list[list[Judgement]]:
    return [[_JUDGEMENTS[one] for one in row] for row in found.tolist()]
