"""Printed numbers as digits: a whole number and the position of its last digit, for all answers together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Places, magnitude, ten_to
from marking.checking.causes.wrong.hypothesis import Values
from rubrics.formulas import printed

Digits = NDArray[np.int64]

MOST_DIGITS = 12
"""Slips are looked for in numbers of up to this many digits: as many as a calculator shows."""
ANSWER_SHARE = 0.45
"""Of digit slips: in writing down the answer; the rest in using a reading."""
LOOK_ALIKE = ((1, 7), (4, 9), (0, 6), (3, 8), (5, 6))
"""Digits taken for one another in handwriting."""
LOOK_ALIKE_SHARE = 0.2
"""Of digits read as another, those read as one that looks alike, judged."""


def _misread() -> Values:
    chances = np.zeros((10, 10))
    for first, second in LOOK_ALIKE:
        chances[first, second] = chances[second, first] = 1.0
    alike = chances.sum(axis=1, keepdims=True)
    chances *= LOOK_ALIKE_SHARE / np.maximum(alike, 1.0)
    others = (chances == 0) & ~np.eye(10, dtype=bool)
    rest = 1.0 - chances.sum(axis=1, keepdims=True)
    return np.asarray(chances + others * rest / others.sum(axis=1, keepdims=True))


MISREAD = _misread()
"""The chance that a misread digit (row) is taken for another (column), shape (10, 10)."""


def as_digits(number: Values, last: Places) -> Digits:
    """Return the digits of *number* down to position *last* as a whole number; 0 where there is no number."""
    with np.errstate(all="ignore"):
        scaled = np.abs(number) / ten_to(last)
        usable = np.isfinite(scaled) & (scaled < 10.0**15)
        return np.rint(np.where(usable, scaled, 0.0)).astype(np.int64)


def as_text(digits: int, last: int) -> str:
    """Return digits and the position of the last one as printed text."""
    return f"{digits * 10.0**last:.{max(0, -last)}f}"


def swap(digits: Digits, low: Places | int) -> tuple[Digits, NDArray[np.bool_]]:
    """Return *digits* with the two from position *low* up (from the end) swapped, and where that changes them."""
    unit = 10**low
    right, left = digits // unit % 10, digits // (10 * unit) % 10
    return digits + (right - left) * 9 * unit, right != left


def leaves_idle_zero(digits: Digits, low: Places | int, length: Places, last: Places) -> NDArray[np.bool_]:
    """Tell where swapping at *low* has put a zero in front of a whole number, as no hand would write it."""
    top = digits // 10 ** (low + 1) % 10
    return np.asarray((low + 2 == length) & (top == 0) & (last + low + 1 > 0))


def meant_text(value: float, last: int) -> str:
    """Return a number that was meant, its last digit at position *last*, as a person would write it."""
    # A float holds the digits of a number written as text, and noise behind them.
    return printed(float(f"{value:.{min(max(int(magnitude(np.array(value))) - last, 0), MOST_DIGITS)}e}"))
