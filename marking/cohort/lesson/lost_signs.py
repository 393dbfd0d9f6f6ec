"""Minus signs that a whole column has lost: readings both ways, written as if all were one way.

No component drives a current against its p.d., so a column of plain currents beside p.d.s of both signs has lost its
signs, or the other way round. No current either at p.d.s at which less already drove a plain one: those were the p.d.s
of the other way. Where both columns lost them, the p.d.s go down and up again over the same sizes while most of the
class has readings of both signs.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from marking.cohort.lesson.reading_sets import Sheet
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]

PLAIN = 0.05
"""A value of less than this share of the largest may be a zero that is a little off, or a leak: no sign to speak of."""
FEWEST_ROWS = 2
"""One row without its sign is a slip of one reading; more are a habit."""
MOST_OF_CLASS = 0.5
"""Share of the other sheets that must have both signs before a sheet with one is queried."""
FEWEST_OTHERS = 3
SAME_SIZE = 0.1
"""P.d.s this near to each other, as a share, were set to the same size."""


def lost_signs(sheets: Sequence[Sheet]) -> Iterator[tuple[Sheet, tuple[Item, ...]]]:
    """Yield the sheets of one class with the columns whose minus signs were left out."""
    pair = _both_ways(sheets[0].rubric) if sheets else None
    if pair is None:
        return
    columns = [[sheet.readings[item.name][0] for item in pair] for sheet in sheets]
    both = [all(_has_both_signs(column) for column in each) for each in columns]
    for place, (sheet, (x, y)) in enumerate(zip(sheets, columns, strict=True)):
        others = [one for at, one in enumerate(both) if at != place]
        usual = len(others) >= FEWEST_OTHERS and sum(others) > MOST_OF_CLASS * len(others)
        if _lost_beside(x, y):
            yield sheet, pair[1:]
        elif _lost_beside(y, x) or _stops_again(x, y):
            yield sheet, pair[:1]
        elif usual and _goes_down_and_up(x, y):
            yield sheet, pair


def _both_ways(rubric: Rubric) -> tuple[Item, Item] | None:
    """Return the two columns of the graph where both are read and may be below zero."""
    graph = rubric.graph
    if graph is None:
        return None
    x, y = rubric.items[graph.x], rubric.items[graph.y]
    may = all(one.role is Role.READING and one.limits is not None and one.limits[0] < 0 for one in (x, y))
    return (x, y) if may else None


def _plain(column: Values) -> NDArray[np.bool_]:
    known = np.abs(column[np.isfinite(column)])
    return np.asarray(np.abs(column) > PLAIN * known.max()) if known.size else np.zeros(column.shape, np.bool_)


def _has_both_signs(column: Values) -> bool:
    plain = column[_plain(column)]
    return bool((plain > 0).any() and (plain < 0).any())


def _lost_beside(witness: Values, column: Values) -> bool:
    """Tell whether *column* has plain values of one sign beside rows of both signs of *witness*."""
    plain = _plain(witness) & _plain(column)
    backwards, forwards = plain & (witness < 0), plain & (witness > 0)
    one_sign = bool((column[plain] > 0).all())
    return one_sign and int(backwards.sum()) >= FEWEST_ROWS and bool(forwards.any())


def _stops_again(x: Values, y: Values) -> bool:
    """Tell whether, all sizes above zero, rows of larger p.d. than others that carry a plain current carry none."""
    known = np.isfinite(x) & np.isfinite(y)
    carries = known & _plain(y)
    if not carries.any() or (x[known] < 0).any() or (y[carries] < 0).any():
        return False
    lowest = float(x[carries].min())
    # By more than a reading may be off, and on more rows than one slip would touch.
    return int((known & ~carries & (x > (1 + SAME_SIZE) * lowest)).sum()) >= FEWEST_ROWS


def _goes_down_and_up(x: Values, y: Values) -> bool:
    """Tell whether sizes fall and rise again over the same values, all above zero, as a set both ways does."""
    known = np.isfinite(x) & np.isfinite(y)
    size = x[known]
    if size.size < 2 * FEWEST_ROWS or (size < 0).any() or (y[known] < 0).any():
        return False
    turn = int(np.argmin(size))
    falls, rises = size[: turn + 1], size[turn:]
    if (np.diff(falls) > 0).any() or (np.diff(rises) < 0).any():
        return False
    before, after = size[:turn], size[turn:]
    again = [one for one in before if (np.abs(after - one) <= SAME_SIZE * one).any()]
    return len(again) >= FEWEST_ROWS
