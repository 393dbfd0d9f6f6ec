"""In which order answers follow from each other, and the constants that every student is given."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.careful import Interval
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]


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
        values = [value * constant.unit.factor for value in constant.values]
        found[name] = (np.full((1, 1), min(values)), np.full((1, 1), max(values)))
    return found


def constant_values(rubric: Rubric) -> dict[str, Values]:
    """Return the constants of *rubric* at the value to print."""
    return {name: np.full((1, 1), c.values[0] * c.unit.factor) for name, c in rubric.constants.items()}
