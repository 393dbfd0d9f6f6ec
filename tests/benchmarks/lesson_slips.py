"""Slips of a lesson, planted in the readings of one write-up."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from marking.write_up import Entry, State, WriteUp
from rubrics.model.practical import Item, Role, Rubric

NEVER_WRITTEN = ("m³", "Wh", "kWh", "K", "µm", "dm³")
"""Units of the rubrics that nobody in a school lab takes for the usual one."""
MINUTES = {"s": 60.0}
"""Seconds in what is written for them."""


class Planted(Struct, frozen=True, kw_only=True):
    """One slip in one write-up."""

    write_up: WriteUp
    items: tuple[str, ...]
    """Readings it touches; empty for a whole row."""
    factor: float | None = None
    """The number as written over what it should have been."""


def unit_slip(random: Random, rubric: Rubric, one: WriteUp) -> Planted | None:
    """Return the write-up with one reading, or one column, in another unit than the one that stands beside it."""
    choices = []
    for item in numbers(rubric, one):
        written = next(entry.unit for _, entry in cells(one, item))
        if written is None or written.unit is None:
            continue
        sizes = [unit.factor for unit in item.recorded_in if unit.symbol not in NEVER_WRITTEN]
        sizes += [MINUTES[item.unit.symbol]] if item.unit.symbol in MINUTES else []
        choices += [(item, written.unit.factor / size) for size in sizes if not math.isclose(size, written.unit.factor)]
    if not choices:
        return None
    item, factor = random.choice(choices)
    return Planted(write_up=_with(one, item, lambda entry: _times(entry, factor)), items=(item.name,), factor=factor)


def point_slip(random: Random, rubric: Rubric, one: WriteUp) -> Planted | None:
    """Return the write-up with the point of one reading moved by one place; half keep their decimal places."""
    item = random.choice(numbers(rubric, one))
    row, entry = random.choice([(row, entry) for row, entry in cells(one, item) if entry.value])
    move = random.choice((-1, 1))
    moved = _times(entry, 10.0**move)
    if random.random() < 0.5:
        kept = _shown((entry.value or 0.0) * 10.0**move, _places(entry), entry)
        moved = kept if kept.value else moved
    return Planted(write_up=_with(one, item, lambda _: moved, only=row), items=(item.name,), factor=10.0**move)


def swap_slip(random: Random, rubric: Rubric, one: WriteUp) -> Planted | None:
    """Return the write-up with the numbers of a p.d. and its current exchanged, one pair or two columns."""
    found = {item.name: item for item in numbers(rubric, one)}
    pairs = [(found[name], found["I" + name[1:]]) for name in found if name[0] == "V" and "I" + name[1:] in found]
    if not pairs:
        return None
    volts, amps = random.choice(pairs)
    of_volts, of_amps = dict(cells(one, volts)), dict(cells(one, amps))
    changed = _put(one, volts, {row: _number_of(of_amps[row], entry) for row, entry in of_volts.items()})
    changed = _put(changed, amps, {row: _number_of(of_volts[row], entry) for row, entry in of_amps.items()})
    return Planted(write_up=changed, items=(volts.name, amps.name))


def temperatures_swapped(random: Random, rubric: Rubric, one: WriteUp) -> Planted | None:
    """Return the write-up with the start and end of one kind of reading written in each other's boxes."""
    singles = {item.name: item for item in numbers(rubric, one) if item.table is None}
    pairs = [(n, n.replace("start", "end")) for n in singles if "start" in n and n.replace("start", "end") in singles]
    return _swapped(one, *(singles[name] for name in random.choice(pairs))) if pairs else None


def columns_swapped(random: Random, rubric: Rubric, one: WriteUp) -> Planted | None:
    """Return the write-up with two columns of its table written under each other's heading."""
    columns = [item for item in numbers(rubric, one) if item.table is not None and not item.repeat_of]
    if len(columns) < 2 or any(set(dict(cells(one, item))) != set(dict(cells(one, columns[0]))) for item in columns):
        return None
    return _swapped(one, *random.sample(columns, 2))


