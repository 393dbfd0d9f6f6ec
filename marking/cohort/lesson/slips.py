"""What may have happened to the readings of one sheet, and what they would then be."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from enum import StrEnum

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.lesson.reading_sets import Readings, Sheet, numbers_of
from marking.distributions import median
from marking.write_up import Entry, State
from rubrics.model import Item, Role, Rubric
from rubrics.units import Unit, define_unit

Values = NDArray[np.float64]

UNIT_PRIOR, POINT_PRIOR, SWAP_PRIOR = -4.5, -5.2, -5.0
"""Logarithms of how often a sheet has such a slip at one place, beside having none; judged, no source."""
TWO_PLACES = -1.5
"""A point moved by two places is rarer than by one."""
ONE_CELL_UNIT = -2.0
"""A single cell of a column in another unit than the rest is rarer than a whole column."""
NO_POINT = -5.0
"""What was counted has no point; a zero more or less is rarer, and small counts differ tenfold by chance."""
WHOLE_COLUMN = -5.0
"""The point of a whole column is rarer moved than that of one reading."""
POINT_MOVES = (-2, -1, 1, 2)
TIMES = ("s", "min", "h")
"""Units of time that are written for each other whether or not the rubric lists them."""


class SlipKind(StrEnum):
    """What a slip is."""

    UNIT = "unit"
    POINT = "point"
    SWAP = "swap"


class Slip(Struct, frozen=True, kw_only=True):
    """One thing that may have happened."""

    kind: SlipKind
    cells: tuple[tuple[str, int], ...]
    """(reading, row from 1) that it touches; row 0 stands for a whole column."""
    prior: float
    unit: Unit | None = None
    """The unit that was meant."""
    move: int = 0
    """Places that the point was moved by: 1 for ten times too much."""


def slips_of(sheet: Sheet) -> list[Slip]:
    """Return all slips that are looked at for one sheet."""
    return [*_units(sheet), *_points(sheet), *_swaps(sheet)]


def variants_of(sheet: Sheet, base: Readings, slips: list[Slip]) -> Readings:
    """Return what the readings would be: first *base*, then one variant for each slip; (1 + slips, rows)."""
    changed = {name: np.repeat(column[:1], len(slips) + 1, axis=0) for name, column in base.items()}
    for number, slip in enumerate(slips, 1):
        for name, column in mended(sheet, base, slip).items():
            changed[name][number] = column[0]
    return changed


def mended(sheet: Sheet, base: Readings, slip: Slip) -> dict[str, Values]:
    """Return the readings that a slip touches as they would be without it, shape (1, rows)."""
    if slip.kind is SlipKind.SWAP:
        return _exchanged(sheet, base, slip)
    found: dict[str, Values] = {}
    for name, row in slip.cells:
        column = found.get(name, base[name]).copy()
        rows = slice(None) if row == 0 else slice(row - 1, row)
        written = sheet.unit(name, max(row, 1))
        number = (column[0, rows] - written.offset) / written.factor
        if slip.unit is not None:
            column[0, rows] = slip.unit.to_si(number)
        else:
            column[0, rows] = written.to_si(number * 10.0**-slip.move)
        found[name] = column
    return found


def _exchanged(sheet: Sheet, base: Readings, slip: Slip) -> dict[str, Values]:
    found: dict[str, Values] = {}
    for (one, row), (other, _) in _pairs(slip.cells):
        a, b = sheet.unit(one, max(row, 1)), sheet.unit(other, max(row, 1))
        rows = slice(None) if row == 0 else slice(row - 1, row)
        first, second = found.get(one, base[one]).copy(), found.get(other, base[other]).copy()
        number, number_of_other = (first[0, rows] - a.offset) / a.factor, (second[0, rows] - b.offset) / b.factor
        first[0, rows] = a.to_si(number_of_other)
        second[0, rows] = b.to_si(number)
        found[one], found[other] = first, second
    return found


def _pairs(cells: tuple[tuple[str, int], ...]) -> Iterator[tuple[tuple[str, int], tuple[str, int]]]:
    return zip(cells[::2], cells[1::2], strict=True)


def _given(sheet: Sheet, item: Item) -> list[int]:
    """Return the rows in which a reading has a number."""
    return [int(row) + 1 for row in np.flatnonzero(np.isfinite(sheet.readings[item.name][0]))]


def _units(sheet: Sheet) -> Iterator[Slip]:
    alike: dict[tuple[str, str, str], list[Item]] = {}
    for item in numbers_of(sheet.rubric):
        rows = _given(sheet, item)
        if not rows:
            continue
        written = sheet.unit(item.name, rows[0])
        if item.table is None:
            alike.setdefault((item.instrument or item.name, written.symbol, item.unit.symbol), []).append(item)
        for meant in _other_units(item, written):
            yield _unit_slip(((item.name, 1 if item.table is None else 0),), meant, UNIT_PRIOR)
            if item.table is not None:
                yield from (_unit_slip(((item.name, row),), meant, UNIT_PRIOR + ONE_CELL_UNIT) for row in rows)
    for items in alike.values():
        if len(items) > 1:
            for meant in _other_units(items[0], sheet.unit(items[0].name)):
                yield _unit_slip(tuple((item.name, 1) for item in items), meant, UNIT_PRIOR)


def _unit_slip(cells: tuple[tuple[str, int], ...], meant: Unit, prior: float) -> Slip:
    return Slip(kind=SlipKind.UNIT, cells=cells, prior=prior, unit=meant)


def _other_units(item: Item, written: Unit) -> list[Unit]:
    """Return the units that a number may have been meant in, each of another size than the one written."""
    known = [item.unit, *item.recorded_in]
    if item.unit.symbol in TIMES:
        known += [define_unit(symbol) for symbol in TIMES]
    sizes = {(written.factor, written.offset)}
    found = []
    for unit in known:
        if (unit.factor, unit.offset) not in sizes:
            sizes.add((unit.factor, unit.offset))
            found.append(unit)
    return found


def _points(sheet: Sheet) -> Iterator[Slip]:
    for item in numbers_of(sheet.rubric):
        rows = _given(sheet, item)
        if item.table is not None and len(rows) > 1:
            for move in (-1, 1):  # the wrong range of a meter, read down a whole column
                yield Slip(kind=SlipKind.POINT, cells=((item.name, 0),), prior=POINT_PRIOR + WHOLE_COLUMN, move=move)
        for row in rows:
            entry = sheet.entry(item.name, row)
            if entry is None or entry.state is not State.NUMBER or not entry.value:
                continue  # a zero has no point to move
            for move in POINT_MOVES:
                prior = POINT_PRIOR + (TWO_PLACES if abs(move) > 1 else 0.0)
                prior += NO_POINT if _is_count(item, entry) else 0.0
                yield Slip(kind=SlipKind.POINT, cells=((item.name, row),), prior=prior, move=move)


def _is_count(item: Item, entry: Entry) -> bool:
    """Tell whether a whole number of things was counted, and not read off an instrument."""
    return (
        not item.unit.symbol and item.resolution is None and entry.last_place is not None and entry.last_place[0] >= 0
    )


def _swaps(sheet: Sheet) -> Iterator[Slip]:
    every: dict[tuple[str, str], list[tuple[str, int]]] = {}
    for one, other in exchangeable(sheet.rubric):
        first, second = sheet.rubric.items[one], sheet.rubric.items[other]
        rows = sorted(set(_given(sheet, first)) & set(_given(sheet, second)))
        if not rows:
            continue
        row = 1 if first.table is None else 0
        yield Slip(kind=SlipKind.SWAP, cells=((one, row), (other, row)), prior=SWAP_PRIOR)
        if first.table is not None:
            for row in rows:
                yield Slip(kind=SlipKind.SWAP, cells=((one, row), (other, row)), prior=SWAP_PRIOR + ONE_CELL_UNIT)
        elif first.instrument and second.instrument:
            every.setdefault((first.instrument, second.instrument), []).extend([(one, row), (other, row)])
    for cells in every.values():
        if len(cells) > 2:
            yield Slip(kind=SlipKind.SWAP, cells=tuple(cells), prior=SWAP_PRIOR)


def exchangeable(rubric: Rubric) -> tuple[tuple[str, str], ...]:
    """Return pairs of readings whose numbers may be written in each other's place: of one formula, or of one table."""
    found: dict[tuple[str, str], None] = {}
    columns = [item for item in numbers_of(rubric) if item.table is not None and not item.repeat_of]
    for one, other in itertools.combinations(columns, 2):
        if one.table == other.table:
            found[one.name, other.name] = None
    for answer in rubric.answers:
        names = [n for n in (answer.formula.names if answer.formula else ()) if n in rubric.items]
        readings = [rubric.items[n] for n in names if rubric.items[n].role is Role.READING]
        for one, other in itertools.combinations(readings, 2):
            if one.table == other.table and not one.is_words and not other.is_words:
                found[one.name, other.name] = None
    return tuple(found)


def factor_of(sheet: Sheet, base: Readings, slip: Slip) -> float | None:
    """Return the number as it was written over the one that was meant, None where numbers are exchanged."""
    if slip.kind is SlipKind.SWAP:
        return None
    if slip.unit is None:
        return 10.0**slip.move
    name, row = slip.cells[0]
    unit = sheet.unit(name, max(row, 1))
    with np.errstate(all="ignore"):
        written = unit.from_si(base[name][0])
        meant = unit.from_si(mended(sheet, base, slip)[name][0])
        ratio = written / meant
    ratio = ratio[np.isfinite(ratio)] if row == 0 else ratio[row - 1 : row]
    return median(ratio) if ratio.size else None
