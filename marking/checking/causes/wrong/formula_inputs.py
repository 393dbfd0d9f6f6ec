"""The numbers that a student copies into a formula: its own inputs, and readings behind a step that is not there."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.causes.wrong.hypothesis import Values, tree_names
from marking.checking.causes.wrong.wrong_answers import WrongAnswers
from rubrics.formulas import Call, Formula, Name, Node, Operation, replace_name

_SAME = 1e-6
"""A step put in full into the formula comes to the same number, but for the noise of binary arithmetic."""


class FormulaInput(Struct, frozen=True, kw_only=True):
    """A number that is copied into a formula, and may be miscopied."""

    name: str
    tree: Node
    """The formula in which it stands."""
    there: NDArray[np.bool_]
    """For which of the answers it was copied, shape (answers,)."""
    chance: Values
    """Of this number among all that the student copied, shape (answers,)."""


def formula_inputs(wrong: WrongAnswers) -> list[FormulaInput]:
    """Return every number that was copied on the way to the answers.

    An earlier answer that was not written down was not copied from anywhere: the readings behind it were.
    A single answer out of whole columns has none that could be told, but for the two points of a line.
    """
    return wrong.made_once("formula inputs", lambda: _formula_inputs(wrong))


def _formula_inputs(wrong: WrongAnswers) -> list[FormulaInput]:
    formula = wrong.item.formula
    items = wrong.board.rubric.items
    if formula is None:
        return []
    names = [name for name in formula.names if name in items]
    if wrong.item.table is None and any(items[name].table is not None for name in names):
        return _of_points(wrong)
    found: list[tuple[str, Node, NDArray[np.bool_]]] = []
    for name in names:
        given = wrong.is_written(name)
        earlier = items[name].formula
        found.append((name, formula.tree, given if earlier is not None else np.ones(len(wrong), np.bool_)))
        if earlier is not None and not given.all():
            found += _behind(wrong, formula, name, earlier, ~given)
    count = np.maximum(np.sum([there for _, _, there in found], axis=0), 1) if found else np.ones(len(wrong))
    return [
        FormulaInput(name=name, tree=tree, there=there, chance=np.where(there, 1.0 / count, 0.0))
        for name, tree, there in found
        if there.any()
    ]


def _of_points(wrong: WrongAnswers) -> list[FormulaInput]:
    """Return the numbers of two points read off the line, for the gradient between them."""
    tree = gradient_of_points(wrong)
    if tree is None:
        return []
    names = tree_names(tree)
    there = np.logical_and.reduce([wrong.is_written(name) for name in names])
    if not there.any():
        return []
    chance = np.where(there, 1.0 / len(names), 0.0)
    return [FormulaInput(name=name, tree=tree, there=there, chance=chance) for name in names]


def gradient_of_points(wrong: WrongAnswers) -> Node | None:
    """Return the gradient between two points read off the drawn line; None where the answer is none."""
    graph, formula = wrong.board.rubric.graph, wrong.item.formula
    if graph is None or formula is None or not graph.read_off or wrong.item.table is not None:
        return None
    if formula.tree != Call("slope", (Name(graph.y), Name(graph.x))):
        return None
    x_a, y_a, x_b, y_b = (Name(name) for name in graph.read_off)
    return Operation("/", Operation("-", y_b, y_a), Operation("-", x_b, x_a))


def _behind(
    wrong: WrongAnswers, formula: Formula, name: str, earlier: Formula, missing: NDArray[np.bool_]
) -> Iterator[tuple[str, Node, NDArray[np.bool_]]]:
    """Yield the readings that went into the earlier answer *name* where it is not written down."""
    items = wrong.board.rubric.items
    readings = [one for one in earlier.names if one in items]
    if any(items[one].formula is not None or items[one].table != items[name].table for one in readings):
        return
    tree = replace_name(formula.tree, name, earlier.tree)
    with np.errstate(all="ignore"):
        there = missing & np.isclose(wrong.value(tree), wrong.value(formula.tree), rtol=_SAME)
    for one in readings:
        yield one, tree, there
