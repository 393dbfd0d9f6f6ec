"""A formula worked out with every step on the way kept to a few figures, as it is written down line by line."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Places, evaluate, magnitude, ten_to
from marking.checking.causes.wrong.hypothesis import Values
from rubrics.formulas import OPERATIONS, Call, Minus, Name, Node, Number, Operation, Power, factors, walk


class Keeping(Struct, frozen=True):
    """A habit of keeping steps, for each answer its own; arrays of shape (answers,)."""

    figures: NDArray[np.int64]
    divides_first: NDArray[np.bool_]
    """Where of three factors the first is divided before anything is multiplied: (E / m) / ΔT, not E / (m ΔT)."""

    def at(self, positions: NDArray[np.int64]) -> Keeping:
        """Return the habits behind some of the answers."""
        return Keeping(self.figures[positions], self.divides_first[positions])


WAYS_TO_KEEP = tuple((figures, first) for figures in (3, 4) for first in (False, True))
"""Figures that a careful student keeps, in either order; fewer is a slip of its own."""


def every_way_to_keep(answers: int) -> Keeping:
    """Return every way for each of so many answers: all of them in the first way, then in the next."""
    figures, first = zip(*WAYS_TO_KEEP, strict=True)
    return Keeping(np.repeat(np.array(figures, np.int64), answers), np.repeat(np.array(first, np.bool_), answers))


def evaluate_kept(tree: Node, env: Mapping[str, Values], keeping: Keeping) -> Values:
    """Return *tree* worked out on *env* with all but the last step kept; formulas of whole columns are left alone.

    Both orders are worked out for all answers at once, where they differ: that costs less than to go by habits.
    """
    if _takes_columns(tree):
        return evaluate(tree, env)
    figures, other = keeping.figures[:, None], _divided_first(tree)
    with np.errstate(all="ignore"):
        worked = _worked(tree, env, figures)
        if other == tree:
            return worked
        return np.where(keeping.divides_first[:, None], _worked(other, env, figures), worked)


@lru_cache(maxsize=4096)
def has_steps(tree: Node) -> bool:
    """Tell whether anything is worked out on the way to the last step of a formula."""
    return not _takes_columns(tree) and any(_is_step(node) for part in _inside(tree) for node in walk(part))


@lru_cache(maxsize=4096)
def _takes_columns(tree: Node) -> bool:
    return any(isinstance(node, Call) and (node.columns or node.is_along_row) for node in walk(tree))


@lru_cache(maxsize=4096)
def _is_step(node: Node) -> bool:
    """Tell whether a part is worked out, and more than a number such as 4 / 3."""
    return isinstance(node, Operation | Power) and any(isinstance(part, Name) for part in walk(node))


def _inside(node: Node) -> tuple[Node, ...]:
    match node:
        case Operation(_, left, right):
            return left, right
        case Power(base, _):
            return (base,)
        case Minus(term):
            return (term,)
        case Call(_, arguments):
            return arguments
        case _:
            return ()


def _worked(node: Node, env: Mapping[str, Values], figures: Places) -> Values:
    match node:
        case Operation(sign, left, right):
            return np.asarray(OPERATIONS[sign](_step(left, env, figures), _step(right, env, figures)))
        case Power(base, exponent):
            return np.asarray(_step(base, env, figures) ** float(exponent))
        case Minus(term):
            return -_worked(term, env, figures)
        case Name(name) if name in env:
            return env[name]
        case _:
            return evaluate(node, env)


def _step(node: Node, env: Mapping[str, Values], figures: Places) -> Values:
    value = _worked(node, env, figures)
    return kept(value, figures) if _is_step(node) else value


def kept(values: Values, figures: Places | int, *, is_cut: bool = False) -> Values:
    """Return *values* rounded half up to *figures*, or cut."""
    unit = ten_to(magnitude(values) - figures + 1)
    with np.errstate(all="ignore"):
        scaled = np.abs(values) / unit
        return np.sign(values) * np.floor(scaled + (0.0 if is_cut else 0.5) + 1e-9) * unit


@lru_cache(maxsize=4096)
def _divided_first(tree: Node) -> Node:
    """Return a chain of three factors with the first above the line divided by the first below; others as they are."""
    parts = [(part, side) for part, side in factors(tree) if not (isinstance(part, Number) and part.value == 1.0)]
    above, below = [part for part, side in parts if side > 0], [part for part, side in parts if side < 0]
    if len(parts) != 3 or not above or not below:
        return tree
    first = Operation("/", above[0], below[0])
    return Operation("*", first, above[1]) if len(above) > 1 else Operation("/", first, below[1])
