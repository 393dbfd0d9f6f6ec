"""A class's entries as arrays: the one place where records turn into numbers for numpy.

Every array has shape (students, rows); a single item has one row. Row r of a table stands at r - 1.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cells import Entry, State, in_rows, unplaced, unplaced_at
from marking.checking.answers.written.rounding import (
    Places,
    magnitude,
    printed_interval,
    rounded_interval,
    trusted_place,
)
from marking.write_up import WriteUp
from rubrics.model import Item, Role, Rubric
from rubrics.units import Unit, Verdict

Values = NDArray[np.float64]

_UNDERSTOOD = (Verdict.ACCEPT, Verdict.NOTE)
_EMPTY_PLACE = 0


class Cells(Struct, frozen=True, kw_only=True):
    """One item of the whole class."""

    number: Values
    """As printed, in the unit that was written; NaN where there is no usable number."""
    factor: Values
    """SI units in one of the unit that was written."""
    offset: Values
    finest: Places
    """Position of the last digit, every trailing zero counted."""
    coarsest: Places
    """The same, trailing zeros of a whole number not counted."""
    unknown_zeros: NDArray[np.bool_]
    """Where a spreadsheet dropped zeros, so that figures cannot be told."""
    unlabelled: NDArray[np.bool_]
    """Where a number stands without the unit that it needs, or with one that cannot be read."""
    unclear: NDArray[np.bool_]
    """Where the unit beside it cannot be read for sure."""
    given: NDArray[np.bool_]
    """Where something was written, readable or not."""
    trusted: Places
    """Position of the last digit that counts when a mark is decided."""
    fewest_figures: Places
    """Significant figures, trailing zeros of whole numbers not counted; at least 1."""
    most_figures: Places
    """Significant figures, every trailing zero counted; at least 1."""

    @property
    def si(self) -> Values:
        """Return the values in coherent SI units."""
        return self.to_si(self.number)

    def to_si(self, number: Values) -> Values:
        """Return numbers of the units that were written in coherent SI units; shape (students, rows)."""
        return number * self.factor + self.offset

    def from_si(self, value: Values) -> Values:
        """Return SI values as numbers of the units that were written; shape (students, rows)."""
        return (value - self.offset) / self.factor

    def printed_si(self) -> tuple[Values, Values]:
        """Return what each printed number may stand for, rounded or cut off, in SI units."""
        low, high = printed_interval(self.number, self.trusted)
        return self.to_si(low), self.to_si(high)

    def rounded_si(self) -> tuple[Values, Values]:
        """Return what each printed number stands for if it was rounded, in SI units."""
        low, high = rounded_interval(self.number, self.trusted)
        return self.to_si(low), self.to_si(high)


class Board(Struct, frozen=True, kw_only=True):
    """All that a batch of students wrote, item by item."""

    rubric: Rubric
    write_ups: tuple[WriteUp, ...]
    cells: Mapping[str, Cells]
    rows: Mapping[str, int]
    """Most rows of each table."""


def lay_out(rubric: Rubric, write_ups: Sequence[WriteUp]) -> Board:
    """Return the entries of *write_ups* as arrays."""
    rows: dict[str, int] = {}
    for item in rubric.columns:
        longest = max((max(w.columns.get(item.name) or (0,)) for w in write_ups), default=0)
        rows[item.table or ""] = max(rows.get(item.table or "", 1), longest)
    cells = {
        item.name: _cells(item, write_ups, rows[item.table] if item.table else 1)
        for item in rubric.items.values()
        if not item.is_words
    }
    return Board(rubric=rubric, write_ups=tuple(write_ups), cells=cells, rows=rows)


def _cells(item: Item, write_ups: Sequence[WriteUp], rows: int) -> Cells:
    """Return the cells of one item; what is the same entry in many cells is looked at once."""
    known: dict[int, int] = {}
    entries: list[Entry] = []
    places: list[int] = []
    which: list[int] = []
    for student, write_up in enumerate(write_ups):
        for row, entry in _unplaced_of(item, write_up):
            position = known.get(id(entry))
            if position is None:
                position = known[id(entry)] = len(entries)
                entries.append(entry)
            places.append(student * rows + row - 1)
            which.append(position)
    at, chosen = np.array(places, np.int64), np.array(which, np.int64)

    def spread(values: Sequence[float], elsewhere: float, kind: type[np.generic] = np.float64) -> NDArray[Any]:
        found = np.full(len(write_ups) * rows, elsewhere, kind)
        found[at] = np.array(values, kind)[chosen]
        return found.reshape(len(write_ups), rows)

    worked = [entry.value if is_usable(item, entry) and entry.value is not None else None for entry in entries]
    usable = [value is not None for value in worked]
    units = [unit_used(item, entry) if is_so else item.unit for entry, is_so in zip(entries, usable, strict=True)]
    ends = [
        entry.last_place or (_EMPTY_PLACE, _EMPTY_PLACE) if is_so else (_EMPTY_PLACE, _EMPTY_PLACE)
        for entry, is_so in zip(entries, usable, strict=True)
    ]
    number = spread([np.nan if value is None else value for value in worked], np.nan)
    finest = spread([one for one, _ in ends], _EMPTY_PLACE, np.int64)
    coarsest = spread([one for _, one in ends], _EMPTY_PLACE, np.int64)
    return Cells(
        number=number,
        factor=spread([unit.factor for unit in units], item.unit.factor),
        offset=spread([unit.offset for unit in units], item.unit.offset),
        finest=finest,
        coarsest=coarsest,
        unknown_zeros=spread(_told(entries, usable, lambda entry: entry.zeros_unknown), False, np.bool_),
        given=spread([entry.state is not State.BLANK for entry in entries], False, np.bool_),
        unlabelled=spread(_told(entries, usable, _is_unlabelled), False, np.bool_),
        unclear=spread(_told(entries, usable, _is_unclear), False, np.bool_),
        trusted=trusted_place(number, finest, coarsest),
        fewest_figures=np.maximum(magnitude(number) - coarsest + 1, 1),
        most_figures=np.maximum(magnitude(number) - finest + 1, 1),
    )


def _told(entries: Sequence[Entry], usable: Sequence[bool], tell: Callable[[Entry], bool]) -> list[bool]:
    return [is_so and tell(entry) for entry, is_so in zip(entries, usable, strict=True)]


def _is_unlabelled(entry: Entry) -> bool:
    reading = entry.unit
    return reading is not None and (reading.unit is None or reading.verdict is Verdict.MISSING)


def _is_unclear(entry: Entry) -> bool:
    reading = entry.unit
    return reading is not None and reading.unit is None and bool(reading.typed)


def _unplaced_of(item: Item, write_up: WriteUp) -> Iterable[tuple[int, Entry]]:
    """Return the entries of *item* with their rows, for whoever does not ask where they stand."""
    if item.table is not None:
        column = write_up.columns.get(item.name)
        return () if not column else zip(column, unplaced(column), strict=True)
    single = unplaced_at(write_up.singles, item.name)
    return () if single is None else ((1, single),)


def entries_of(item: Item, write_up: WriteUp) -> list[tuple[int, Entry]]:
    """Return the entries of *item* with their rows; a single item stands in row 1."""
    if item.table is not None:
        column = write_up.columns.get(item.name)
        return in_rows(column) if column else []
    entry = entry_at(item, write_up, 1)
    return [] if entry is None else [(1, entry)]


def entry_at(item: Item, write_up: WriteUp, row: int) -> Entry | None:
    """Return the entry of *item* in *row* (1 for a single item), or None where the input has none."""
    if item.table is not None:
        column = write_up.columns.get(item.name) or {}
        return column.get(row)
    return write_up.singles.get(item.name)


def is_usable(item: Item, entry: Entry) -> bool:
    """Tell whether the number of *entry* may be worked with.

    A reading in a unit of another quantity cannot; an answer is judged as a number whatever stands beside it.
    """
    if entry.state is not State.NUMBER:
        return False
    if item.role is Role.ANSWER or entry.unit is None:
        return True
    return entry.unit.verdict in _UNDERSTOOD or entry.unit.verdict is Verdict.MISSING


def unit_used(item: Item, entry: Entry) -> Unit:
    """Return the unit that the number of *entry* counts in: the one written where it is of the item's quantity."""
    reading = entry.unit
    if reading is None or reading.unit is None or reading.unit.dimension != item.unit.dimension:
        return item.unit
    return reading.unit
