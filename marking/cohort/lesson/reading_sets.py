"""The readings of a class, each set of readings once: neighbours who share one are one sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import (
    Board,
    constant_values,
    entries_of,
    entry_at,
    evaluate,
    in_order,
    lay_out,
    unit_used,
)
from marking.cohort.evidence import readings_key
from marking.write_up import Entry, WriteUp
from rubrics.model import Item, Role, Rubric
from rubrics.units import Unit

Values = NDArray[np.float64]

Readings = Mapping[str, Values]
"""Reading to its values in coherent SI units, shape (variants, rows); NaN where there is none."""


class Sheet(Struct, frozen=True, kw_only=True):
    """One set of readings, and everybody who handed it in."""

    rubric: Rubric
    bench: str
    students: tuple[str, ...]
    write_up: WriteUp
    """That of the first of them."""
    readings: Readings
    """One variant: as it was written."""

    def entry(self, name: str, row: int) -> Entry | None:
        """Return the entry of a reading; row 1 for a single one."""
        return entry_at(self.rubric.items[name], self.write_up, row)

    def unit(self, name: str, row: int = 1) -> Unit:
        """Return the unit in which a reading was recorded, or the item's where nothing tells."""
        item = self.rubric.items[name]
        entry = self.entry(name, row)
        if entry is None:
            entry = next((one for _, one in entries_of(item, self.write_up)), None)
        return item.unit if entry is None else unit_used(item, entry)


def sheets_of(rubric: Rubric, write_ups: Sequence[WriteUp]) -> tuple[Sheet, ...]:
    """Return the sheets of a class in its order; students without a number are left out."""
    found: dict[object, list[int]] = {}
    for position, write_up in enumerate(write_ups):
        key = readings_key(rubric, write_up)
        if key:
            bench = write_up.student.bench
            found.setdefault((bench, key) if bench else position, []).append(position)
    board = lay_out(rubric, write_ups)
    return tuple(_sheet(board, positions) for positions in found.values())


def _sheet(board: Board, positions: Sequence[int]) -> Sheet:
    first = board.write_ups[positions[0]]
    return Sheet(
        rubric=board.rubric,
        bench=first.student.bench,
        students=tuple(board.write_ups[position].student.code for position in positions),
        write_up=first,
        readings={item.name: board.cells[item.name].si[positions[0]][None, :] for item in numbers_of(board.rubric)},
    )


def numbers_of(rubric: Rubric) -> tuple[Item, ...]:
    """Return the readings that are numbers, in the order of the results sheet.

    The mean of repeats is one of them: many write it down alone.
    """
    return tuple(item for item in rubric.items.values() if is_reading(item) and not item.is_words)


def is_reading(item: Item) -> bool:
    """Tell whether an item is taken at the bench: a reading, or the mean of its repeats."""
    return item.role is Role.READING or bool(item.repeats)


def worked_out(rubric: Rubric, readings: Readings) -> dict[str, Values]:
    """Return the readings and every answer that follows from them, in SI units, shape (variants, rows)."""
    values = constant_values(rubric) | dict(readings)
    variants = max(len(column) for column in readings.values())
    for item in in_order(rubric):
        if item.formula is not None:
            found = evaluate(item.formula.tree, values)
            if item.repeats:  # their mean stands for them where it was written alone
                found = np.where(np.isfinite(found), found, readings[item.name])
            values[item.name] = np.broadcast_to(found, (variants, found.shape[1]))
    return values
