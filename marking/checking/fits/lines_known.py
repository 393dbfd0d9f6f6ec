"""Lines that may be drawn through the points of each student, worked out once for the same points.

A column that stands in writing stays as it is under most habits of rounding, and so does the line through it. So what
was found for some points is kept, within a bound, and only points that are new are fitted.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from marking.checking.fits.straight_lines import LineFit, fit_lines, odd_points
from marking.checking.fits.straight_parts import straight_part

Values = NDArray[np.float64]

MOST_KNOWN = 4096
"""Students' points that are kept of one length."""
LINES = 3
"""Through all points, without an odd one, and along the straight part."""
ALWAYS = 2
"""Of these; the straight part is asked for where there is one."""
NUMBERS = 5
"""Of one fit."""


def lines_through(x: Values, y: Values) -> list[tuple[Values, LineFit]]:
    """Return the points of each line that may be drawn, and the line: through all, and without those left out.

    The line along the straight part is there where any of the students has one; NaN for the others.

    Args:
        x: Shape (students, rows), NaN where nothing was read.
        y: The same shape.
    """
    found = _known(x.shape[1]).of(x, y)
    points, fits = found[..., :-NUMBERS], found[..., -NUMBERS:]
    count = LINES if np.isfinite(points[:, ALWAYS:]).any() else ALWAYS
    return [(np.ascontiguousarray(points[:, line]), _fit(fits[:, line])) for line in range(count)]


def _fit(numbers: Values) -> LineFit:
    slope, intercept, slope_error, intercept_error, count = (
        np.ascontiguousarray(numbers[:, at : at + 1]) for at in range(NUMBERS)
    )
    return LineFit(
        slope=slope, intercept=intercept, slope_error=slope_error, intercept_error=intercept_error, count=count
    )


@lru_cache(maxsize=4)
def _known(rows: int) -> _Known:
    return _Known(rows)


class _Known:
    """What was found for points of one length."""

    def __init__(self, rows: int) -> None:
        self._places: dict[bytes, int] = {}
        self._found = np.empty((MOST_KNOWN, LINES, rows + NUMBERS))

    def of(self, x: Values, y: Values) -> Values:
        """Return points and fits of each line, shape (students, lines, rows and numbers)."""
        width, across, up = x.shape[1] * x.itemsize, x.tobytes(), y.tobytes()
        keys = [across[at : at + width] + up[at : at + width] for at in range(0, len(across), width)]
        new = self._new(keys)
        if len(self._places) + len(new) > MOST_KNOWN:
            self._places.clear()
            new = self._new(keys)
        if len(new) > MOST_KNOWN:
            return _worked_out(x, y)
        if new:
            begin = len(self._places)
            chosen = list(new.values())
            self._found[begin : begin + len(new)] = _worked_out(x[chosen], y[chosen])
            self._places.update(zip(new, range(begin, begin + len(new)), strict=True))
        return self._found[[self._places[key] for key in keys]]

    def _new(self, keys: Sequence[bytes]) -> dict[bytes, int]:
        """Return the points that are not known, each with the first place where it stands."""
        new: dict[bytes, int] = {}
        for at, key in enumerate(keys):
            if key not in self._places:
                new.setdefault(key, at)
        return new


def _worked_out(x: Values, y: Values) -> Values:
    points = [y, np.where(odd_points(x, y), np.nan, y), np.where(straight_part(x, y), y, np.nan)]
    lines = []
    for one in points:
        fit = fit_lines(x, one)
        lines.append(
            np.concatenate([one, fit.slope, fit.intercept, fit.slope_error, fit.intercept_error, fit.count], axis=1)
        )
    return np.stack(lines, axis=1)
