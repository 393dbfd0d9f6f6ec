"""What the list of apparatus says that readings come to: a supply of 12 V, resistors of 10 to 22 Ω, about 25 N/m.

The list is written for people and says what most schools have; a class may well use something else. So what it says
is a reason among others, and counts from half the smallest to twice the largest value that it names.
"""

from __future__ import annotations

import re
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rubrics.model import Item, Rubric

Values = NDArray[np.float64]

ROOM = 2.0
"""Parts that a school has lie within this factor of those on the list, mostly; judged, no source."""
FROM_NOTHING = 30.0
"""What can be set from 0 is read down to this share of the most; judged, no source."""
AS_STATED = 0.5
"""Share of readings that are of the size that the list says; judged, no source."""
_NUMBER = r"\d+(?:\.\d+)?"
_STEP_OF_METER = re.compile(rf"\b(?:read|reads) to {_NUMBER}")


def stated(rubric: Rubric, item: Item) -> tuple[tuple[float, float], ...]:
    """Return where the list of apparatus puts an item, as natural logarithms of its least and most, in its unit.

    A meter's own range says what it can read, not what there is to read; so instruments are left out.
    """
    instruments = {one.instrument for one in rubric.items.values() if one.instrument}
    texts = tuple(one.range for one in rubric.apparatus if one.name not in instruments)
    units = tuple((unit.symbol, unit.factor / item.unit.factor) for unit in (item.unit, *item.recorded_in) if unit)
    return _stated(texts, tuple(dict.fromkeys(units)))


@cache
def _stated(texts: tuple[str, ...], units: tuple[tuple[str, float], ...]) -> tuple[tuple[float, float], ...]:
    found: dict[tuple[float, float], None] = {}
    for symbol, factor in units:
        if not symbol:
            continue
        range_of = re.compile(rf"(?<![\d.])({_NUMBER})(?: to ({_NUMBER}))? ?{re.escape(symbol)}(?![\w/²³])")
        for text in texts:
            for match in range_of.finditer(_STEP_OF_METER.sub("", text)):
                low, high = float(match[1]), float(match[2] or match[1])
                low = low or high / FROM_NOTHING
                if 0 < low <= high:
                    found[float(np.log(low * factor / ROOM)), float(np.log(high * factor * ROOM))] = None
    return tuple(found)


def as_stated(ranges: tuple[tuple[float, float], ...], size: Values, otherwise: Values) -> Values:
    """Return the density of *size* (natural logarithms) where half of all is as stated and half as *otherwise*."""
    if not ranges:
        return otherwise
    inside = [np.where((size >= low) & (size <= high), 1.0 / (high - low), 0.0) for low, high in ranges]
    return np.asarray(AS_STATED * np.mean(inside, axis=0) + (1 - AS_STATED) * otherwise)
