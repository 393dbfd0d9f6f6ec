"""Answers as they were printed, and what prints them: rounded or cut off to the same figures."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.board import Cells
from marking.checking.answers.rounding import RELATIVE_NOISE, Places, magnitude, ten_to

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

FIGURES_WITH_A_UNIT_EITHER_WAY = 3
"""From so many figures on, the direct value stands with its last place one up or down."""
FIGURES_CUT_OFF = 3
"""From so many figures on, the answer of a chain may be cut off as well as rounded."""
_SURE_SHARE = 1e-6
"""Of the last place; half a unit up or down is told to this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """Some printed answers, arrays of shape (answers,) or of the board's."""

    number: Values
    factor: Values
    offset: Values
    last: Places
    """Position of the last digit that counts."""
    finest: Places
    most_figures: Places

    def at(self, students: NDArray[np.int64], rows: NDArray[np.int64]) -> Printed:
        """Return some of the answers."""
        return Printed(
            number=self.number[students, rows],
            factor=self.factor[students, rows],
            offset=self.offset[students, rows],
            last=self.last[students, rows],
            finest=self.finest[students, rows],
            most_figures=self.most_figures[students, rows],
        )

    @property
    def is_one_figure(self) -> Mask:
        """Tell which have a single figure that counts, and are judged by distance."""
        return np.asarray((magnitude(self.number) <= self.last) & (self.number != 0))

    def is_printed_by(self, low: Values, high: Values, *, distance: bool = True) -> Mask:
        """Tell which are what a value between *low* and *high* (SI units) comes to, rounded or cut off.

        A single figure is judged by *distance*, half a unit of its own place, for cut off it says next to nothing;
        so is what lies between two values.
        """
        low, high = _ordered((low - self.offset) / self.factor, (high - self.offset) / self.factor)
        unit = ten_to(self.last)
        # A display of ten figures goes down to where binary arithmetic is not sure.
        noise = np.maximum(_SURE_SHARE * unit, RELATIVE_NOISE * np.abs(self.number))
        # Cut off, 7.5 is not 7.4: the whole unit outwards is never reached.
        # What a drawn line allows has no need of a last figure cut off.
        by_half = distance & (self.is_one_figure | (high > low))
        out = np.where(by_half, 0.5 * unit + noise, np.maximum(unit * (1 - _SURE_SHARE), noise))
        up = np.where(self.number < 0, 0.5 * unit + noise, out)
        down = np.where(self.number > 0, 0.5 * unit + noise, out)
        return np.asarray((low <= self.number + up) & (high >= self.number - down))

    def is_reached_by(self, low: Values, high: Values) -> Mask:
        """Tell which are what a chain of kept steps comes to; an answer of two figures was rounded, not cut off."""
        few = magnitude(self.number) - self.last + 1 < FIGURES_CUT_OFF
        in_full = replace(self, last=self.finest)
        unit = ten_to(self.last) * self.factor
        by_half = np.abs(0.5 * (low + high) - (self.number * self.factor + self.offset)) <= 0.5 * unit * (
            1 + _SURE_SHARE
        ) + 0.5 * (high - low)
        return np.asarray(
            (self.is_printed_by(low, high) & (~few | by_half) & ~self.is_one_figure)
            | (in_full.is_printed_by(low, high) & (in_full.most_figures >= FIGURES_CUT_OFF))
        )

    def is_nearly(self, value: Values) -> Mask:
        """Tell which are *value* (SI units) printed with the last place one up or down, from three figures on."""
        value = (value - self.offset) / self.factor
        unit = ten_to(self.finest)
        noise = RELATIVE_NOISE * np.maximum(np.abs(self.number), unit)
        enough = self.most_figures >= FIGURES_WITH_A_UNIT_EITHER_WAY
        return np.asarray(enough & (np.abs(self.number - value) <= unit + noise))


def _ordered(low: Values, high: Values) -> tuple[Values, Values]:
    return np.minimum(low, high), np.maximum(low, high)


def printed(cells: Cells) -> Printed:
    """Return every answer to one item as it was printed."""
    return Printed(
        number=cells.number,
        factor=cells.factor,
        offset=cells.offset,
        last=cells.trusted,
        finest=cells.finest,
        most_figures=cells.most_figures,
    )


def is_direct(one: Printed, value: Values) -> Mask:
    """Tell which answers are the direct value, worked out without keeping any step."""
    with np.errstate(all="ignore"):
        return one.is_printed_by(value, value) | one.is_nearly(value)
