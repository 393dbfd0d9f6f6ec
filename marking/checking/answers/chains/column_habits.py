"""What most rows of a column show of how it was worked out: nobody goes another way, or takes another g, in one row."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.worked import evaluate
from marking.checking.answers.written import Printed, any_of, ten_to
from rubrics.model import Item, Rubric

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

FEWEST_ROWS = 3
"""So many rows alike are a habit."""
PLAIN_SHARE = 2 / 3
"""Of the rows: where so many are what stands written leads to, no other figures were kept on the calculator."""
UNITS_AWAY = 3.0
"""Of the last place: what is no farther from the direct value may follow from such figures all the same."""
_NOISE = 1e-6
MOST_CHOICES = 16
"""Choices of constants that are tried for one column."""


def not_theirs(item: Item, one: Printed, alternatives: Sequence[Sequence[Values]]) -> list[Mask]:
    """Return for each alternative who did not take it, (students, 1): most of their rows show another one, and not it.

    Args:
        item: The answers; a single one shows no habit.
        one: All of them as they were printed, shape (students, rows).
        alternatives: What each may come to, in SI units.
    """
    given = np.isfinite(one.number)
    nobody = np.zeros((given.shape[0], 1), np.bool_)
    if item.table is None or len(alternatives) < 2:
        return [nobody for _ in alternatives]
    rows = given.sum(axis=1, keepdims=True)
    counts = [_count(one, given, values) for values in alternatives]
    best = np.maximum.reduce(counts)
    shown = (best >= FEWEST_ROWS) & (2 * best > rows)
    return [np.asarray(shown & (2 * count <= rows)) for count in counts]


def far_in_a_plain_column(item: Item, one: Printed, values: Sequence[Values]) -> Mask:
    """Tell which answers lie far from every direct value in a column whose other rows are just that.

    What was carried on unrounded shows in most rows, or in none by more than a few units of the last place.
    """
    given = np.isfinite(one.number)
    if item.table is None:
        return np.zeros(given.shape, np.bool_)
    count = _count(one, given, values)
    plain = (count >= FEWEST_ROWS) & (count >= PLAIN_SHARE * given.sum(axis=1, keepdims=True))
    with np.errstate(all="ignore"):
        room = UNITS_AWAY * ten_to(one.last) * (1 + _NOISE)
        close = [np.abs(one.number - one.from_si(value)) <= room for value in values]
    return np.asarray(plain & given & ~any_of(close))


def constants_not_theirs(
    rubric: Rubric, item: Item, one: Printed, known: Sequence[Mapping[str, Values]]
) -> tuple[_Choices, Mask]:
    """Return for each value of a constant in a column's formula who did not take it, and what only such a one prints.

    The first are of shape (students, 1), the last is of the shape of the board.
    """
    nothing = np.zeros(one.number.shape, np.bool_)
    formula = item.formula
    names = [name for name in (formula.names if formula else ()) if name in rubric.constants]
    names = [name for name in names if len(rubric.constants[name].values) > 1]
    if item.table is None or formula is None or not names:
        return {}, nothing
    choices = list(itertools.product(*(range(len(rubric.constants[name].values)) for name in names)))[:MOST_CHOICES]
    whole = [env for env in known if all(name in env for name in formula.names)]
    alternatives = [
        [evaluate(formula.tree, {**env, **_picked(rubric, names, choice)}) for env in whole] for choice in choices
    ]
    left_out = not_theirs(item, one, alternatives)
    found: _Choices = {}
    for position, name in enumerate(names):
        for at in range(len(rubric.constants[name].values)):
            masks = [mask for mask, choice in zip(left_out, choices, strict=True) if choice[position] == at]
            if masks:
                found[name, at] = np.asarray(np.logical_and.reduce(masks))
    others = [mask & _prints(one, values) for mask, values in zip(left_out, alternatives, strict=True) if mask.any()]
    return found, any_of([nothing, *others])


def _picked(rubric: Rubric, names: Sequence[str], choice: Sequence[int]) -> dict[str, Values]:
    constants = [rubric.constants[name] for name in names]
    values = [one.unit.to_si(one.values[at]) for one, at in zip(constants, choice, strict=True)]
    return {name: np.full((1, 1), value) for name, value in zip(names, values, strict=True)}


_Choices = dict[tuple[str, int], Mask]
"""Constant and the position of one of its values, to students."""


def _prints(one: Printed, values: Sequence[Values]) -> Mask:
    with np.errstate(all="ignore"):
        return any_of([one.is_printed_by(value, value) for value in values])


def _count(one: Printed, given: Mask, values: Sequence[Values]) -> NDArray[np.int64]:
    """Return how many rows of each student one of *values* prints, (students, 1)."""
    return np.asarray((_prints(one, values) & given).sum(axis=1, keepdims=True))
