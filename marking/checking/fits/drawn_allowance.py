"""How far a number that was taken off a line drawn by hand may lie from the fitted one.

A line with every point and one without the odd point are two lines: what lies between them is on neither.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from marking.checking.fits.line_families import FITS, PARABOLA, fit_value
from marking.checking.fits.lines_known import ALWAYS, lines_through
from marking.checking.fits.read_offs import read_off, read_off_interval
from marking.checking.fits.straight_lines import LineFit

Values = NDArray[np.float64]
Room = tuple[Values, Values, Values]
"""The fitted value, and the lowest and the highest that stand; each of shape (students, 1)."""

DRAWN_SHARE = 0.05
"""A line drawn with care may be this much steeper or flatter than the fitted one; common practice, no source."""
UNSURE_SHARE = 0.10
"""Up to this much, the line on paper decides: a teacher looks; common practice, no source."""
UNSURE_CURVE_SHARE = 0.15
"""The same for a value read off a curve, of the range of the column that is read."""
DRAWN_ERRORS = 2.0
"""Or this many standard errors, where the points scatter more."""
MOST_DRAWN_SHARE = 0.15
"""But no more than this without a teacher's eye: points that scatter so would let anything stand."""
MOST_UNSURE_SHARE = 0.25
"""And no more than this with it: farther off is another line."""
READ_OFF_SHARE = 0.02
"""An intercept is read off an axis to about half a small square: 1 in 50 of the axis."""
FITTED_SHARE = 0.01
"""A coefficient of a parabola comes off a calculator: this share, or one standard error, for rounded columns."""


def line_room(function: str, columns: list[Values], share: float, *, turns: bool = False) -> list[Room] | None:
    """Return what may be read off each line or curve that may be drawn; None for a function that is none.

    Args:
        function: One of the formula language's functions of columns.
        columns: Its columns, shape (students, rows), y first, and the plain value behind them.
        share: How much steeper or flatter than the fitted one a line may be drawn.
        turns: Such a line turns about the middle of its points, and meets the axis so much higher or lower.
    """
    if function in FITS:
        return [_fit(function, columns, share)]
    if function == "at":
        wanted, given, value = columns
        # A curve through scattered points is a matter of judgement: a teacher looks, unless it is far off.
        low, high = read_off_interval(
            wanted, given, (value, value), share if share <= DRAWN_SHARE else UNSURE_CURVE_SHARE
        )
        return [(read_off(wanted, given, value), low, high)]
    if function not in ("slope", "intercept"):
        return None
    y, x = np.broadcast_arrays(*columns)
    lines = _lines_through(x.shape, x.tobytes(), y.tobytes())
    return [_line(function, x, one, fit, share, turns) for one, fit in lines]


def line_rooms(function: str, several: Sequence[Sequence[Values]], share: float) -> list[list[Room] | None]:
    """Return for each of *several* sets of columns what ``line_room`` returns; straight lines are fitted all at once.

    Args:
        function: As there.
        several: Sets of columns of one length, *rows* the same in all.
        share: As there.
    """
    if function not in ("slope", "intercept"):
        return [line_room(function, list(columns), share) for columns in several]
    pairs = [np.broadcast_arrays(*columns) for columns in several]
    y, x = (np.concatenate(some) for some in zip(*pairs, strict=True))
    lines = [(points, _line(function, x, points, fit, share, turns=False)) for points, fit in lines_through(x, y)]
    ends = list(itertools.accumulate(len(one) for one, _ in pairs))
    found: list[list[Room] | None] = []
    for start, end in zip([0, *ends], ends, strict=False):
        there = [room for points, room in lines[:ALWAYS]]
        there += [room for points, room in lines[ALWAYS:] if np.isfinite(points[start:end]).any()]
        found.append([(value[start:end], low[start:end], high[start:end]) for value, low, high in there])
    return found


@lru_cache(maxsize=8)  # gradient and intercept are asked for of the same points, with one room after another
def _lines_through(shape: tuple[int, ...], x_bytes: bytes, y_bytes: bytes) -> list[tuple[Values, LineFit]]:
    """Return the points of each line that may be drawn, and the line: through all, and without those left out."""
    x, y = (np.frombuffer(one).reshape(shape) for one in (x_bytes, y_bytes))
    return lines_through(x, y)


def _line(function: str, x: Values, y: Values, fit: LineFit, share: float, turns: bool) -> Room:
    if function == "slope":
        room = _share_or_errors(fit.slope, fit.slope_error, share)
        return fit.slope, fit.slope - room, fit.slope + room
    room = np.maximum(READ_OFF_SHARE * _height(y) * share / DRAWN_SHARE, _errors(fit.intercept_error))
    if turns:
        known = np.isfinite(x) & np.isfinite(y)
        count = known.sum(axis=1, keepdims=True)
        middle = np.where(known, x, 0.0).sum(axis=1, keepdims=True) / np.where(count > 0, count, np.nan)
        room = np.maximum(room, share * np.abs(fit.slope * middle))
    low, high = fit.intercept - room, fit.intercept + room
    # Before the first reading a falling line is above its highest point, and a rising one below its lowest.
    used = np.isfinite(x) & np.isfinite(y)
    is_ahead = np.where(used, x, np.inf).min(axis=1, keepdims=True) >= 0
    top = np.where(used, y, -np.inf).max(axis=1, keepdims=True)
    bottom = np.where(used, y, np.inf).min(axis=1, keepdims=True)
    low = np.where(is_ahead & (fit.slope < 0), np.maximum(low, np.minimum(top, fit.intercept)), low)
    high = np.where(is_ahead & (fit.slope > 0), np.minimum(high, np.maximum(bottom, fit.intercept)), high)
    return fit.intercept, low, high


def _fit(function: str, columns: list[Values], share: float) -> Room:
    value, error = fit_value(function, columns)
    if function in PARABOLA:
        room = np.maximum(FITTED_SHARE * np.abs(value), np.nan_to_num(error))
    elif function == "weighted_intercept":
        room = np.maximum(READ_OFF_SHARE * _height(columns[0]) * share / DRAWN_SHARE, _errors(error))
    else:
        room = _share_or_errors(value, error, share)
    return value, value - room, value + room


def _share_or_errors(value: Values, error: Values, share: float) -> Values:
    most = MOST_DRAWN_SHARE if share <= DRAWN_SHARE else MOST_UNSURE_SHARE
    return np.maximum(share * np.abs(value), np.minimum(_errors(error), most * np.abs(value)))


def _errors(error: Values) -> Values:
    return DRAWN_ERRORS * np.nan_to_num(error)


def _height(y: Values) -> Values:
    present = np.isfinite(y)
    return np.asarray(
        np.where(present, y, -np.inf).max(axis=1, keepdims=True)
        - np.where(present, y, np.inf).min(axis=1, keepdims=True)
    )
