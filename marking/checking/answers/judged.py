"""What was found of one answer of the whole class."""

from __future__ import annotations

from enum import IntEnum

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers.worked import Interval
from marking.checking.answers.written import Places
from rubrics.model import Item

Values = NDArray[np.float64]

CAREFUL_FIGURES = (2, 3)
"""A careful student keeps three figures in each step, or two where the readings have only two."""


class Judgement(IntEnum):
    """What one answer is worth."""

    NOT_GIVEN = 0
    RIGHT = 1
    """From the readings."""
    FOLLOWS = 2
    """From the student's own earlier answers, and not from the readings."""
    ROUGH = 3
    """Right only if a whole number was rounded to a single figure: a teacher looks."""
    NEAR_LINE = 4
    """Taken off a drawn line, and between the shares that decide: a teacher looks."""
    WRONG = 5
    NOT_RECALCULABLE = 6
    """A reading that it needs is missing or cannot be used."""
    UNREADABLE = 7
    NO_VALUE = 8
    """Nothing to work out, such as 0 / 0: never counted."""
    UNLABELLED = 9
    """Written without a unit, and right in another unit of the quantity: a teacher looks."""
    UNSURE = 10
    """An estimate outside what the usual conventions give, and not out of all reason: a teacher looks."""

    NEAR = 11
    """Near, but reached by no chain of steps from the student's figures: a teacher looks."""
    RIGHT_AS_ASKED = 12
    """The right number for the unit that is asked for, beside another unit of the quantity: 896 J/(g °C)."""
    OTHER_LABEL = 13
    """The right number for another usual unit than the one beside it, 112 Pa for 112 GPa: a teacher looks."""


class Judged(Struct, frozen=True, kw_only=True):
    """One answer of the whole class; arrays of shape (students, rows)."""

    item: Item
    judgement: NDArray[np.int64]
    own: Values
    """What the readings lead to, exactly, in SI units; NaN where it cannot be told."""
    followed: Values
    """What the earlier answers that were given lead to, exactly, in SI units; NaN where none was given."""
    unrounded: Values
    """The same for one who keeps every figure on the calculator: earlier answers exact, wrong ones as given."""
    own_interval: Interval
    meant_interval: Interval
    """Where careful answers lie that use every earlier answer as it was given, in SI units."""
    figures: tuple[Places, Places]
    """Significant figures of the least precise reading behind it: fewest and most that may count."""
