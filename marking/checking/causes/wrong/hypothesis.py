"""One thing a batch of students may have done, and what it would have printed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.findings import Cause
from rubrics.formulas import PI, Name, Node, Operation, Power, walk

Values = NDArray[np.float64]

Description = tuple[str, Mapping[str, str]]
"""The detail of the finding, and the facts its sentence may quote."""


class Hypothesis(Struct, frozen=True, kw_only=True):
    """One slip, worked out for every answer of a batch."""

    cause: Cause
    share: Values
    """Its share of the prior of its cause, shape (answers,); 0 where it cannot have happened."""
    predicted: Values
    """The number it leads to, in the unit that the student wrote, shape (answers,); NaN where it leads to none."""
    describe: Callable[[int], Description]
    """Detail and facts for the answer at one position."""
    steps: int = 1
    """Steps of working, each of which a careful student may have rounded on the way."""
    dimension_agrees: NDArray[np.bool_] | None = None
    """Where the unit that was written is the one this slip leads to, shape (answers,)."""
    is_worked_out: bool = False
    """Whether it is a sum where the right answer is taken off a line that is drawn by hand."""
    is_by_factor: NDArray[np.bool_] | None = None
    """Where it is a slip of a unit that had to be changed, and was by another factor."""
    is_of_listed: NDArray[np.bool_] | None = None
    """Where it is the name of one unit beside the number in another, both listed for the answer, or a change of unit
    there and back."""
    is_on_the_sheet: NDArray[np.bool_] | None = None
    """Where it is a slip of a unit on the sheet that had to be changed: left as recorded, or changed the wrong way."""


@lru_cache(maxsize=4096)
def count_steps(tree: Node) -> int:
    """Return how many results a student writes down or keeps on the way, the last one among them."""
    worked = sum(isinstance(node, Operation | Power) for node in walk(tree))
    return max(1, worked - sum(node == Name(PI) for node in walk(tree)))


@lru_cache(maxsize=4096)
def tree_names(tree: Node) -> tuple[str, ...]:
    """Return the names in a formula's tree, each once."""
    return tuple(dict.fromkeys(node.name for node in walk(tree) if isinstance(node, Name) and node.name != PI))
