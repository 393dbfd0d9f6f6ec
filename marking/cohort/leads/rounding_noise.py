"""What the last digits of the readings do to what is worked out of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Board, evaluate, ten_to
from rubrics.formulas import Formula

Values = NDArray[np.float64]

SMALL = 1e-4
"""A change of a reading that is small beside every curve of a formula."""


def rounding_halves(board: Board, formula: Formula, values: Mapping[str, Values]) -> dict[str, Values]:
    """Return what half a unit of each reading's last digit does to an answer, as a share of it.

    Args:
        board: The class.
        formula: The answer's way, from readings and constants alone.
        values: Readings and constants, in SI units.

    Returns:
        Reading to share, shape (students, rows); NaN where a reading is missing.
    """
    plain = evaluate(formula.tree, values)
    halves = {}
    for name in formula.names:
        if name not in board.cells:
            continue
        cells = board.cells[name]
        changed = evaluate(formula.tree, {**values, name: values[name] * (1 + SMALL)})
        with np.errstate(all="ignore"):
            power = np.log(changed / plain) / SMALL
            half = np.abs(power * 0.5 * ten_to(cells.finest) * cells.factor / values[name])
        halves[name] = np.broadcast_to(half, plain.shape)
    return halves


def as_deviation(halves: Sequence[Values], shape: tuple[int, ...]) -> Values:
    """Return the standard deviation that last digits bring, each spread evenly over its unit (JCGM 100:2008, 4.3.7)."""
    return np.asarray(np.sqrt(np.sum([half**2 / 3.0 for half in halves], axis=0) if halves else np.zeros(shape)))
