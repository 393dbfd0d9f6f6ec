"""Two points of a drawn line, far apart and easy to read: the triangle that its gradient is taken from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from marking.findings import Plot
from rubrics.formulas import printed, rounded

_FIGURES = ((2, 3), (3, 3), (3, 4))
"""Figures of x and y as they are printed."""
_SHARE = 0.1
"""Of the width that the points lie over, left out at either end."""
_NEAR = 0.01
"""By how much the gradient of the printed points may miss that of the line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePoints:
    """Two points on a fitted line, as they are printed."""

    low: tuple[float, float]
    high: tuple[float, float]

    @property
    def gradient(self) -> float:
        """Return up ÷ across of the printed figures."""
        return (self.high[1] - self.low[1]) / (self.high[0] - self.low[0])

    def texts(self) -> tuple[str, str, str, str]:
        """Return low x, low y, high x and high y, as printed."""
        return (
            printed(_exact(self.low[0])), printed(_exact(self.low[1])),
            printed(_exact(self.high[0])), printed(_exact(self.high[1])),
        )  # fmt: skip


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
        places = [_to_figures(min(xs) + room, across), _to_figures(max(xs) - room, across)]
        if places[0] >= places[1]:
            continue
        low, high = ((x, _to_figures(gradient * x + intercept, up)) for x in places)
        points = LinePoints(low=low, high=high)
        if math.isclose(points.gradient, gradient, rel_tol=_NEAR):
            return points
    return None


def _to_figures(value: float, figures: int) -> float:
    return float(rounded(Decimal(repr(value)), figures))


def _exact(value: float) -> Decimal:
    """Return a rounded float with the figures it was rounded to, without a tail."""
    short = Decimal(repr(value)).normalize()
    return short.quantize(Decimal(1)) if 0 <= short.adjusted() < 6 and short == short.to_integral_value() else short
