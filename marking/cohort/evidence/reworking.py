"""What readings lead to, worked out again: as they stand, and as they would be with one instrument read differently."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Board, constant_values, evaluate, in_order
from marking.checking.fits import odd_points
from marking.distributions import median
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]

SMALL = 1e-4
"""A step in an instrument's factor that is small beside every curve of a formula."""
LEAST_EXPONENT = 0.05
"""A quantity that follows an instrument less than this says nothing about it."""


def readings_of(board: Board) -> dict[str, Values]:
    """Return the readings in SI units, without the rows of a straight line that a stated test calls odd."""
    items = board.rubric.items
    readings = {name: cells.si for name, cells in board.cells.items() if items[name].role is Role.READING}
    for mean in (item for item in items.values() if item.repeats):
        # A mean that was written without its repeats stands for a single one.
        own, first = board.cells[mean.name].si, mean.repeats[0]
        alone = np.isfinite(own) & ~np.any([np.isfinite(readings[name]) for name in mean.repeats], axis=0)
        readings[first] = np.where(alone, own, readings[first])
    graph = board.rubric.graph
    if graph is None or graph.fit != "line":
        return readings
    values = worked_out(board.rubric, readings)
    if graph.x not in values or graph.y not in values:
        return readings
    x, y = np.broadcast_arrays(values[graph.x], values[graph.y])
    odd = odd_points(x, y)
    return {
        name: np.where(odd, np.nan, column) if column.shape == odd.shape and items[name].table else column
        for name, column in readings.items()
    }


def worked_out(rubric: Rubric, readings: Mapping[str, Values]) -> dict[str, Values]:
    """Return readings and all that follows from them, in SI units."""
    values = constant_values(rubric) | dict(readings)
    for item in in_order(rubric):
        if item.formula is not None and all(name in values for name in item.formula.names):
            values[item.name] = evaluate(item.formula.tree, values)
    return values


def logs_of(values: Mapping[str, Values], name: str, groups: int) -> Values:
    """Return the natural logarithms of a single item, one a group; NaN where it is not above zero."""
    column = np.broadcast_to(values[name], (groups, values[name].shape[1]))[:, 0]
    with np.errstate(all="ignore"):
        return np.where(np.isfinite(column) & (column > 0), np.log(column), np.nan)


def instrument_of(item: Item) -> str:
    """Return what a reading was read off; the reading's own words where the rubric names no instrument."""
    return item.instrument or item.quantity


def exponents_of(board: Board, readings: Mapping[str, Values], names: Sequence[str]) -> dict[str, Values]:
    """Return how each quantity follows each instrument: all its readings are made a little larger, and all redone.

    Returns:
        Instrument to the power of each of *names*; instruments that none of them follows are left out.
    """
    items, groups = board.rubric.items, len(board.write_ups)
    plain = worked_out(board.rubric, readings)
    found = {}
    for instrument in dict.fromkeys(instrument_of(items[name]) for name in readings):
        larger = {
            name: (values - board.cells[name].offset) * np.exp(SMALL) + board.cells[name].offset
            if instrument_of(items[name]) == instrument
            else values
            for name, values in readings.items()
        }
        changed = worked_out(board.rubric, larger)
        steps = [_median(logs_of(changed, name, groups) - logs_of(plain, name, groups)) / SMALL for name in names]
        exponents = np.where(np.abs(steps) < LEAST_EXPONENT, 0.0, steps)
        if np.any(exponents):
            found[instrument] = exponents
    return found


def _median(values: Values) -> float:
    present = values[np.isfinite(values)]
    return median(present) if present.size else 0.0


def families_of(rubric: Rubric, names: Sequence[str]) -> NDArray[np.int64]:
    """Return one number for all that rests on the same readings, shape (quantities,)."""
    found = np.arange(len(names))
    bases = [_readings_behind(rubric, name) for name in names]
    for place, base in enumerate(bases):
        for other in range(place):
            if base & bases[other]:
                found[found == found[place]] = found[other]
    return found


def _readings_behind(rubric: Rubric, name: str) -> frozenset[str]:
    if name not in rubric.items:  # a constant
        return frozenset()
    item = rubric.items[name]
    if item.formula is None:
        return frozenset(item.repeats) | {name}
    return frozenset[str]().union(*(_readings_behind(rubric, one) for one in item.formula.names))
