"""Means and counts of which one reading cannot be read: nobody can tell what they should come to."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.board import Cells
from rubrics.formulas import Call, walk
from rubrics.model import Item

Mask = NDArray[np.bool_]

_OF_EVERY_READING = {"mean", "min", "max", "count", "first", "last", "concordant"}
"""What one reading more changes; a line through many points hardly moves."""


def unread(cells: Cells) -> Mask:
    """Return where something was written that cannot be used, shape (students, rows)."""
    return np.asarray(cells.given & ~np.isfinite(cells.si))


def lacks_reading(item: Item, before: Mapping[str, Mask]) -> Mask:
    """Return where an answer rests on a reading that cannot be read, shape (students, rows) or (students, 1).

    Args:
        item: The answer.
        before: The same of what it is worked out from, and of the readings where they are not readable.
    """
    tree = item.formula.tree if item.formula is not None else None
    passes_over = tree is not None and any(isinstance(n, Call) and n.function in _OF_EVERY_READING for n in walk(tree))
    names = item.formula.names if item.formula is not None else ()
    found: Mask = np.zeros((1, 1), np.bool_)
    for name in names:
        mask = before.get(name)
        if mask is None or not (passes_over or item.table is not None or mask.shape[1] == 1):
            continue
        found = found | (mask.any(axis=1, keepdims=True) if item.table is None else mask)
    return found