def _swapped(one: WriteUp, first: Item, second: Item) -> Planted:
    of_first, of_second = dict(cells(one, first)), dict(cells(one, second))
    changed = _put(one, first, {row: _number_of(of_second[row], entry) for row, entry in of_first.items()})
    changed = _put(changed, second, {row: _number_of(of_first[row], entry) for row, entry in of_second.items()})
    return Planted(write_up=changed, items=(first.name, second.name))


def minus_lost(random: Random, rubric: Rubric, one: WriteUp) -> Planted | None:
    """Return the write-up with the minus signs of one column, or of all, left out."""
    signed = [item for item in numbers(rubric, one) if any((entry.value or 0) < 0 for _, entry in cells(one, item))]
    if not signed:
        return None
    lost = signed if random.random() < 0.5 else [random.choice(signed)]
    for item in lost:
        one = _with(one, item, lambda entry: replace(entry, raw=entry.raw.lstrip("-−"), value=abs(entry.value or 0.0)))
    return Planted(write_up=one, items=tuple(item.name for item in lost))


def missing_cell(random: Random, rubric: Rubric, one: WriteUp) -> Planted | None:
    """Return the write-up without one reading: left blank, or not in the input at all."""
    item = random.choice(numbers(rubric, one))
    left = dict(cells(one, item))
    row = random.choice(list(left))
    if random.random() < 0.5:
        left[row] = replace(left[row], raw="", value=None, state=State.BLANK, last_place=None)
    else:
        del left[row]
    return Planted(write_up=_put(one, item, left), items=(item.name,))


def missing_row(random: Random, rubric: Rubric, one: WriteUp) -> Planted | None:
    """Return the write-up with one row of its table left empty, not the last."""
    columns = [item for item in numbers(rubric, one) if item.table is not None]
    if not columns:
        return None
    row = random.randint(1, max(one.columns[columns[0].name]) - 1)
    for item in columns:
        one = _put(one, item, {at: entry for at, entry in cells(one, item) if at != row})
    return Planted(write_up=one, items=())


Planter = Callable[[Random, Rubric, WriteUp], Planted | None]
PLANTERS: Mapping[str, Planter] = {
    "unit": unit_slip,
    "point": point_slip,
    "V and I": swap_slip,
    "temperatures": temperatures_swapped,
    "columns": columns_swapped,
    "minus": minus_lost,
    "missing cell": missing_cell,
    "missing row": missing_row,
}


def numbers(rubric: Rubric, one: WriteUp) -> list[Item]:
    """Return the readings of a write-up that are numbers."""
    taken = [item for item in rubric.items.values() if item.role is Role.READING or item.repeats]
    found = [item for item in taken if not item.is_words]
    return [item for item in found if item.name in one.singles or item.name in one.columns]


def cells(one: WriteUp, item: Item) -> list[tuple[int, Entry]]:
    """Return the entries of a reading with their rows, 1 for a single one."""
    return [(1, one.singles[item.name])] if item.table is None else sorted(one.columns[item.name].items())


def _places(entry: Entry) -> int:
    return max(0, -(entry.last_place or (0, 0))[0])


def _times(entry: Entry, factor: float) -> Entry:
    """Return the entry with its number multiplied, its figures kept."""
    shift = round(math.log10(factor))
    places = _places(entry) - shift
    return _shown((entry.value or 0.0) * factor, max(places, 0), entry)


def _shown(value: float, places: int, like: Entry) -> Entry:
    text = f"{value:.{places}f}"
    return replace(like, raw=text, value=float(text), last_place=(-places, -places))


def _number_of(other: Entry, entry: Entry) -> Entry:
    return replace(entry, raw=other.raw, value=other.value, last_place=other.last_place)


def _with(one: WriteUp, item: Item, change: Callable[[Entry], Entry], only: int | None = None) -> WriteUp:
    return _put(one, item, {row: change(e) if only in (None, row) else e for row, e in cells(one, item)})


def _put(one: WriteUp, item: Item, left: Mapping[int, Entry]) -> WriteUp:
    if item.table is not None:
        return replace(one, columns={**one.columns, item.name: dict(left)})
    singles = {name: entry for name, entry in one.singles.items() if name != item.name}
    return replace(one, singles=singles | ({item.name: left[1]} if 1 in left else {}))
