"""Rows whose values stand one column too far to the left: one was left out, and the rest typed on without a gap."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from marking.intake.entries.missing_units import in_limits
from marking.intake.grids import Field, is_empty, text_of
from marking.intake.numbers import read_number
from marking.write_up import State
from rubrics.model import Item
from rubrics.units import Unit

_FEWEST = 3
"""Values; with two, one slip would look the same."""
_FEWEST_OUT = 2
"""Values beyond the limits of their own columns; one alone may be a slip of that value."""


class Standing(Struct, frozen=True, kw_only=True):
    """A field under its heading."""

    value: Field
    item: Item
    unit: Unit
    """That of the heading, else of the item."""

    @property
    def number(self) -> float | None:
        """Return the number that stands there alone; None where anything else does."""
        reading = read_number(text_of(self.value))
        return reading.value if reading.state is State.NUMBER and not reading.unit_text else None


def is_shifted_left(row: Sequence[Standing]) -> bool:
    """Tell whether the numbers of a row fit the columns to their right all along, and several not their own.

    Args:
        row: The value columns of one line, from left to right.
    """
    if len(row) <= _FEWEST or not is_empty(row[-1].value):
        return False
    numbers = [standing.number for standing in row[:-1]]
    if None in numbers:
        return False
    pairs = [(number or 0.0, own, right) for number, (own, right) in zip(numbers, pairwise(row), strict=True)]
    out = sum(not in_limits(number, own.unit, own.item) for number, own, _ in pairs)
    return out >= _FEWEST_OUT and all(in_limits(number, right.unit, right.item) for number, _, right in pairs)
