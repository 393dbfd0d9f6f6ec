"""Whether a unit of another quantity belongs to the number beside it, by dimensions and arithmetic alone.

Who multiplies p.d. and current and writes the product in watts has made one slip, and one slip costs one mark. No
share of any cause is asked for, so that the mark is the same whoever sits in the class.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from marking.checking.answers import printed_interval
from marking.checking.case.student_case import Case
from marking.write_up import Entry
from rubrics.formulas import Call, Minus, Name, Node, Number, Power, factors, walk
from rubrics.model import Item

MOST_NAMES = 5
"""Numbers multiplied and divided in every combination: 243 of them at most."""


class _Part(Struct, frozen=True, kw_only=True):
    """A number that goes into an answer, raised to its power."""

    in_si: float
    as_written: float
    dimension: tuple[int, ...]


def is_inverted_gradient(case: Case, item: Item, row: int, entry: Entry) -> bool:
    """Tell whether run over rise prints a gradient, and its unit is that of run over rise."""
    tree = item.formula.tree if item.formula is not None else None
    tree = tree.term if isinstance(tree, Minus) else tree
    if not (isinstance(tree, Call) and tree.function == "slope"):
        return False
    unit, judged = entry.unit.unit if entry.unit is not None else None, case.judged[item.name]
    if unit is None or unit.dimension != tuple(-power for power in item.unit.dimension):
        return False
    ends = [end[case.student, row - 1] for end in judged.own_interval]
    low, high = _stands_for(case, item, row)
    if not all(math.isfinite(end) and end != 0 for end in ends):
        return False
    least, most = sorted(abs(1.0 / end) / unit.factor for end in ends)
    return bool(low <= most and high >= least)


def belongs_to_slip(case: Case, item: Item, row: int, entry: Entry) -> bool:
    """Tell whether a product of what goes into an answer, each above or below the line, has this unit and prints it."""
    unit = entry.unit.unit if entry.unit is not None else None
    parts = list(_parts(case, item, row))
    if unit is None or not parts or len(parts) > MOST_NAMES:
        return False
    low, high = _stands_for(case, item, row)
    for powers in itertools.product((-1, 0, 1), repeat=len(parts)):
        if _dimension(parts, powers) != tuple(unit.dimension):
            continue
        in_si = math.prod(part.in_si**power for part, power in zip(parts, powers, strict=True))
        as_written = math.prod(part.as_written**power for part, power in zip(parts, powers, strict=True))
        if any(low <= abs(value) <= high for value in (in_si / unit.factor, as_written)):
            return True
    return False


def _dimension(parts: Sequence[_Part], powers: tuple[int, ...]) -> tuple[int, ...]:
    raised = [[power * one for one in part.dimension] for part, power in zip(parts, powers, strict=True)]
    return tuple(sum(column) for column in zip(*raised, strict=True))


def _stands_for(case: Case, item: Item, row: int) -> tuple[float, float]:
    """Return the least and the greatest size that the printed number stands for, in the unit written."""
    cells = case.board.cells[item.name]
    low, high = (float(end[case.student, row - 1]) for end in printed_interval(np.abs(cells.number), cells.trusted))
    return low * (1 - 1e-9), high * (1 + 1e-9)


def _parts(case: Case, item: Item, row: int) -> Iterator[_Part]:
    """Yield the factors of the formula that are numbers on the paper, and the items in it that are not factors."""
    tree = item.formula.tree if item.formula is not None else None
    if tree is None:
        return
    for node, power in _factors(tree):
        other = case.rubric.items.get(node.name)
        if other is None or (other.table is not None and item.table is None):
            continue
        at = (case.student, row - 1 if other.table is not None else 0)
        cells = case.board.cells[other.name]
        value, written = float(cells.si[at]), float(cells.number[at])
        if not math.isfinite(value) and other.name in case.judged:
            value = written = float(case.judged[other.name].own[at])
        if math.isfinite(value) and value != 0 and written != 0:
            dimension = tuple(power * one for one in other.unit.dimension)
            yield _Part(in_si=value**power, as_written=written**power, dimension=dimension)


def _factors(tree: Node) -> Iterator[tuple[Name, int]]:
    for factor, _ in factors(tree):
        match factor:
            case Name():
                yield factor, 1
            case Power(Name() as base, exponent) if exponent > 0:
                yield base, exponent
            case Number():
                continue
            case _:
                yield from ((node, 1) for node in walk(factor) if isinstance(node, Name))
