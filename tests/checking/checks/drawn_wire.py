"""A wire with points read off its drawn line, for the tests of what such points tell."""

from __future__ import annotations

from tests.checking.rows import in_table

WIRE = in_table(
    L="0.100 0.200 0.300 0.400 0.600 0.800 1.000 m",
    V="0.24 0.41 0.59 0.76 1.12 1.46 1.83 V",
    I="0.40 0.40 0.40 0.40 0.40 0.40 0.40 A",
    R="0.600 1.02 1.47 1.90 2.80 3.65 4.58 Ω",
)
"""A wire of 4.42 Ω/m with 0.14 Ω in contacts."""


def points(x1: str, y1: str, x2: str, y2: str) -> str:
    """Return the lines of two points."""
    return f"\nL_a,,{x1},m\nR_a,,{y1},Ω\nL_b,,{x2},m\nR_b,,{y2},Ω"
