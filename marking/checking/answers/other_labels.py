"""Numbers that are right in another unit of the quantity than the one that stands beside them: 112 Pa for 112 GPa.

That is a slip of the label where nothing else prints it. Where a reading that was not turned into its unit prints the
same, it is a slip of the value: 0.97 J/(kg °C) from kilojoules.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers.worked import evaluate
from marking.checking.answers.written import Board, Printed, any_of, is_direct, unplaced_entry
from rubrics.formulas import Formula, Name
from rubrics.model import Item
from rubrics.units import Unit

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]


def right_under_another(
    board: Board, item: Item, one: Printed, exact: Mapping[str, Values], direct: Sequence[Values]
) -> Mask:
    """Tell where a number is right in a usual unit of the quantity, and another unit stands beside it.

    Args:
        board: What was written.
        item: The answer.
        one: All of them as they were printed.
        exact: What each name comes to from the readings, in SI units.
        direct: What the answer may come to with nothing rounded, in SI units.
    """
    found = np.zeros(one.number.shape, np.bool_)
    for unit in item.recorded_in:
        other = ~np.isclose(one.factor, unit.factor, rtol=1e-9, atol=0.0)
        in_unit = _labelled(one, unit)
        found |= other & any_of([is_direct(in_unit, value) for value in direct])
    formula = item.formula
    if formula is None or not found.any() or _is_of_one_kind(board, item, formula):
        return found
    as_written, *one_left = [is_direct(one, value) for value in _unconverted(board, item, formula, exact)]
    beside_another = _beside_another_quantity(board, item, found & as_written)
    return found & ~any_of([as_written & ~beside_another, *one_left]) | beside_another


def _beside_another_quantity(board: Board, item: Item, among: Mask) -> Mask:
    """Tell beside which of some answers a unit of another quantity stands: no change of unit leads to 73 700 mm²."""
    found = np.zeros(among.shape, np.bool_)
    for student, row in np.argwhere(among).tolist():
        entry = unplaced_entry(item, board.write_ups[student], row + 1)
        unit = entry.unit.unit if entry is not None and entry.unit is not None else None
        found[student, row] = unit is not None and unit.dimension != item.unit.dimension
    return found


def _labelled(one: Printed, unit: Unit) -> Printed:
    factor, offset = np.full_like(one.factor, unit.factor), np.full_like(one.offset, unit.offset)
    return replace(one, factor=factor, offset=offset)


def _is_of_one_kind(board: Board, item: Item, formula: Formula) -> bool:
    """Tell whether an answer has the unit in which all that goes into it stands, such as a mean.

    The same quantity in another unit is no such answer: turning it over is all that is asked.
    """
    items = board.rubric.items
    if isinstance(formula.tree, Name):
        return False
    return all(name in items and items[name].unit.dimension == item.unit.dimension for name in formula.names)


def _unconverted(board: Board, item: Item, formula: Formula, exact: Mapping[str, Values]) -> Iterator[Values]:
    """Yield what the formula gives on numbers as they were written, and with one of them not converted, in SI units."""
    cells, items = board.cells, board.rubric.items
    own = {name: items[name].unit if name in items else board.rubric.constants[name].unit for name in formula.names}
    held = {}
    for name, unit in own.items():
        asked = unit.from_si(exact[name])
        held[name] = np.where(np.isfinite(cells[name].number), cells[name].number, asked) if name in cells else asked
    yield board.cells[item.name].to_si(evaluate(formula.tree, held))
    for name in formula.names:
        for unit in items[name].recorded_in if name in items else ():
            if unit.factor != own[name].factor:
                yield evaluate(formula.tree, {**exact, name: own[name].to_si(unit.from_si(exact[name]))})
