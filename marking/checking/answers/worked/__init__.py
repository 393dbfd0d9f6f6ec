"""Formulas worked out for a whole class: exactly, and from the lowest to the highest that careful rounding gives.

In: a formula and the values or intervals that go into it. Out: values or intervals. Never knows what a student wrote.
"""

from marking.checking.answers.worked.careful import (
    ZERO_CELSIUS_CUT,
    Care,
    Interval,
    careful_interval,
    hull,
    is_drawn,
)
from marking.checking.answers.worked.evaluation import POINT_FUNCTIONS, column_value, evaluate, row_value

__all__ = [
    "POINT_FUNCTIONS",
    "ZERO_CELSIUS_CUT",
    "Care",
    "Interval",
    "careful_interval",
    "column_value",
    "evaluate",
    "hull",
    "is_drawn",
    "row_value",
]
