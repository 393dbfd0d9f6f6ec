"""Which unit a reading without one was recorded in, where the practical leaves only one possible."""

from __future__ import annotations

from collections import defaultdict

from msgspec.structs import replace

from marking.intake.entries.piles import SINGLE, Slot
from marking.intake.grids import Vocabulary
from marking.write_up import Entry, State
from rubrics.model import Item, Role
from rubrics.units import Unit, UnitReading, Verdict, is_same_scale

_SLACK = 1e-9
"""Relative: 0.3 kg and 300 g are the same limit, whatever the last bit says."""
_ROOM = 2.0
"""A typed unit is in doubt from this many times beyond a limit: a slip of units is a factor of ten or more, and the
limits say what usual apparatus gives, not what none could (common practice, no source)."""
NEARLY_WITHIN = 10.0
"""So many times beyond its limits a reading may be where its unit stands beside others of the instrument: limits are
what is expected, and no more; common practice, no source."""
_UNDERSTOOD = (Verdict.ACCEPT, Verdict.NOTE)


def settle_units(entries: dict[Slot, Entry], vocabulary: Vocabulary) -> dict[Slot, Entry]:
    """Return one student's entries with the units that follow from their column or from the item's limits.

    A unit written in some rows of a column goes for all of it. Where none was written, a reading stays in
    the unit of the item, unless the item's limits rule that out: then in the one unit that the limits
    leave, or in none (for the teacher) where they leave several. Answers are never given a unit this way,
    for a missing unit and a slip of units would look the same.
    """
    items = vocabulary.rubric.items
    far_off = [slot for slot, entry in entries.items() if is_far_off(entry, items[slot[0]])]
    if far_off:
        used = _used_within_limits(entries, vocabulary)
        entries = {**entries, **{slot: _doubted(entries[slot], items[slot[0]], used) for slot in far_off}}
    missing: dict[str, list[Slot]] = defaultdict(list)
    for slot, entry in entries.items():
        if lacks_unit(entry):
            missing[slot[0]].append(slot)
    if not missing:
        return entries
    settled = dict(entries)
    for name, slots in missing.items():
        item = vocabulary.rubric.items[name]
        source = _column_unit(name, entries)
        if source is not None:
            _take_from_column(settled, slots, source)
        elif item.role is Role.READING and item.limits is not None:
            _take_from_limits(settled, slots, item)
    return settled


def _used_within_limits(entries: dict[Slot, Entry], vocabulary: Vocabulary) -> set[tuple[str, str]]:
    """Return each instrument with the units that a reading of it, within its limits, was written in."""
    found = set()
    for (name, _), entry in entries.items():
        item, unit = vocabulary.rubric.items[name], entry.unit.unit if entry.unit is not None else None
        if item.role is not Role.READING or unit is None or entry.value is None or not entry.unit_raw:
            continue
        if in_limits(entry.value, unit, item):
            found.add((_instrument(item), unit.symbol))
    return found


def _instrument(item: Item) -> str:
    return item.instrument or item.name


def lacks_unit(entry: Entry) -> bool:
    """Tell whether *entry* is a number without a unit."""
    return entry.state is State.NUMBER and entry.unit is not None and entry.unit.verdict is Verdict.MISSING


def gives_unit(entry: Entry) -> bool:
    """Tell whether *entry* has a unit that is understood, which others of its column may take."""
    return entry.unit is not None and entry.unit.verdict in _UNDERSTOOD


def is_far_off(entry: Entry, item: Item) -> bool:
    """Tell whether *entry* is a reading that the apparatus cannot give in the unit beside it."""
    unit = entry.unit.unit if entry.unit is not None else None
    if unit is None or entry.value is None or entry.state is not State.NUMBER or item.role is not Role.READING:
        return False
    return not in_limits(entry.value, unit, item, room=_ROOM)


