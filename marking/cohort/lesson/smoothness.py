"""How smoothly the rows of a table follow each other and each other's columns, whatever they hold.

Each row of a column is predicted by the straight line through its neighbours, in the order of the rows and in
the order of every other column. A reading that slipped by a power of ten stands out of all the orders that are
smooth; columns that have nothing to do with each other are rough either way and say nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from marking.cohort.lesson.reading_sets import Readings, worked_out
from marking.distributions import median
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]

FEWEST_ROWS = 5
SHARP = 0.06
"""Careful rows lie within about this share of what their neighbours say."""
ROUGH = 0.15
"""An order whose usual row lies farther off than this is not followed."""
LONGEST_REACH = 2.0
"""An end row farther out than so many gaps of its neighbours is not predicted."""
STEPS = 3.0
"""Smallest differences that count, in steps of the instrument."""


def smoothness(rubric: Rubric, readings: Readings) -> Values:
    """Return how smooth each variant is beside the first of them, shape (variants,): 0 for the first.

    The unit is that of a logarithm of probability, averaged over the orders that are followed.
    """
    variants = max(len(column) for column in readings.values())
    total: Values = np.zeros(variants)
    values = worked_out(rubric, readings)
    for item in rubric.columns:  # of a point on a scale, its number says how large it is
        if item.unit.offset and item.name in values:
            values[item.name] = item.unit.from_si(values[item.name])
    for table in dict.fromkeys(item.table for item in rubric.columns if item.table is not None):
        columns = [item for item in rubric.columns if item.table == table and item.name in values]
        total = total + _table(columns, values)
    return total


def _table(columns: list[Item], values: Mapping[str, Values]) -> Values:
    readings = [item for item in columns if item.role is Role.READING and not item.is_words]
    given = [item for item in readings if np.isfinite(values[item.name][0]).any()]
    variants = len(values[readings[0].name]) if readings else 0
    if not given:
        return np.zeros(variants)
    full = np.logical_and.reduce([np.isfinite(values[item.name][0]) for item in given])
    if full.sum() < FEWEST_ROWS:
        return np.zeros(variants)
    gains, weights = np.zeros(variants), np.zeros(variants)
    for item, order in _orders(columns, given):
        u = values[item.name][:, full]
        w = np.broadcast_to(np.arange(u.shape[1], dtype=np.float64), u.shape)
        w = w if order is None else values[order.name][:, full]
        off = _away(u, w, _smallest(item, u))
        usual = np.median(off, axis=1)
        followed = 1.0 / (1.0 + (np.minimum(usual, usual[0]) / ROUGH) ** 4)
        likeness = -np.log1p((off / SHARP) ** 2).sum(axis=1)
        gains += followed * (likeness - likeness[0])
        weights += followed
    return np.asarray(gains / np.maximum(weights, 1.0))


def _orders(columns: list[Item], readings: list[Item]) -> Iterator[tuple[Item, Item | None]]:
    """Yield each column with what it may follow: the order of the rows (None), or another reading."""
    for item in columns:
        if item.role is Role.ANSWER and item.formula is None:
            continue
        if item.role is Role.READING and item not in readings:
            continue
        yield item, None
        yield from ((item, order) for order in readings if order is not item)


def _smallest(item: Item, u: Values) -> float:
    """Return the smallest difference that counts."""
    if item.resolution is not None:
        step = STEPS * item.resolution
        return step if item.unit.offset else item.unit.change_to_si(step)
    size = np.abs(u[0][np.isfinite(u[0])])
    if item.role is Role.READING and (size == np.round(size)).all():
        return STEPS  # a count goes in steps of one
    return float(1e-3 * median(size)) if size.size else 0.0


def _away(u: Values, w: Values, smallest: float) -> Values:
    """Return how far each row lies off its neighbours' line, as a share of its size; shape (variants, rows)."""
    with np.errstate(all="ignore"):
        order = np.argsort(w, axis=1, kind="stable")
        u, w = np.take_along_axis(u, order, axis=1), np.take_along_axis(w, order, axis=1)
        plain = _off_line(u, w, smallest, np.abs(u))
        # A current that grows by the same factor from row to row is straight on a logarithmic scale.
        curved = _off_line(np.arcsinh(u / smallest), w, 1e-3, np.ones_like(u))
        off = np.fmin(plain, curved)
        return np.asarray(np.where(np.isfinite(off), off, 0.0))


def _off_line(u: Values, w: Values, smallest: float, size: Values) -> Values:
    below, above = np.roll(u, 1, axis=1), np.roll(u, -1, axis=1)
    w_below, w_above = np.roll(w, 1, axis=1), np.roll(w, -1, axis=1)
    # The ends are carried on from the two rows next to them.
    below[:, 0], w_below[:, 0] = u[:, 2], w[:, 2]
    above[:, -1], w_above[:, -1] = u[:, -3], w[:, -3]
    across = w_above - w_below
    share = np.where(across != 0, (w - w_below) / across, 0.5)
    predicted = below + (above - below) * share
    off = np.abs(u - predicted) / (np.minimum(size, np.abs(predicted)) + np.abs(above - below) / 2.0 + smallest)
    return np.asarray(np.where(np.abs(share - 0.5) > LONGEST_REACH + 0.5, 0.0, off))
