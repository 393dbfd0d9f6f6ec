"""What groups wrote down, cell by cell: each number with the power of ten of its last digit, in the item's unit."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import entries_of, unit_used
from marking.cohort.evidence import Partners
from marking.write_up import Entry
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]
Places = NDArray[np.int64]

FEWEST_WITH_CELL = 5
"""With fewer groups than this in a cell, the class does not show how widely it varies."""


class Pages(Struct, frozen=True, kw_only=True):
    """The numbers of a class; arrays of shape (groups, cells)."""

    partners: tuple[Partners, ...]
    cells: tuple[tuple[str, int], ...]
    """Item and row; row 1 for a single item."""
    values: Values
    """In the unit of the item; NaN where nothing usable stands."""
    places: Places
    """Power of ten of the last digit that was written, in the unit of the item."""

    @property
    def follows(self) -> tuple[int, ...]:
        """Return, for each cell, the cell of the row above; -1 for a first row."""
        numbers = {cell: number for number, cell in enumerate(self.cells)}
        return tuple(numbers.get((item, row - 1), -1) for item, row in self.cells)

    def of(self, groups: slice | Sequence[int]) -> Pages:
        """Return the pages of some of the groups."""
        few = self.partners[groups] if isinstance(groups, slice) else tuple(self.partners[one] for one in groups)
        return replace(self, partners=few, values=self.values[groups], places=self.places[groups])

    def of_cells(self, cells: Sequence[int]) -> Pages:
        """Return the same groups with some of the cells."""
        names = tuple(self.cells[one] for one in cells)
        return replace(self, cells=names, values=self.values[:, cells], places=self.places[:, cells])

    @property
    def has_rows(self) -> bool:
        """Tell whether any cell stands in a table."""
        return any(above >= 0 for above in self.follows)


def reading_pages(rubric: Rubric, partners: Sequence[Partners]) -> Pages:
    """Return what the groups read off their instruments."""
    return pages(rubric, partners, lambda item: item.role is Role.READING)


def answer_pages(rubric: Rubric, partners: Sequence[Partners]) -> Pages:
    """Return what the groups worked out, as they wrote it."""
    return pages(rubric, partners, lambda item: item.role is Role.ANSWER)


def whole_pages(rubric: Rubric, partners: Sequence[Partners]) -> Pages:
    """Return both."""
    return pages(rubric, partners, lambda item: item.role in (Role.READING, Role.ANSWER))


def pages(rubric: Rubric, partners: Sequence[Partners], wanted: Callable[[Item], bool]) -> Pages:
    """Return the cells of the items that are *wanted*; those that hardly anybody filled in are left out."""
    found: dict[tuple[str, int], dict[int, tuple[float, int]]] = {}
    for group, one in enumerate(partners):
        for item in rubric.items.values():
            if item.is_words or not wanted(item):
                continue
            for row, entry in entries_of(item, one.write_up):
                written = _in_unit(item, entry)
                if written is not None:
                    found.setdefault((item.name, row), {})[group] = written
    order = list(rubric.items)
    cells = sorted(
        (cell for cell, column in found.items() if len(column) >= FEWEST_WITH_CELL),
        key=lambda cell: (order.index(cell[0]), cell[1]),
    )
    values = np.full((len(partners), len(cells)), np.nan)
    places = np.zeros(values.shape, np.int64)
    for number, cell in enumerate(cells):
        for group, (value, place) in found[cell].items():
            values[group, number], places[group, number] = value, place
    return Pages(partners=tuple(partners), cells=tuple(cells), values=values, places=places)


def _in_unit(item: Item, entry: Entry) -> tuple[float, int] | None:
    """Return the number in the unit of the item, and the power of ten of its last digit there."""
    if entry.value is None or entry.last_place is None:
        return None
    unit = unit_used(item, entry)
    value = item.unit.from_si(unit.to_si(entry.value))
    # A unit that is no power of ten away (Wh for J) leaves the digits different ones; their size is kept.
    shift = round(float(np.log10(unit.factor / item.unit.factor)))
    return value, entry.last_place[0] + shift
