"""Values read off a curve that runs through the student's own points.

Between two neighbouring points the straight line and the parabola through the nearest three bound what a smooth
curve may do; a value is then read to the share of the axis that a drawn line is allowed too. Outside the points
nothing is read: extending a curve is a matter of judgement.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Interval = tuple[Values, Values]


def read_off(wanted: Values, given: Values, value: Values) -> Values:
    """Return *wanted* where *given* is *value*, shape (students, 1): straight between the nearest points.

    Where scattered points pass the value more than once, the middle of all crossings is taken.
    """
    low, high = _between(wanted, given, value)[0]
    return 0.5 * (low + high)


def read_off_interval(wanted: Values, given: Values, value: Interval, share: float) -> Interval:
    """Return where careful read-offs lie, shape (students, 1); NaN where the points do not reach the value.

    Args:
        wanted: The column that is read, shape (students, rows).
        given: The column whose value is known.
        value: Lowest and highest of that value, shape (students, 1).
        share: Of the range of *wanted*, how far a drawn curve may lie beside the points.
    """
    low: Values = np.full((wanted.shape[0], 1), np.nan)
    high = low
    for end in value:
        for one_low, one_high in _between(wanted, given, end):
            low, high = np.fmin(low, one_low), np.fmax(high, one_high)
    used = np.isfinite(wanted) & np.isfinite(given)
    top = np.where(used, wanted, -np.inf).max(axis=1, keepdims=True)
    bottom = np.where(used, wanted, np.inf).min(axis=1, keepdims=True)
    with np.errstate(all="ignore"):
        room = share * (top - bottom)
        return low - room, high + room


def crossings(wanted: Values, given: Values, value: Values) -> Values:
    """Return where straight lines from point to point, in the order of *wanted*, pass a value of *given*.

    Args:
        wanted: The column that is read, shape (students, rows).
        given: The column whose value is known.
        value: That value, shape (students, 1).

    Returns:
        One for each pair of neighbours, shape (students, rows - 1); NaN where it is not passed between them.
    """
    used = np.isfinite(wanted) & np.isfinite(given)
    order = np.argsort(np.where(used, wanted, np.inf), axis=1, kind="stable")
    x = np.take_along_axis(np.where(used, wanted, np.nan), order, axis=1)
    y = np.take_along_axis(np.where(used, given, np.nan), order, axis=1)
    with np.errstate(all="ignore"):
        a, b = y[:, :-1], y[:, 1:]
        is_between = (np.minimum(a, b) <= value) & (value <= np.maximum(a, b)) & (a != b)
        return np.asarray(np.where(is_between, x[:, :-1] + (x[:, 1:] - x[:, :-1]) * (value - a) / (b - a), np.nan))


def _between(wanted: Values, given: Values, value: Values) -> list[Interval]:
    """Return the crossings on the straight line, and those on the parabolas, each as (lowest, highest)."""
    wanted, given = np.broadcast_arrays(wanted, given)
    used = np.isfinite(wanted) & np.isfinite(given)
    order = np.argsort(np.where(used, given, np.inf), axis=1, kind="stable")
    x = np.take_along_axis(np.where(used, given, np.nan), order, axis=1)
    y = np.take_along_axis(np.where(used, wanted, np.nan), order, axis=1)
    students, rows = x.shape
    straight = _empty(students)
    curved = _empty(students)
    with np.errstate(all="ignore"):
        for left in range(rows - 1):
            a, b = x[:, left : left + 1], x[:, left + 1 : left + 2]
            inside = (a <= value) & (value <= b)
            even = _line(x, y, left, value)
            straight = _widened(straight, np.where(inside, even, np.nan))
            for first in (left - 1, left):
                if first >= 0 and first + 2 < rows:
                    bent = _parabola(x, y, first, value)
                    # A parabola through scattered points swings beyond its neighbours; a smooth curve does not.
                    ends = y[:, left : left + 1], y[:, left + 1 : left + 2]
                    held = np.clip(bent, np.fmin(*ends), np.fmax(*ends))
                    curved = _widened(curved, np.where(inside, held, np.nan))
    return [straight, curved]


def _empty(students: int) -> Interval:
    return np.full((students, 1), np.nan), np.full((students, 1), np.nan)


def _widened(interval: Interval, value: Values) -> Interval:
    return np.fmin(interval[0], value), np.fmax(interval[1], value)


def _line(x: Values, y: Values, left: int, value: Values) -> Values:
    a, b = x[:, left : left + 1], x[:, left + 1 : left + 2]
    ya, yb = y[:, left : left + 1], y[:, left + 1 : left + 2]
    width = np.where(b > a, b - a, 1.0)
    return np.asarray(np.where(b > a, ya + (yb - ya) * (value - a) / width, 0.5 * (ya + yb)))


def _parabola(x: Values, y: Values, first: int, value: Values) -> Values:
    """Return the parabola through three neighbouring points at *value* (Lagrange's form)."""
    total: Values = np.zeros((x.shape[0], 1))
    at = [first, first + 1, first + 2]
    for one in at:
        part = y[:, one : one + 1]
        for other in at:
            if other != one:
                part = part * (value - x[:, other : other + 1]) / (x[:, one : one + 1] - x[:, other : other + 1])
        total = total + part
    return np.where(np.isfinite(total), total, np.nan)
