"""What a unit is, once its spelling has been understood."""

from __future__ import annotations

from enum import StrEnum
from typing import TypeVar

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

Amount = TypeVar("Amount", float, NDArray[np.float64])

Dimension = tuple[int, int, int, int, int, int, int]
"""Exponents of length, mass, time, current, temperature, amount and luminous intensity, in that order."""

NO_DIMENSION: Dimension = (0, 0, 0, 0, 0, 0, 0)
TEMPERATURE: Dimension = (0, 0, 0, 0, 1, 0, 0)


class Unit(Struct, frozen=True, kw_only=True):
    """A unit in our own spelling, with what arithmetic needs of it.

    A value x in this unit is ``x * factor + offset`` in coherent SI units. Only a temperature
    *reading* has an offset; a temperature *change* in the same unit has none.
    """

    symbol: str
    """As we print it: J/(kg °C), cm³, Ω/m; empty for a pure number."""
    factor: float
    dimension: Dimension
    offset: float = 0.0

    @property
    def is_pure_number(self) -> bool:
        """Tell whether this is the unit of a pure number (factor 1, no dimension)."""
        return self.dimension == NO_DIMENSION and self.factor == 1.0

    def to_si(self, value: Amount) -> Amount:
        """Return a number of this unit, or an array of them, in coherent SI units; shape kept."""
        return value * self.factor + self.offset

    def from_si(self, value: Amount) -> Amount:
        """Return an SI number, or an array of them, in this unit; shape kept."""
        return (value - self.offset) / self.factor

    def change_to_si(self, change: Amount) -> Amount:
        """Return a difference, a step or an uncertainty of this unit in coherent SI units: the scale has no zero."""
        return change * self.factor

    def change_from_si(self, change: Amount) -> Amount:
        """Return a difference, a step or an uncertainty in SI units in this unit."""
        return change / self.factor

    def as_change(self) -> Unit:
        """Return the unit of a change: the same scale, no offset."""
        return replace(self, offset=0.0)


class Verdict(StrEnum):
    """What a typed unit is worth beside the unit that is asked for."""

    ACCEPT = "accept"
    NOTE = "accept with note"
    WRONG = "wrong"
    """A unit of another quantity, or no unit at all."""
    AMBIGUOUS = "ambiguous"
    """Two readings are reasonable: for the teacher."""
    MISSING = "missing"
    """Nothing was written where a unit is needed."""


class UnitReading(Struct, frozen=True, kw_only=True):
    """How one typed unit was understood."""

    typed: str
    """Exactly as written."""
    verdict: Verdict
    unit: Unit | None
    """None where nothing is known of it (missing, ambiguous, not a unit)."""
    note: str = ""
    """One short clause for teacher and student; empty when there is nothing to say."""