def _doubted(entry: Entry, item: Item, used: set[tuple[str, str]]) -> Entry:
    """Return *entry*, its unit in doubt where the apparatus cannot give it and gives it in another one: 998 kg.

    Not so where the instrument's other readings stand in that unit (*used*), and this one is only a little beyond.
    """
    unit = entry.unit.unit if entry.unit is not None else None
    if unit is None or entry.value is None:
        return entry
    others = [one for one in item.recorded_in if not is_same_scale(one, unit) and in_limits(entry.value, one, item)]
    if not others or unit.dimension != item.unit.dimension:
        return entry
    is_near = in_limits(entry.value * NEARLY_WITHIN, unit, item) or in_limits(entry.value / NEARLY_WITHIN, unit, item)
    if is_near and (_instrument(item), unit.symbol) in used:
        return entry
    names = " or ".join(one.symbol for one in others)
    note = f"{unit.symbol} is out of range here, {names} would be within it: which unit is meant, is not sure"
    reading = UnitReading(typed=entry.unit_raw, verdict=Verdict.AMBIGUOUS, unit=None, note=note)
    return replace(entry, unit=reading, notes=(*entry.notes, note))


def in_limits(value: float, unit: Unit, item: Item, room: float = 1.0) -> bool:
    """Tell whether *value* in *unit* lies within what the item's apparatus can give; True where no limits are set.

    Args:
        value: As it was typed.
        unit: The unit to try it in.
        item: Whose limits are meant.
        room: How many times beyond the upper limit, or below the lower one, still counts as within.
    """
    if item.limits is None:
        return True
    low, high = item.limits
    slack = _SLACK * max(abs(low), abs(high))
    low, high = (low / room if low > 0 else low * room), (high * room if high > 0 else high / room)
    return low - slack <= in_item_unit(value, unit, item) <= high + slack


def in_item_unit(value: float, unit: Unit, item: Item) -> float:
    """Return *value* of *unit* in the unit of the item."""
    return item.unit.from_si(unit.to_si(value))


def limits_in(unit: Unit | None, item: Item) -> tuple[float, float] | None:
    """Return the item's limits in *unit*; None where it has none or the unit is of another quantity."""
    if item.limits is None or unit is None or unit.dimension != item.unit.dimension:
        return None
    low, high = (unit.from_si(item.unit.to_si(x)) for x in item.limits)
    return min(low, high), max(low, high)


def _column_unit(name: str, entries: dict[Slot, Entry]) -> Entry | None:
    # The first entry of the column with a unit, if no other says another unit.
    column = [entry for (item, row), entry in entries.items() if item == name and row != SINGLE]
    having = [entry for entry in column if gives_unit(entry)]
    symbols = {entry.unit.unit.symbol for entry in having if entry.unit is not None and entry.unit.unit is not None}
    return having[0] if len(symbols) == 1 else None


def _take_from_column(settled: dict[Slot, Entry], slots: list[Slot], source: Entry) -> None:
    for slot in slots:
        note = f"no unit beside it; {source.unit_raw.strip()} from {source.place.cell} (unit of the column)"
        entry = settled[slot]
        settled[slot] = replace(entry, unit=source.unit, unit_raw=source.unit_raw, notes=(*entry.notes, note))


def _take_from_limits(settled: dict[Slot, Entry], slots: list[Slot], item: Item) -> None:
    values = [settled[slot].value for slot in slots]
    fitting = [
        unit for unit in item.recorded_in if all(value is not None and in_limits(value, unit, item) for value in values)
    ]
    if not fitting or item.unit in fitting:
        return
    if len(fitting) == 1:
        note = f"no unit; taken as {fitting[0].symbol}, for {item.unit.symbol} would be out of range (unit from range)"
        reading = UnitReading(typed="", verdict=Verdict.MISSING, unit=fitting[0], note=note)
    else:
        names = " or ".join(unit.symbol for unit in fitting)
        note = f"no unit; could be {names}, and cannot be {item.unit.symbol}"
        reading = UnitReading(typed="", verdict=Verdict.AMBIGUOUS, unit=None, note=note)
    for slot in slots:
        entry = settled[slot]
        settled[slot] = replace(entry, unit=reading, notes=(*entry.notes, note))
