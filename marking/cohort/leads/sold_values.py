"""The values that parts are sold in."""

from __future__ import annotations

import math

from rubrics.model import Item
from rubrics.units import define_unit

SOLD = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 25, 27, 30, 33, 36, 39, 40, 43, 47, 50, 51, 56, 60, 62, 68, 75, 80, 82,
        91, 100)  # fmt: skip
"""Values of resistors within a factor of ten: IEC 60063, series E24, and the round ones of decade boxes."""


def sold_in_series(item: Item) -> bool:
    """Tell whether parts with this quantity are sold in the series of resistors."""
    return item.unit.dimension == define_unit("Ω").dimension


def nearest_sold(item: Item, value: float) -> float:
    """Return the value of the series nearest to *value*, both in SI units; NaN where there is none."""
    if not math.isfinite(value) or value <= 0 or not sold_in_series(item):
        return math.nan
    decade = 10.0 ** math.floor(math.log10(value))
    scaled = 10 * value / decade
    nearest = min(SOLD, key=lambda sold: abs(math.log(scaled / sold)))
    return nearest * decade / 10
