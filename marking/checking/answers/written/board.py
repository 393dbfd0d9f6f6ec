"""A class's entries as arrays: the one place where records turn into numbers for numpy.

Every array has shape (students, rows); a single item has one row. Row r of a table stands at r - 1.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cells import Entry, ReadCell, State, entry_of, in_rows, unmade, unplaced_at, unplaced_in_rows
from marking.checking.answers.written.rounding import (
    Places,
    magnitude,
    printed_interval,
    rounded_interval,
    trusted_place,
)
from marking.write_up import WriteUp
from rubrics.model import Item, Role, Rubric
from rubrics.units import Unit, UnitReading, Verdict

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
    clear: NDArray[np.bool_]
    """Where nothing was, or a number in a unit of its quantity, its figures all known."""
    plain: NDArray[np.bool_]
    """The same in the item's own unit: nothing is to be asked."""
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
    counts, own_rows, found = _gathered(item, write_ups)
    different = {id(one): one for one in found}
    position = dict(zip(different, range(1, len(different) + 1), strict=True))
    units: dict[int, _Unit] = {}
    laid = _Laid(*zip(_nothing(item), *(_laid(item, entry_of(one), units) for one in different.values()), strict=True))
    # Where nothing was written stands what comes first.
    at = np.zeros((len(write_ups), rows), np.int64)
    students = np.repeat(np.arange(len(write_ups)), counts)
    at[students, np.array(own_rows, np.int64) - 1] = [position[id(one)] for one in found]
    number = np.array(laid.number)[at]
    finest, coarsest = (np.array(one, np.int64)[at] for one in (laid.finest, laid.coarsest))
    return Cells(
        number=number,
        factor=np.array(laid.factor)[at],
        offset=np.array(laid.offset)[at],
        finest=finest,
        coarsest=coarsest,
        unknown_zeros=np.array(laid.unknown_zeros)[at],
        given=np.array(laid.given)[at],
        clear=np.array(laid.clear)[at],
        plain=np.array(laid.plain)[at],
        unlabelled=np.array(laid.unlabelled)[at],
        unclear=np.array(laid.unclear)[at],
        trusted=trusted_place(number, finest, coarsest),
        fewest_figures=np.maximum(magnitude(number) - coarsest + 1, 1),
        most_figures=np.maximum(magnitude(number) - finest + 1, 1),
    )


def _gathered(item: Item, write_ups: Sequence[WriteUp]) -> tuple[list[int], list[int], list[Entry | ReadCell]]:
    """Return how many entries of *item* each student has, their rows, and the entries, or what they are made of."""
    counts: list[int] = []
    rows: list[int] = []
    found: list[Entry | ReadCell] = []
    for write_up in write_ups:
        if item.table is None:
            single = unplaced_at(write_up.singles, item.name)
            some: Sequence[Entry | ReadCell] = () if single is None else (single,)
            rows += [1] * len(some)
        else:
            column = write_up.columns.get(item.name, {})
            rows += column
            some = unmade(column)
        counts.append(len(some))
        found += some
    return counts, rows, found


class _Laid(NamedTuple):
    """What is laid out of each entry, under the names that ``Cells`` has."""

    number: tuple[float, ...]
    factor: tuple[float, ...]
    offset: tuple[float, ...]
    finest: tuple[int, ...]
    coarsest: tuple[int, ...]
    unknown_zeros: tuple[bool, ...]
    given: tuple[bool, ...]
    clear: tuple[bool, ...]
    plain: tuple[bool, ...]
    unlabelled: tuple[bool, ...]
    unclear: tuple[bool, ...]


_One = tuple[float, float, float, int, int, bool, bool, bool, bool, bool, bool]
"""The same of one entry."""


def _nothing(item: Item, *, given: bool = False) -> _One:
    unit = item.unit
    return (
        *(math.nan, unit.factor, unit.offset, _EMPTY_PLACE, _EMPTY_PLACE),
        *(False, given, not given, not given, False, False),
    )


def _laid(item: Item, entry: Entry, units: dict[int, _Unit]) -> _One:
    """Return what is laid out of an entry; *units* holds what was found of units that entries before it share."""
    unit = units.get(id(entry.unit))
    if unit is None:
        unit = units[id(entry.unit)] = _unit(item, entry)
    if entry.value is None or entry.state is not State.NUMBER or not unit.is_usable:
        return _nothing(item, given=entry.state is not State.BLANK)
    finest, coarsest = entry.last_place or (_EMPTY_PLACE, _EMPTY_PLACE)
    is_clear = unit.is_understood and not entry.zeros_unknown and not entry.is_fraction
    return (
        *(entry.value, unit.factor, unit.offset, finest, coarsest),
        *(entry.zeros_unknown, True, is_clear, is_clear and unit.is_own, unit.is_unlabelled, unit.is_unclear),
    )


class _Unit(NamedTuple):
    """What the unit of an entry says of it."""

    is_usable: bool
    factor: float
    offset: float
    is_understood: bool
    """It is of the quantity; so is none where there is none to read."""
    is_own: bool
    """It is the item's own."""
    is_unlabelled: bool
    is_unclear: bool


def _unit(item: Item, entry: Entry) -> _Unit:
    unit, reading = unit_used(item, entry), entry.unit
    is_unread = reading is not None and reading.unit is None
    return _Unit(
        is_usable=_is_unit_usable(item, reading),
        factor=unit.factor,
        offset=unit.offset,
        is_understood=reading is None or reading.verdict in _UNDERSTOOD,
        is_own=unit.symbol == item.unit.symbol,
        is_unlabelled=is_unread or (reading is not None and reading.verdict is Verdict.MISSING),
        is_unclear=is_unread and reading is not None and bool(reading.typed),
    )


def unplaced_of(item: Item, write_up: WriteUp) -> list[tuple[int, Entry]]:
    """Return what ``entries_of`` does, for whoever does not ask where the entries stand: nothing is made for that."""
    if item.table is not None:
        column = write_up.columns.get(item.name)
        return unplaced_in_rows(column) if column else []
    single = unplaced_at(write_up.singles, item.name)
    return [] if single is None else [(1, single)]


def unplaced_entry(item: Item, write_up: WriteUp, row: int) -> Entry | None:
    """Return what ``entry_at`` does, for whoever does not ask where the entry stands."""
    if item.table is not None:
        return unplaced_at(write_up.columns.get(item.name) or {}, row)
    return unplaced_at(write_up.singles, item.name)


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
    return entry.state is State.NUMBER and _is_unit_usable(item, entry.unit)


def _is_unit_usable(item: Item, unit: UnitReading | None) -> bool:
    if item.role is Role.ANSWER or unit is None:
        return True
    return unit.verdict in _UNDERSTOOD or unit.verdict is Verdict.MISSING


def unit_used(item: Item, entry: Entry) -> Unit:
    """Return the unit that the number of *entry* counts in: the one written where it is of the item's quantity."""
    reading = entry.unit
    if reading is None or reading.unit is None or reading.unit.dimension != item.unit.dimension:
        return item.unit
    return reading.unit
