"""Whom the neighbours at the bench speak against: one part cannot be of 10 Ω for some and of 100 Ω for others.

A slip that many of a class share looks like another kind of part, since those who made it bear each other out. Their
neighbours with the same part in their hands do not, wherever one of them read it right.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

TEN = float(np.log(10.0))
NEAR = 0.15
"""Two results so near to a power of ten apart, or to each other, natural logarithm, count as that."""


def contradicted(benches: Sequence[str], sizes: Values) -> NDArray[np.bool_]:
    """Tell which sheets a neighbour contradicts by a power of ten, with more of the class behind it, shape (sheets,).

    Args:
        benches: Bench of each sheet, empty where it is not known.
        sizes: Natural logarithms of what follows from its readings, NaN where nothing does, shape (sheets, answers).
    """
    found = np.zeros(len(benches), np.bool_)
    names = np.array(benches, np.str_)
    together = (names[:, None] == names[None, :]) & (names != "")[:, None]
    for column in sizes.T:
        apart = column[:, None] - column[None, :]
        tens = np.round(apart / TEN)
        with np.errstate(invalid="ignore"):
            backing = (np.abs(apart) < NEAR).sum(axis=1)
            ten_apart = together & (tens != 0) & (np.abs(apart - tens * TEN) < NEAR)
        found |= (ten_apart & (backing[None, :] > backing[:, None])).any(axis=1)
    return found
