"""How well a class's answers are known, each from its own readings: resolution and scatter, carried through.

Every reading that an answer rests on is moved by its uncertainty and the whole chain of formulas worked
out again (JCGM 100:2008, 5.1.2 and the note to 5.1.3), so that a rubric needs to say nothing. Scatter
comes from the rows of a table: about their mean where a mean is taken (all columns of a row moving
together, which keeps their correlation: H.2, the second approach), about the line where a gradient is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marking.checking.board import Board
from marking.checking.evaluation import evaluate
from marking.checking.judging import constant_values, in_order
from marking.checking.lines import fit_lines
from marking.checking.rounding import ten_to
from marking.checking.uncertainty import SMALL_STEP
from rubrics.formula import Call, Name, walk
from rubrics.model import Item, Role

Values = NDArray[np.float64]

_LINES = ("slope", "intercept")


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerUncertainty:
    """One answer of the whole class; arrays of shape (students, rows), in coherent SI units."""

    value: Values
    """What the readings lead to; NaN where they lead to nothing."""
    standard: Values
    """Standard uncertainty."""
    freedom: Values
    """Degrees of freedom; infinite where the instruments' resolution decides."""


def answer_uncertainty(board: Board, item: Item) -> AnswerUncertainty:
    """Return what the readings of a class lead to for *item*, a number, and how well that is known."""
    work = _Chain(board, item)
    with np.errstate(all="ignore"):
        value = work.value({})
        singles = sum((work.change({name: step}) ** 2 for name, step in work.single_steps()), np.zeros(value.shape))
        resolution, scatter = work.table_resolution(), work.scatter()
        # Scatter holds the resolution of the readings already, except where it hides behind equal readings.
        by_scatter = scatter > resolution
        table = np.where(by_scatter, scatter, resolution)
        total = singles + table
        freedom = np.where(by_scatter, work.freedom() * (total / table) ** 2, np.inf)
        return AnswerUncertainty(
            value=value,
            standard=np.where(np.isfinite(value), np.sqrt(total), np.nan),
            freedom=np.broadcast_to(freedom, value.shape),
        )


class _Chain:
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
        self.readings = [items[n] for n in items if n in needed and items[n].role is Role.READING]
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
        base = {name: self._column(name) for name in moves}
        above = self.value({name: base[name] + SMALL_STEP * move for name, move in moves.items()})
        below = self.value({name: base[name] - SMALL_STEP * move for name, move in moves.items()})
        return np.asarray((above - below) / (2.0 * SMALL_STEP))

    def _column(self, name: str) -> Values:
        if name in self.exact:
            return self.exact[name]
        return _Chain(self.board, self.board.rubric.items[name]).value({})

    def single_steps(self) -> list[tuple[str, Values]]:
        """Return the readings that move on their own, with the standard uncertainty of their resolution."""
        per_row = self.item.table is not None
        return [(one.name, self._resolution(one)) for one in self.readings if one.table is None or per_row]

    def _resolution(self, item: Item) -> Values:
        """Return step / sqrt(12) (F.2.2.1); the step is the instrument's, or what was written where that is finer."""
        cells = self.board.cells[item.name]
        written = ten_to(cells.finest) * cells.factor
        if item.resolution is None:
            return np.asarray(written / np.sqrt(12.0))
        step = item.resolution * item.unit.factor
        steps = (cells.si - item.unit.offset) / step
        is_whole = np.abs(steps - np.round(steps)) < 1e-6 * np.maximum(np.abs(steps), 1.0)
        return np.asarray(np.where(is_whole, np.maximum(step, written), written) / np.sqrt(12.0))

    def table_resolution(self) -> Values:
        """Return the variance that the resolution of a table's readings leaves in an answer drawn from all rows."""
        total: Values = np.zeros((1, 1))
        if self.item.table is not None:
            return total
        for one in self.readings:
            if one.table is None:
                continue
            error = self._resolution(one)
            if any(call.function in _LINES for call in self.calls):
                for row in range(error.shape[1]):
                    total = total + np.nan_to_num(self.change({one.name: _only(error, row)})) ** 2
            else:
                # The same instrument was off the same way in every repeat.
                total = total + np.nan_to_num(self.change({one.name: error})) ** 2
        return total

    def scatter(self) -> Values:
        """Return the variance that the scatter of a table's rows leaves in an answer drawn from all of them."""
        if self.item.table is not None:
            return np.zeros((1, 1))
        return self._about_means() + self._about_lines()

    def _about_means(self) -> Values:
        means = [column for call in self.calls if call.function == "mean" for column in call.columns]
        names = {column.name for column in means if isinstance(column, Name)}
        together: Values = np.zeros((1, 1))
        count: Values = np.full((1, 1), np.nan)
        for name in sorted(names):
            column = self._column(name)
            used = np.isfinite(column)
            count = used.sum(axis=1, keepdims=True).astype(np.float64)
            away = np.where(used, column - np.where(used, column, 0.0).sum(axis=1, keepdims=True) / count, 0.0)
            spread = np.sqrt((away**2).sum(axis=1, keepdims=True))
            # The change that a column moved as a whole makes, for each unit it is moved by.
            partial = self.change({name: np.broadcast_to(spread, column.shape)}) / spread
            together = together + np.where(spread > 0, partial, 0.0) * away
        return np.asarray(np.nan_to_num((together**2).sum(axis=1, keepdims=True) / (count * (count - 1))))

    def _about_lines(self) -> Values:
        total: Values = np.zeros((1, 1))
        for y_name, x_name in sorted(self._axes()):
            y, x = np.broadcast_arrays(self._column(y_name), self._column(x_name))
            fit = fit_lines(x, y)
            residual = np.where(np.isfinite(x) & np.isfinite(y), y - fit.intercept - fit.slope * x, 0.0)
            spread = np.sqrt((residual**2).sum(axis=1, keepdims=True) / np.where(fit.count > 2, fit.count - 2, np.nan))
            error = np.broadcast_to(spread, y.shape)
            for row in range(y.shape[1]):
                total = total + np.nan_to_num(self.change({y_name: _only(error, row)})) ** 2
        return total

    def _axes(self) -> set[tuple[str, str]]:
        pairs = [call.arguments for call in self.calls if call.function in _LINES]
        return {(y.name, x.name) for y, x in pairs if isinstance(y, Name) and isinstance(x, Name)}

    def freedom(self) -> Values:
        """Return rows less the values fitted to them, of the least of the columns that were reduced."""
        found: Values = np.full((1, 1), np.inf)
        for call in self.calls:
            names = [argument.name for argument in call.arguments if isinstance(argument, Name)]
            if call.function in (*_LINES, "mean") and call.columns:
                used = np.logical_and.reduce(np.broadcast_arrays(*[np.isfinite(self._column(n)) for n in names]))
                found = np.minimum(found, used.sum(axis=1, keepdims=True) - len(names))
        return found


def _only(values: Values, row: int) -> Values:
    alone = np.zeros(values.shape)
    alone[:, row] = values[:, row]
    return alone
