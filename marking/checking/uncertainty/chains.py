"""The formulas from a student's readings to one answer, to be worked out with readings moved."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Board, constant_values, evaluate, in_order, ten_to
from marking.checking.fits import FITS, scatter
from marking.checking.uncertainty.jcgm import SMALL_STEP
from rubrics.formulas import Call, Name, walk
from rubrics.model import Item

Values = NDArray[np.float64]

LINES = ("slope", "intercept")


class Chain:
    """The formulas from the readings to one answer, to be worked out with readings moved."""

    def __init__(self, board: Board, item: Item) -> None:
        self.board, self.item = board, item
        needed = {item.name}
        self.formulas: list[Item] = []
        for earlier in reversed(in_order(board.rubric)):
            if earlier.name in needed and earlier.formula is not None:
                self.formulas.insert(0, earlier)
                needed |= set(earlier.formula.names)
        items = board.rubric.items
        self.readings = [items[n] for n in items if n in needed and items[n].formula is None]
        self.calls = [n for one in self.formulas if one.formula for n in walk(one.formula.tree) if isinstance(n, Call)]
        self.exact = constant_values(board.rubric) | {one.name: board.cells[one.name].si for one in self.readings}

    def value(self, changed: Mapping[str, Values]) -> Values:
        """Return the answer with *changed* taking the place of readings or of answers on the way."""
        values = self.exact | dict(changed)
        for answer in self.formulas:
            if answer.formula is not None and answer.name not in changed:
                found = evaluate(answer.formula.tree, values)
                # A mean whose repeats were not handed in is a reading.
                alone = np.isnan(found) if answer.repeats else np.False_
                values[answer.name] = np.where(alone, self.board.cells[answer.name].si, found)
        students = len(self.board.write_ups)
        last = values[self.item.name]
        return np.broadcast_to(last, (students, last.shape[1]))

    def change(self, moves: Mapping[str, Values]) -> Values:
        """Return how far the answer moves when readings or answers are moved, to first order."""
        base = {name: self.column(name) for name in moves}
        above = self.value({name: base[name] + SMALL_STEP * move for name, move in moves.items()})
        below = self.value({name: base[name] - SMALL_STEP * move for name, move in moves.items()})
        return np.asarray((above - below) / (2.0 * SMALL_STEP))

    def column(self, name: str) -> Values:
        """Return what a reading or an answer on the way comes to."""
        if name in self.exact:
            return self.exact[name]
        return Chain(self.board, self.board.rubric.items[name]).value({})

    def half_width(self, item: Item) -> Values:
        """Return the plus-or-minus of one reading: the rubric's, else half of the instrument's smallest step.

        The step is the instrument's, or what was written where that is finer.
        """
        cells = self.board.cells[item.name]
        if item.is_random:  # a count of chance events is uncertain by its root
            return np.sqrt(np.abs(cells.si))
        if item.is_whole_count:
            return np.zeros(cells.si.shape)
        if item.uncertainty is not None:
            return np.full(cells.si.shape, item.unit.change_to_si(item.uncertainty))
        written = ten_to(cells.finest) * cells.factor
        if item.resolution is None:
            return np.asarray(written / 2.0)
        step = item.unit.change_to_si(item.resolution)
        steps = item.unit.from_si(cells.si) / item.resolution
        is_whole = np.abs(steps - np.round(steps)) < 1e-6 * np.maximum(np.abs(steps), 1.0)
        return np.asarray(np.where(is_whole, np.maximum(step, written), written) / 2.0)

    def axes(self) -> list[tuple[str, str]]:
        """Return the (y, x) columns of every straight line that the answer is taken off."""
        pairs = [call.arguments for call in self.calls if call.function in LINES]
        return sorted({(y.name, x.name) for y, x in pairs if isinstance(y, Name) and isinstance(x, Name)})

    def means(self) -> list[str]:
        """Return the columns that the answer takes the mean of."""
        columns = [column for call in self.calls if call.function == "mean" for column in call.columns]
        return sorted({column.name for column in columns if isinstance(column, Name)})

    def fits(self) -> list[tuple[str, list[str]]]:
        """Return the calculated fits that the answer uses: function and names of columns."""
        calls = [call for call in self.calls if call.function in FITS]
        return [(call.function, [one.name for one in call.arguments if isinstance(one, Name)]) for call in calls]

    def _distinct_fits(self) -> list[tuple[str, list[str]]]:
        # Gradient and intercept of one line move with the same points.
        seen = {(function.partition("_")[0], *names): (function, names) for function, names in self.fits()}
        return list(seen.values())

    def fits_variance(self) -> tuple[Values, Values]:
        """Return the variance that errors given with the points, or their scatter, leave, and degrees of freedom."""
        total: Values = np.zeros((1, 1))
        least: Values = np.full((1, 1), np.inf)
        for function, columns in self._distinct_fits():
            y, x, *errors = np.broadcast_arrays(*[self.column(name) for name in columns])
            if not errors:
                spread, freedom = scatter(function, y, x)
                errors, least = [np.broadcast_to(spread, y.shape)], np.minimum(least, freedom)
            for name, error in zip(columns, errors, strict=False):
                for row in range(y.shape[1]):
                    total = total + np.nan_to_num(self.change({name: only_row(error, row)})) ** 2
        return total, least


def only_row(values: Values, row: int) -> Values:
    """Return *values* in one row and zero in the others."""
    alone = np.zeros(values.shape)
    alone[:, row] = values[:, row]
    return alone
