"""How well a class's answers are known, in the school's form: a plus-or-minus instead of a standard uncertainty.

A single reading has half a division (or what the rubric says the school quotes), repeats have half their range,
a line has half of what lies between its steepest and its shallowest. What they leave in an answer is added up,
which is the rule of adding percentages along a product. Common practice; worked examples in the tests.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Board, column_value, steepest_and_shallowest
from marking.checking.fits import DRAWN_ERRORS, fit_lines
from marking.checking.uncertainty.chains import Chain
from marking.findings import UncertaintyForm
from rubrics.model import Item

Values = NDArray[np.float64]


class SchoolUncertainty(Struct, frozen=True, kw_only=True):
    """One answer of the whole class."""

    plus_minus: Values
    """Shape (students, rows), in coherent SI units; NaN where the readings lead to nothing."""
    form: UncertaintyForm
    """Where the larger part of it comes from, by the formula."""


def school_uncertainty(board: Board, item: Item) -> SchoolUncertainty:
    """Return the plus-or-minus of *item*, a number, for every student of *board*."""
    work = _School(board, item)
    with np.errstate(all="ignore"):
        value = work.value({})
        total = np.abs(work.of_single_readings()) + work.of_means() + work.of_lines()
        return SchoolUncertainty(plus_minus=np.where(np.isfinite(value), total, np.nan), form=work.form)


class _School(Chain):
    """One answer's chain, with the plus-or-minus of what it starts from."""

    @property
    def form(self) -> UncertaintyForm:
        if self.axes() or self.fits():
            return UncertaintyForm.LINE
        return UncertaintyForm.REPEATS if self.means() else UncertaintyForm.READINGS

    def of_single_readings(self) -> Values:
        """Return the changes that the readings outside any mean or line make, added up."""
        per_row = self.item.table is not None
        total: Values = np.zeros((1, 1))
        for one in self.readings:
            if one.table is None or per_row:
                total = total + np.nan_to_num(np.abs(self.change({one.name: self.half_width(one)})))
        return total

    def of_means(self) -> Values:
        """Return the changes that half the range of each repeated column makes, or the plus-or-minus of one row."""
        total: Values = np.zeros((1, 1))
        for name in self.means():
            column = self.column(name)
            spread = column_value("max", [column]) - column_value("min", [column])
            half = np.maximum(spread / 2.0, self._least(name))
            if self.board.rubric.items[name].is_whole_count:
                half = self._of_scatter(column)
            total = total + np.nan_to_num(np.abs(self.change({name: np.broadcast_to(half, column.shape)})))
        return total

    @staticmethod
    def _of_scatter(column: Values) -> Values:
        """Return two standard errors of the mean of counts: their range says nothing of a mean of many."""
        count = np.isfinite(column).sum(axis=1, keepdims=True)
        away = np.nan_to_num(column - np.nansum(column, axis=1, keepdims=True) / count)
        variance = (away**2).sum(axis=1, keepdims=True) / np.maximum(count - 1, 1)
        return np.asarray(DRAWN_ERRORS * np.sqrt(variance / count))

    def _least(self, name: str) -> Values:
        """Return the mean plus-or-minus of one row of a column, shape (students, 1)."""
        used = np.isfinite(self.column(name))
        bars = np.where(used, self._bars(name), 0.0)
        return np.asarray(bars.sum(axis=1, keepdims=True) / used.sum(axis=1, keepdims=True))

    def of_lines(self) -> Values:
        """Return the changes that tilting each line to its steepest or shallowest makes.

        Where the error bars are shorter than the scatter no line passes through them all: then two standard
        errors take their place.
        """
        total: Values = DRAWN_ERRORS * np.sqrt(self.fits_variance()[0])
        for y_name, x_name in self.axes():
            y, x = np.broadcast_arrays(self.column(y_name), self.column(x_name))
            bars = [np.broadcast_to(self._bars(name), y.shape) for name in (x_name, y_name)]
            steepest, shallowest = steepest_and_shallowest(x, y, *bars)
            fit = fit_lines(x, y)
            tilt = np.fmax((steepest - shallowest) / 2.0, np.nan_to_num(DRAWN_ERRORS * fit.slope_error))
            used = np.isfinite(x) & np.isfinite(y)
            middle = np.where(used, x, 0.0).sum(axis=1, keepdims=True) / fit.count
            moved = np.where(used, tilt * (x - middle), 0.0)
            total = total + np.nan_to_num(np.abs(self.change({y_name: moved})))
        return total

    def _bars(self, name: str) -> Values:
        bars = _School(self.board, self.board.rubric.items[name])
        return bars.half_width(bars.item) if bars.item.formula is None else bars.of_single_readings()
