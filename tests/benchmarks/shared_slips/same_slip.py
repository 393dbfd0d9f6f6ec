"""One slip, decided for a class, and put into the write-ups of those who make it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from itertools import combinations
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from marking.write_up import Entry, WriteUp
from rubrics.model.practical import Item, Rubric
from tests.benchmarks.lesson_slips import cells, numbers

OFF_BY = (-1, 1)
PAIRS_OF_NAMES = (("start", "end"), ("m_1", "m_2"), ("v_1", "v_2"))
"""Readings of one kind before and after something."""


class SameSlip(Struct, frozen=True, kw_only=True):
    """What everybody who makes it writes."""

    items: tuple[str, ...]
    make: Callable[[WriteUp], WriteUp]
    factor: float | None = None
    """The number as written over the one that was meant; None where numbers change places or signs."""


def temperatures(rubric: Rubric, one: WriteUp, chance: Random) -> SameSlip | None:
    """Return a start and an end in each other's boxes, or in each other's columns."""
    there = {item.name: item for item in numbers(rubric, one) if item.unit.offset}
    pairs = [(name, name.replace("start", "end")) for name in there if "start" in name]
    pairs = [pair for pair in pairs if pair[1] in there]
    return _exchange(rubric, [chance.choice(pairs)]) if pairs else None


def volts_and_amps(rubric: Rubric, one: WriteUp, chance: Random) -> SameSlip | None:
    """Return p.d. and current in each other's place: one pair, all pairs, or two columns."""
    there = {item.name for item in numbers(rubric, one)}
    pairs = [(name, "I" + name[1:]) for name in there if name[0] == "V" and "I" + name[1:] in there]
    pairs = sorted(pair for pair in pairs if rubric.items[pair[0]].instrument == "voltmeter")
    if not pairs:
        return None
    return _exchange(rubric, pairs if chance.random() < 0.5 else [chance.choice(pairs)])


def columns(rubric: Rubric, one: WriteUp, chance: Random) -> SameSlip | None:
    """Return two columns of one table under each other's heading; of two that are read in the same rows."""
    there = [item for item in numbers(rubric, one) if item.table is not None and not item.repeat_of]
    rows = {item.name: set(dict(cells(one, item))) for item in there}
    pairs = [(a.name, b.name) for a, b in combinations(there, 2) if a.table == b.table and rows[a.name] == rows[b.name]]
    return _exchange(rubric, [chance.choice(pairs)]) if pairs else None


def point(rubric: Rubric, one: WriteUp, chance: Random) -> SameSlip | None:
    """Return the point of one reading moved by a place; half keep the places that they would have."""
    item = chance.choice([item for item in numbers(rubric, one) if any(entry.value for _, entry in cells(one, item))])
    row = chance.choice([row for row, entry in cells(one, item) if entry.value])
    move, keeps = chance.choice(OFF_BY), chance.random() < 0.5
    return SameSlip(
        items=(item.name,),
        factor=10.0**move,
        make=lambda sheet: _changed(sheet, item, lambda entry: _moved(entry, move, keeps=keeps), row),
    )


def column_point(rubric: Rubric, one: WriteUp, chance: Random) -> SameSlip | None:
    """Return the point of a whole column moved by a place."""
    there = [item for item in numbers(rubric, one) if item.table is not None and not item.repeat_of]
    there = [item for item in there if any(not float(entry.value or 0).is_integer() for _, entry in cells(one, item))]
    if not there:
        return None
    item, move = chance.choice(there), chance.choice(OFF_BY)
    return SameSlip(
        items=(item.name,),
        factor=10.0**move,
        make=lambda sheet: _changed(sheet, item, lambda entry: _moved(entry, move, keeps=False)),
    )


def minus(rubric: Rubric, one: WriteUp, chance: Random) -> SameSlip | None:
    """Return the minus signs of one column, or of all, left out."""
    signed = [item for item in numbers(rubric, one) if any((entry.value or 0) < 0 for _, entry in cells(one, item))]
    if not signed:
        return None
    lost = signed if chance.random() < 0.5 else [chance.choice(signed)]

    def make(sheet: WriteUp) -> WriteUp:
        for item in lost:
            sheet = _changed(sheet, item, _without_sign)
        return sheet

    return SameSlip(items=tuple(item.name for item in lost), make=make)


SLIPS: Mapping[str, Callable[[Rubric, WriteUp, Random], SameSlip | None]] = {
    "temperatures exchanged": temperatures,
    "V and I exchanged": volts_and_amps,
    "columns exchanged": columns,
    "point of one reading moved": point,
    "point of a column moved": column_point,
    "minus signs left out": minus,
}


def _exchange(rubric: Rubric, pairs: Sequence[tuple[str, str]]) -> SameSlip:
    def make(sheet: WriteUp) -> WriteUp:
        for one, other in pairs:
            first, second = rubric.items[one], rubric.items[other]
            of_first, of_second = dict(cells(sheet, first)), dict(cells(sheet, second))
            sheet = _changed(sheet, first, lambda entry: entry, entries=_numbers(of_first, of_second))
            sheet = _changed(sheet, second, lambda entry: entry, entries=_numbers(of_second, of_first))
        return sheet

    return SameSlip(items=tuple(name for pair in pairs for name in pair), make=make)


def _numbers(of: Mapping[int, Entry], other: Mapping[int, Entry]) -> dict[int, Entry]:
    """Return the entries with the numbers of the others in the same rows, under their own units."""
    return {
        row: replace(entry, raw=other[row].raw, value=other[row].value, last_place=other[row].last_place)
        if row in other
        else entry
        for row, entry in of.items()
    }


def _changed(
    sheet: WriteUp,
    item: Item,
    change: Callable[[Entry], Entry],
    only: int | None = None,
    entries: Mapping[int, Entry] | None = None,
) -> WriteUp:
    there = dict(cells(sheet, item)) if entries is None else entries
    left = {row: change(entry) if only in (None, row) else entry for row, entry in there.items()}
    if item.table is None:
        return replace(sheet, singles={**sheet.singles, item.name: left[1]})
    return replace(sheet, columns={**sheet.columns, item.name: left})


def _moved(entry: Entry, move: int, *, keeps: bool) -> Entry:
    value = (entry.value or 0.0) * 10.0**move
    shown = max(0, -(entry.last_place or (0, 0))[0])
    places = max(shown - move, 0)
    if keeps and float(f"{value:.{shown}f}") and math.isclose(float(f"{value:.{shown}f}"), value, rel_tol=0.3):
        places = shown
    text = f"{value:.{places}f}"
    return replace(entry, raw=text, value=float(text), last_place=(-places, -places))


def _without_sign(entry: Entry) -> Entry:
    return replace(entry, raw=entry.raw.lstrip("-−"), value=abs(entry.value or 0.0))
