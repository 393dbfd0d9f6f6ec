"""Whether two formulas always come to the same number: both are worked out on numbers drawn for their names."""

from __future__ import annotations

import math
import random
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import evaluate
from rubrics.formulas import Name, Node, walk

_ROW_COUNT = 4
_SAME = 1e-9


def same_value(first: Node, second: Node) -> bool:
    """Tell whether two formulas always come to the same number."""
    return agree(fingerprint(first), fingerprint(second))


def is_constant(tree: Node) -> bool:
    """Tell whether a formula comes to the same number whatever goes into it: (a + b) / (a + b)."""
    names = {node.name for node in walk(tree) if isinstance(node, Name)}
    other = evaluate(tree, {name: _drawn(f"other {name}") for name in names})
    return agree(fingerprint(tree), float(other.ravel()[-1]))


def fingerprint(tree: Node) -> float:
    """Return what a formula comes to on numbers that are drawn for its names, the same in every formula."""
    value = evaluate(tree, {node.name: _drawn(node.name) for node in walk(tree) if isinstance(node, Name)})
    return float(value.ravel()[-1])  # the first row has none above it


@lru_cache(maxsize=1024)
def _drawn(name: str) -> NDArray[np.float64]:
    """Return numbers for a name, shape (1, rows), the same in every formula: they are seeded by it."""
    source = random.Random(name)
    found = np.array([[source.uniform(1.5, 9.5) for _ in range(_ROW_COUNT)]])
    found.setflags(write=False)
    return found


def agree(first: float, second: float) -> bool:
    """Tell whether two fingerprints are one."""
    if math.isnan(first) or math.isnan(second):
        return True  # a formula without a value explains nothing
    return math.isclose(first, second, rel_tol=_SAME)
