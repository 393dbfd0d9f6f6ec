"""Answers as they were printed, and what prints them: rounded or cut off to the same figures."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers.written.board import Cells
from marking.checking.answers.written.rounding import (
    RELATIVE_NOISE,
    Places,
    magnitude,
    overlaps,
    printed_interval,
    ten_to,
)
from rubrics.model import Item

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

FIGURES_WITH_A_UNIT_EITHER_WAY = 3
"""From so many figures on, the direct value stands with its last place one up or down."""
FIGURES_CUT_OFF = 3
"""From so many figures on, the answer of a chain may be cut off as well as rounded."""
PREFIXES = (-12, -9, -6, -3, -2, -1, 3, 6, 9)
"""Powers of ten that a prefix may stand for."""
FIGURES_OF_A_DISPLAY = 6
"""From so many figures on, an answer is a display copied out."""
NOISE = 1e-9
"""What is left of a difference of equal numbers in binary is smaller, in any unit in use."""
_SURE_SHARE = 1e-6
"""Of the last place; half a unit up or down is told to this."""


class Printed(Struct, frozen=True, kw_only=True, dict=True):
    """Some printed answers, arrays of shape (answers,) or of the board's.

    Many values are held against the same answers, so what does not depend on the value is worked out once.
    """

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

    def from_si(self, value: Values) -> Values:
        """Return SI values as numbers of the units that were written."""
        return (value - self.offset) / self.factor

    @cached_property
    def si(self) -> Values:
        """Return the answers in coherent SI units."""
        return self.number * self.factor + self.offset

    @cached_property
    def _first(self) -> Places:
        return magnitude(self.number)

    @cached_property
    def is_one_figure(self) -> Mask:
        """Tell which have a single figure that counts, and are judged by distance."""
        return np.asarray((self._first <= self.last) & (self.number != 0))

    @cached_property
    def is_round_power(self) -> Mask:
        """Tell which are 10, 100, 1000 and so on with zeros of which some do not count."""
        return np.asarray((self.finest < self.last) & (np.abs(self.number) == ten_to(self._first)))

    @cached_property
    def _rooms(self) -> tuple[Values, Values, Values]:
        """Return how far a value may lie off: half a unit, outwards where it may be cut off, and inwards."""
        unit = ten_to(self.last)
        # A display of ten figures goes down to where binary arithmetic is not sure.
        noise = np.maximum(_SURE_SHARE * unit, RELATIVE_NOISE * np.abs(self.number))
        # Cut off, 7.5 is not 7.4: the whole unit outwards is never reached.
        outwards = np.maximum(unit * (1 - _SURE_SHARE), noise)
        # To two figures 986 is 990: what 1000 stands for ends where the smaller numbers have their finer place.
        inwards = np.where(self.is_round_power, 0.05, 0.5) * unit + noise
        return 0.5 * unit + noise, outwards, inwards

    def is_printed_by(self, low: Values, high: Values, *, distance: bool = True) -> Mask:
        """Tell which are what a value between *low* and *high* (SI units) comes to, rounded or cut off.

        A single figure is judged by *distance*, half a unit of its own place, for cut off it says next to nothing;
        so is what lies between two values.
        """
        half, outwards, inwards = self._rooms
        if low is high:
            low = high = self.from_si(low)
            by_half = distance & self.is_one_figure
        else:
            low, high = _ordered(self.from_si(low), self.from_si(high))
            # What a drawn line allows has no need of a last figure cut off.
            by_half = distance & (self.is_one_figure | (high > low))
        out = np.where(by_half, half, outwards)
        up = np.where(self.number < 0, inwards, out)
        down = np.where(self.number > 0, inwards, out)
        return np.asarray((low <= self.number + up) & (high >= self.number - down))

    def is_reached_by(self, low: Values, high: Values, rounds: Mask | None = None) -> Mask:
        """Tell which are what a chain of kept steps comes to; an answer of two figures was rounded, not cut off.

        So was any answer of a student who *rounds*, but for what a calculator cuts off at the end of its display.
        """
        always = np.zeros((1,), np.bool_) if rounds is None else rounds & (self.most_figures < FIGURES_OF_A_DISPLAY)
        few = self._first - self.last + 1 < FIGURES_CUT_OFF
        return np.asarray(
            (self._is_printed_by(low, high, few | always) & ~self.is_one_figure)
            | (self._in_full._is_printed_by(low, high, always) & (self.most_figures >= FIGURES_CUT_OFF))
        )

    @cached_property
    def _in_full(self) -> Printed:
        return replace(self, last=self.finest)

    @cached_property
    def _half_si(self) -> Values:
        return np.asarray(0.5 * ten_to(self.last) * self.factor * (1 + _SURE_SHARE))

    def _is_printed_by(self, low: Values, high: Values, rounded: Mask) -> Mask:
        by_half = np.abs(0.5 * (low + high) - self.si) <= self._half_si + 0.5 * (high - low)
        return self.is_printed_by(low, high) & (by_half | ~rounded)

    def is_nearly(self, value: Values) -> Mask:
        """Tell which are *value* (SI units) printed with the last place one up or down, from three figures on."""
        value = self.from_si(value)
        enough = self.most_figures >= FIGURES_WITH_A_UNIT_EITHER_WAY
        return np.asarray(enough & (np.abs(self.number - value) <= self._unit_either_way))

    def is_noise_about(self, value: Values) -> Mask:
        """Tell which are what a spreadsheet leaves of a difference of equal numbers, -2.2e-14, where *value* is 0."""
        return np.asarray((self.from_si(value) == 0.0) & (np.abs(self.number) < NOISE))

    @cached_property
    def _unit_either_way(self) -> Values:
        unit = ten_to(self.finest)
        return np.asarray(unit + RELATIVE_NOISE * np.maximum(np.abs(self.number), unit))


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
        return one.is_printed_by(value, value) | one.is_nearly(value) | one.is_noise_about(value)


def any_of(masks: Sequence[Mask]) -> Mask:
    """Return where any of some masks holds."""
    return np.asarray(np.logical_or.reduce(np.broadcast_arrays(*masks)))


def lies_inside(cells: Cells, intervals: Sequence[tuple[Values, Values]]) -> Mask:
    """Tell which answers, rounded or cut off as they are, share a value with one of some *intervals* in SI units."""
    ends = cells.printed_si()
    return any_of([overlaps(*ends, *one) for one in intervals])


def is_rough(cells: Cells, direct: Sequence[Values]) -> Mask:
    """Tell where a whole number is right if it was rounded to a single figure: 1000 for 1431."""
    half = 0.5 * ten_to(cells.coarsest) * cells.factor
    one_figure = (magnitude(cells.number) == cells.coarsest) & (cells.coarsest > cells.finest)
    if not one_figure.any():
        return np.asarray(one_figure)
    with np.errstate(all="ignore"):
        return np.asarray(one_figure & any_of([np.abs(cells.si - value) <= half * (1 + 1e-9) for value in direct]))


def is_right_as_asked(one: Printed, item: Item, direct: Sequence[Values]) -> Mask:
    """Tell where a number is right for the unit asked for, and another unit of the quantity stands beside it."""
    other = np.asarray(~np.isclose(one.factor, item.unit.factor, rtol=1e-9, atol=0.0))
    if not other.any():
        return other
    as_asked = replace(
        one, factor=np.full_like(one.factor, item.unit.factor), offset=np.full_like(one.offset, item.unit.offset)
    )
    return np.asarray(other & any_of([is_direct(as_asked, value) for value in direct]))


def is_right_elsewhere(cells: Cells, item: Item, intervals: Sequence[tuple[Values, Values]]) -> Mask:
    """Tell where a number without a unit is right in another usual unit: 0.997, for kJ/(kg °C).

    Beside a unit that cannot be read for sure it may have any prefix.
    """
    found = np.zeros(cells.number.shape, np.bool_)
    if not cells.unlabelled.any():  # nor is any unit unclear: what cannot be read is no label
        return found
    low, high = printed_interval(cells.number, cells.trusted)
    for unit in item.recorded_in:
        found |= any_of([overlaps(unit.to_si(low), unit.to_si(high), *one) for one in intervals])
    found &= cells.unlabelled
    for power in PREFIXES if cells.unclear.any() else ():
        ends = (item.unit.to_si(low) * 10.0**power, item.unit.to_si(high) * 10.0**power)
        found |= cells.unclear & any_of([overlaps(*ends, *one) for one in intervals])
    return np.asarray(found)
