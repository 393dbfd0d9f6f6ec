"""In which order answers follow from each other, what they rest on, and the constants that every student is given.

Nobody can tell what a mean or a count should come to of which one reading cannot be read.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.worked import Interval
from marking.checking.answers.written import NO_LIMIT, Cells, Places
from rubrics.formulas import Call, walk
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

_OF_EVERY_READING = {"mean", "sum", "min", "max", "count", "first", "last", "concordant"}
"""What one reading more changes; a line through many points hardly moves."""


def in_order(rubric: Rubric) -> tuple[Item, ...]:
    """Return the answers so that each comes after those it is worked out from."""
    done: dict[str, Item] = {}

    def visit(item: Item) -> None:
        for name in item.formula.names if item.formula else ():
            other = rubric.items.get(name)
            if other is not None and other.role is Role.ANSWER and name not in done:
                visit(other)
        done[item.name] = item

    for item in rubric.answers:
        visit(item)
    return tuple(done.values())


def constant_intervals(rubric: Rubric) -> dict[str, Interval]:
    """Return the constants of *rubric*, each from the lowest to the highest value in use."""
    found = {}
    for name, constant in rubric.constants.items():
        values = [constant.unit.to_si(value) for value in constant.values]
        found[name] = (np.full((1, 1), min(values)), np.full((1, 1), max(values)))
    return found


def constant_values(rubric: Rubric) -> dict[str, Values]:
    """Return the constants of *rubric* at the value to print."""
    return {name: np.full((1, 1), c.unit.to_si(c.values[0])) for name, c in rubric.constants.items()}


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


def reading_figures(cells: Cells) -> tuple[Places, Places]:
    """Return the significant figures of readings, fewest and most that may count."""
    # A zero has no significant figures to limit anything.
    none = ~np.isfinite(cells.number) | (cells.number == 0)
    fewest, most = np.where(none, NO_LIMIT, cells.fewest_figures), np.where(none, NO_LIMIT, cells.most_figures)
    return fewest, np.where(cells.unknown_zeros, NO_LIMIT, most)


def per_answer(figures: Places, item: Item) -> Places:
    """Return figures as they limit an answer, shape (students, rows) for a column, else (students, 1)."""
    # A single answer drawn from a column is no better than the column's least precise reading.
    return figures.min(axis=1, keepdims=True) if item.table is None else figures
