"""Two points of a drawn line, far apart and easy to read: the triangle that its gradient is taken from."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

from msgspec import Struct

from marking.findings import Plot
from rubrics.formulas import printed

_FIGURES = ((2, 3), (3, 3), (3, 4), (4, 5))
"""Figures of the larger x and the larger y, as they are printed."""
_SHARE = 0.1
"""Of the width that the points lie over, left out at either end."""
_NEAR = 0.01
"""By how much the gradient of the printed points may miss that of the line."""


class LinePoints(Struct, frozen=True, kw_only=True):
    """Two points on a fitted line, as they are printed: both to the same place along an axis."""

    exact_low: tuple[Decimal, Decimal]
    exact_high: tuple[Decimal, Decimal]

    @property
    def low(self) -> tuple[float, float]:
        """Return x and y of the first point."""
        return float(self.exact_low[0]), float(self.exact_low[1])

    @property
    def high(self) -> tuple[float, float]:
        """Return x and y of the second point."""
        return float(self.exact_high[0]), float(self.exact_high[1])

    @property
    def gradient(self) -> float:
        """Return up ÷ across of the printed figures."""
        return (self.high[1] - self.low[1]) / (self.high[0] - self.low[0])

    def texts(self) -> tuple[str, str, str, str]:
        """Return low x, low y, high x and high y, as printed."""
        x1, y1, x2, y2 = (printed(_short(number)) for number in (*self.exact_low, *self.exact_high))
        return x1, y1, x2, y2


def line_points(plot: Plot) -> LinePoints | None:
    """Return two points of the line of *plot*; None where their figures would not give its gradient."""
    if plot.line is None or len(plot.x) < 2:
        return None
    gradient, intercept = plot.line
    xs = [x for place, x in enumerate(plot.x) if place not in plot.odd_rows and math.isfinite(x)]
    if len(xs) < 2 or not all(map(math.isfinite, plot.line)) or gradient == 0:
        return None
    room = (max(xs) - min(xs)) * _SHARE
    for across, up in _FIGURES:  # as few as give the gradient
        left, right = _alike(min(xs) + room, max(xs) - room, across)
        if left >= right:
            continue
        start, end = _alike(gradient * float(left) + intercept, gradient * float(right) + intercept, up)
        points = LinePoints(exact_low=(left, start), exact_high=(right, end))
        if math.isclose(points.gradient, gradient, rel_tol=_NEAR):
            return points
    return None


def _alike(first: float, second: float, figures: int) -> tuple[Decimal, Decimal]:
    """Return both numbers to the place at which the larger has so many figures."""
    exact = [Decimal(repr(first)), Decimal(repr(second))]
    step = Decimal(1).scaleb(max(number.adjusted() for number in exact) - figures + 1)
    low, high = (number.quantize(step, rounding=ROUND_HALF_UP) for number in exact)
    return low, high


def _short(number: Decimal) -> Decimal:
    """Return a whole number without a power of ten that only holds its zeros, and nought as it is."""
    is_whole = int(number.as_tuple().exponent) > 0 and number.adjusted() < 6
    return number.quantize(Decimal(1)) if is_whole or not number else number
