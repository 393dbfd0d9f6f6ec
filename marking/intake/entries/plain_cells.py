"""Texts understood once for all cells that hold them, and which of them settling a student's work may pass over."""

from __future__ import annotations

from marking.cells import NOWHERE, Entry, ReadCell, State
from marking.intake.entries.dashes import is_dash
from marking.intake.entries.entry_units import WrittenUnit
from marking.intake.entries.missing_units import gives_unit, in_limits, is_far_off, lacks_unit
from marking.intake.entries.read_entry import read_anew
from marking.intake.entries.typed_ticks import PREFIX, WHY
from marking.intake.grids import Field, Vocabulary, fold
from marking.intake.people import ABSENT_WORDS
from rubrics.model import Item, Role


def read_cell(
    value: Field, unit: WrittenUnit, item: Item, vocabulary: Vocabulary, *, decimal_comma: bool | None
) -> ReadCell:
    """Return what a cell holds, wherever it stands; arguments as for ``read_entry``."""
    return as_cell(read_anew(value, unit, item, NOWHERE, vocabulary, decimal_comma), item)


def as_cell(entry: Entry, item: Item) -> ReadCell:
    """Return an entry for *item*, of whatever place, with what it may be to the others of its student."""
    lacks = lacks_unit(entry)
    is_plain = not (
        item.name.startswith((PREFIX, WHY))
        or (entry.state is State.BLANK and bool(entry.raw.strip()))
        or (not entry.raw[:1].isdigit() and fold(entry.raw) in ABSENT_WORDS)
        or is_dash(entry, item)
        or is_far_off(entry, item)
        or (lacks and _may_take_from_limits(entry, item))
    )
    is_noted = bool(entry.notes) and entry.state is not State.BLANK
    may_take_from_column = lacks and item.table is not None
    return ReadCell(
        entry=entry,
        is_plain=is_plain,
        is_noted=is_noted,
        lacks_unit=may_take_from_column,
        has_unit=gives_unit(entry),
        is_simple=is_plain and not is_noted and not may_take_from_column,
    )


def _may_take_from_limits(entry: Entry, item: Item) -> bool:
    if item.role is not Role.READING or item.limits is None:
        return False
    is_possible = entry.value is not None and in_limits(entry.value, item.unit, item)
    return not (is_possible and item.unit in item.recorded_in)
