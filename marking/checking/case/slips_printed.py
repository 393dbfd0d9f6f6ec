"""Which named slips of a rubric print a wrong answer, by arithmetic alone: no share of a class reaches a mark."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import constant_values, evaluate
from marking.checking.case.student_case import Case
from rubrics.model import Item, NamedSlip

FEWEST_FIGURES = 2
"""One figure is hit by chance."""
Values = NDArray[np.float64]


def slips_printed(case: Case, item: Item, row: int) -> list[NamedSlip]:
    """Return the named slips of *item* whose formula gives just what stands in *row*.

    Worked out in SI units on what the student wrote, and on what the readings lead to; a slip whose formula holds a
    factor between units prints nothing here.
    """
    at = row - 1
    slips = [slip for slip in case.rubric.slips if slip.answer == item.name]
    figures = case.batch.figures[item.name][1][case.student]
    if not slips or at >= len(figures) or figures[at] < FEWEST_FIGURES:
        return []
    low, high = (end[case.student][at] for end in case.batch.printed_si[item.name])
    return [
        slip
        for slip in slips
        if any(low <= value <= high for value in _values(case, slip, at))
        and not any(low <= value <= high for value in _right(case, item, at))
    ]


def _right(case: Case, item: Item, at: int) -> Iterator[float]:
    own = case.judged[item.name].own[case.student]
    yield float(own[min(at, len(own) - 1)])


def _values(case: Case, slip: NamedSlip, at: int) -> Iterator[float]:
    for numbers in _number_sets(case, slip):
        if all(name in numbers for name in slip.formula.names):
            found = evaluate(slip.formula.tree, numbers)[0]
            yield float(found[min(at, len(found) - 1)])


def _number_sets(case: Case, slip: NamedSlip) -> Iterator[Mapping[str, Values]]:
    written: dict[str, Values] = {}
    own: dict[str, Values] = {}
    for name in slip.formula.names:
        if name in case.rubric.constants:
            continue
        si = case.board.cells[name].si[case.student : case.student + 1]
        follows = case.judged[name].own[case.student : case.student + 1] if name in case.judged else si
        written[name] = np.where(np.isfinite(si), si, follows) if si.shape == follows.shape else si
        own[name] = follows
    constants = constant_values(case.rubric)
    yield {**constants, **written}
    yield {**constants, **own}
