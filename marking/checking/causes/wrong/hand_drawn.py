"""How far off a number is that was taken off a line drawn by hand."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

DRAWN_SPREAD = 0.02
"""Standard deviation of a gradient drawn by hand, relative; common practice, no source."""


def drawn_chance(number: Values, meant: Values, width: Values) -> Values:
    """Return the chance that a student whose line should give *meant* prints *number*.

    Args:
        number: As printed.
        meant: What the fitted line gives.
        width: What the last digit of the printed number spans, relative.
    """
    with np.errstate(all="ignore"):
        distance = np.abs(np.log(number / meant))
        density = np.exp(-0.5 * (distance / DRAWN_SPREAD) ** 2) / (DRAWN_SPREAD * math.sqrt(2 * math.pi))
        return np.nan_to_num(np.minimum(width * density, 1.0))
