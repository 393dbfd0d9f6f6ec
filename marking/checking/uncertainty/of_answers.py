"""How well a class's answers are known, each from its own readings: resolution and scatter, carried through.

Every reading that an answer rests on is moved by its uncertainty and the whole chain of formulas worked
out again (JCGM 100:2008, 5.1.2 and the note to 5.1.3), so that a rubric needs to say nothing. Scatter
comes from the rows of a table: about their mean where a mean is taken (all columns of a row moving
together, which keeps their correlation: H.2, the second approach), about the line where a gradient is.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Board
from marking.checking.fits import FITS, fit_lines
from marking.checking.uncertainty.chains import LINES, Chain, only_row
from marking.checking.uncertainty.jcgm import rectangular
from rubrics.formulas import Name
from rubrics.model import Item

Values = NDArray[np.float64]


class AnswerUncertainty(Struct, frozen=True, kw_only=True):
    """One answer of the whole class; arrays of shape (students, rows), in coherent SI units."""

    value: Values
    """What the readings lead to; NaN where they lead to nothing."""
    standard: Values
    """Standard uncertainty."""
    freedom: Values
    """Degrees of freedom; infinite where the instruments' resolution decides."""


def answer_uncertainty(board: Board, item: Item) -> AnswerUncertainty:
    """Return what the readings of a class lead to for *item*, a number, and how well that is known."""
    work = _Uncertain(board, item)
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


class _Uncertain(Chain):
    """One answer's chain, with what resolution and scatter leave in it."""

    def single_steps(self) -> list[tuple[str, Values]]:
        """Return the readings that move on their own, with the standard uncertainty of their resolution."""
        per_row = self.item.table is not None
        return [
            (one.name, rectangular(1.0) * self.half_width(one)) for one in self.readings if one.table is None or per_row
        ]

    def table_resolution(self) -> Values:
        """Return the variance that the resolution of a table's readings leaves in an answer drawn from all rows."""
        total: Values = np.zeros((1, 1))
        if self.item.table is not None:
            return total
        for one in self.readings:
            if one.table is None:
                continue
            error = rectangular(1.0) * self.half_width(one)
            if any(call.function in (*LINES, *FITS) for call in self.calls):
                for row in range(error.shape[1]):
                    total = total + np.nan_to_num(self.change({one.name: only_row(error, row)})) ** 2
            else:
                # The same instrument was off the same way in every repeat.
                total = total + np.nan_to_num(self.change({one.name: error})) ** 2
        return total

    def scatter(self) -> Values:
        """Return the variance that the scatter of a table's rows leaves in an answer drawn from all of them."""
        if self.item.table is not None:
            return np.zeros((1, 1))
        return self._about_means() + self._about_lines() + self.fits_variance()[0]

    def _about_means(self) -> Values:
        together: Values = np.zeros((1, 1))
        count: Values = np.full((1, 1), np.nan)
        for name in self.means():
            column = self.column(name)
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
        for y_name, x_name in self.axes():
            y, x = np.broadcast_arrays(self.column(y_name), self.column(x_name))
            fit = fit_lines(x, y)
            residual = np.where(np.isfinite(x) & np.isfinite(y), y - fit.intercept - fit.slope * x, 0.0)
            spread = np.sqrt((residual**2).sum(axis=1, keepdims=True) / np.where(fit.count > 2, fit.count - 2, np.nan))
            error = np.broadcast_to(spread, y.shape)
            for row in range(y.shape[1]):
                total = total + np.nan_to_num(self.change({y_name: only_row(error, row)})) ** 2
        return total

    def freedom(self) -> Values:
        """Return rows less the values fitted to them, of the least of the columns that were reduced."""
        found = self.fits_variance()[1]
        for call in self.calls:
            names = [argument.name for argument in call.arguments if isinstance(argument, Name)]
            if call.function in (*LINES, "mean") and call.columns:
                used = np.logical_and.reduce(np.broadcast_arrays(*[np.isfinite(self.column(n)) for n in names]))
                found = np.minimum(found, used.sum(axis=1, keepdims=True) - len(names))
        return found
