"""Axes of a chart: easy steps, and every value in its place."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from reports.page import width_of
from rubrics.formulas import printed

TICK_SIZE = 7.0
"""Points of the figures along an axis."""
_MOST_TICKS = 6
_FROM_ZERO = 0.5
"""An axis whose lowest value is below this share of its highest starts at zero."""
_MANY, _FEW = 1e5, 1e-4
"""Figures from here on are written in thousands, millions and so on, and in steps below, in thousandths."""
_LARGEST = 1e100
"""Beyond this the difference of two values may not be a number any more."""


class Axis(Struct, frozen=True):
    """A stretch of numbers along a stretch of paper."""

    low: float
    high: float
    step: float
    start: float
    length: float

    def at(self, value: float) -> float:
        """Return the place of *value* in points."""
        return self.start + (value - self.low) / (self.high - self.low) * self.length

    @property
    def ticks(self) -> list[float]:
        """Return the values that get a figure."""
        count = round((self.high - self.low) / self.step)
        return [self.low + self.step * number for number in range(count + 1)]

    @property
    def power(self) -> int:
        """Return the power of ten that the figures leave to the axis's name, a multiple of three; mostly 0."""
        largest = max(abs(self.low), abs(self.high))
        return 3 * math.floor(math.log10(largest) / 3) if largest >= _MANY or self.step < _FEW else 0

    def short(self, value: float) -> str:
        """Return *value* without the power of ten that stands beside the axis's name."""
        scale = 10.0**self.power
        return replace(self, step=self.step / scale).label(value / scale)

    def label(self, value: float) -> str:
        """Return *value* with as many decimal places as the step has."""
        places = max(0, -math.floor(math.log10(self.step) + 1e-9))
        if places > 4 or abs(value) >= 1e6:
            return printed(float(f"{value:.6g}"), 2) if value else "0"
        return f"{value + 0.0:.{places}f}".replace("-", "−")


def axis(values: Sequence[float], start: float, length: float, *, zero: bool = False, most: int = _MOST_TICKS) -> Axis:
    """Return an axis over *values* in steps of 1, 2 or 5 times a power of ten, with at most *most* steps."""
    low, high = min(values), max(values)
    if zero or (low > 0 and low < _FROM_ZERO * high) or (high < 0 and high > _FROM_ZERO * low):
        low, high = min(low, 0.0), max(high, 0.0)
    if high - low <= 1e-9 * max(abs(low), abs(high)):  # one value only: give it some room
        room = abs(high) / 10 or 1.0
        low, high = low - room, high + room
    least = (high - low) / most
    power = 10.0 ** math.floor(math.log10(least))
    step = next(factor * power for factor in (1, 2, 5, 10, 20) if _steps(low, high, factor * power) <= most)
    return Axis(math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step, step, start, length)


def inset(along: Axis, size: float = TICK_SIZE) -> Axis:
    """Return the same axis, drawn in at both ends so that the figures under the end ticks stay in its place."""
    first, last = (width_of(along.label(value), size) / 2 for value in (along.low, along.high))
    return replace(along, start=along.start + first, length=along.length - first - last)


def _steps(low: float, high: float, step: float) -> int:
    return math.ceil(high / step - 1e-9) - math.floor(low / step + 1e-9)


def is_drawable(value: float) -> bool:
    """Tell whether *value* has a place on an axis: no NaN, nothing infinite or as good as that."""
    return math.isfinite(value) and abs(value) < _LARGEST


def named(label: str, along: Axis) -> str:
    """Return the name of an axis, 'quantity / unit', with the power of ten that its figures leave out: '/ 10⁶ m'."""
    if not along.power:
        return label
    power = "10" + str(along.power).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
    name, slash, unit = label.rpartition(" / ")
    return f"{name} / {power} {unit}" if slash else f"{label} / {power}"
