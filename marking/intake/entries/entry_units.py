"""The unit of an entry, where it may stand with the number, beside it, above it, or nowhere."""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec import Struct

from marking.intake.grids import Field, SheetValue, Stored, is_empty, text_of
from marking.intake.remarks import quote
from rubrics.units import Unit, UnitReading, Verdict

_SETTLED = frozenset({Verdict.ACCEPT, Verdict.NOTE, Verdict.MISSING})
OTHER_SCALE = "in the unit of the column"
"""How a note ends that shows a value in both units."""


class WrittenUnit(Struct, frozen=True, kw_only=True):
    """What stands beside or above a number as its unit."""

    field: Field = ""
    """The field of the unit column."""
    heading: str = ""
    """The unit that the heading gives; it counts where the field is empty."""
    cell: str = ""
    """Address of the field, for messages; empty where there is no such column, or where it is not kept."""
    has_box: bool = False
    """Whether there is a unit column although its address is not kept."""

    @property
    def is_asked_for(self) -> bool:
        """Tell whether the form has a box for the unit, filled or not."""
        return self.has_box or bool(self.cell)

    @property
    def typed(self) -> str:
        """Return the unit as typed, the field's before the heading's."""
        return self.heading if is_empty(self.field) else text_of(self.field)


class UnitOutcome(Struct, frozen=True, kw_only=True):
    """Which unit an entry has."""

    typed: str
    """As it goes into the entry."""
    reading: UnitReading
    notes: tuple[str, ...] = ()
    problem: str = ""
    """Why the number cannot be used, where its two units do not agree."""


def unit_beside(beside: WrittenUnit, near: UnitReading) -> UnitOutcome:
    """Return the unit that stands beside or above an entry, with a note where it is unclear or none at all.

    Args:
        beside: The unit as it stands there.
        near: How it reads.
    """
    if near.verdict in _SETTLED and isinstance(beside.field, str):
        return UnitOutcome(typed=near.typed, reading=near)
    if isinstance(beside.field, SheetValue) and beside.field.stored is Stored.MERGED:
        shown = f"is {beside.field.remark}, which shows {quote(near.typed)}"
        note = f"unit {beside.cell} {shown}: whose unit it is, is not sure"
        reading = UnitReading(typed=near.typed, verdict=Verdict.AMBIGUOUS, unit=None, note=note)
        return UnitOutcome(typed=near.typed, reading=reading, notes=(note,))
    if near.verdict is Verdict.AMBIGUOUS or (near.verdict is Verdict.WRONG and near.unit is None):
        where = f" in {beside.cell}" if beside.cell else ""
        return UnitOutcome(typed=near.typed, reading=near, notes=(f"unit {quote(near.typed)}{where}: {near.note}",))
    return UnitOutcome(typed=near.typed, reading=near)


def settle_unit(
    value: float, mine: UnitReading, beside: WrittenUnit, near: UnitReading, is_possible: Callable[[Unit], bool]
) -> UnitOutcome:
    """Return the unit of an entry that has one typed with its number.

    Args:
        value: The number, in the unit typed with it.
        mine: How the unit typed with it reads.
        beside: The unit beside or above it.
        near: How that one reads.
        is_possible: Whether the apparatus can give the number in some unit; True where nothing is known of it.
    """
    own = mine.typed
    if mine.unit is None and mine.verdict is not Verdict.AMBIGUOUS:
        return UnitOutcome(typed=own, reading=mine, problem=f"{quote(own)} behind the number is no unit")
    if near.unit is None:
        if mine.unit is None:
            return unit_beside(WrittenUnit(), mine)
        return UnitOutcome(typed=own, reading=mine)
    if mine.unit is None:
        note = f"unit {quote(own)} behind the number: {mine.note}"
        return UnitOutcome(typed=own, reading=mine, notes=(note,))
    if mine.unit.dimension != near.unit.dimension:
        problem = f"the unit {quote(own)} does not fit {quote(beside.typed.strip())} of the column"
        return UnitOutcome(typed=own, reading=mine, problem=problem)
    is_settled = is_possible(mine.unit) and not is_possible(near.unit)
    if not is_empty(beside.field) and not _is_one_scale(mine.unit, near.unit) and not is_settled:
        problem = f"the unit {quote(own)} behind the number and {quote(beside.typed.strip())} beside it disagree"
        return UnitOutcome(typed=own, reading=mine, problem=problem)
    return UnitOutcome(typed=own, reading=mine, notes=(_both_forms(value, mine.unit, near.unit),))


def _is_one_scale(mine: Unit, near: Unit) -> bool:
    return math.isclose(mine.factor, near.factor, rel_tol=1e-9) and mine.offset == near.offset


def _both_forms(value: float, mine: Unit, near: Unit) -> str:
    if _is_one_scale(mine, near):
        return f"unit {mine.symbol} typed with the number"
    converted = near.from_si(mine.to_si(value))
    return f"read as {value:.12g} {mine.symbol}, that is {converted:.12g} {near.symbol} {OTHER_SCALE}"
