"""Slips with the two points that a student read off the drawn line: sums out of four numbers that stand on the page."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from marking.checking.case import symbols
from marking.checking.causes.wrong import (
    Description,
    Hypothesis,
    WrongAnswers,
    count_steps,
    gradient_of_points,
    tree_names,
)
from marking.findings import Cause
from rubrics.formulas import Operation, plain_text, printed_text

RISE_SHARE = 0.7
"""Of gradients with something left out, the rise that was never divided; the rest is the run; judged."""
INVERTED_SHARE = 1.0
"""Run over rise by the very points, beside the gradient of all that was drawn, turned over."""
BRACKET_SHARE = 0.4
"""Of sums typed in one go, the bracket of the rise lost, that of the run, and a little less often both; judged."""
ADDED_SHARE = 0.5
"""Coordinates added where they are subtracted, in the rise, and as often in the run."""
POINT_SHARE = 0.35
"""y / x of either point, beside other quantities for the gradient."""
ONE_END_SHARE = 0.1
"""The far coordinate for the rise, or for the run, beside the same."""


def read_off_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield what comes out of the two points of a student's line by a wrong rule, worked out for all the answers."""
    right = gradient_of_points(wrong)
    if not isinstance(right, Operation):
        return
    rise, run = right.left, right.right
    assert isinstance(rise, Operation)
    assert isinstance(run, Operation)
    there = np.logical_and.reduce([wrong.is_written(name) for name in tree_names(right)])
    if not there.any():
        return
    names = symbols(wrong.board.rubric)
    for cause, share, tree in (
        (Cause.MISSING_FACTOR, RISE_SHARE, rise),
        (Cause.MISSING_FACTOR, 1.0 - RISE_SHARE, run),
        (Cause.GRADIENT_INVERTED, INVERTED_SHARE, Operation("/", run, rise)),
        *_typed_in_one_go(rise, run),
        (Cause.SIGN, ADDED_SHARE, Operation("/", Operation("+", rise.left, rise.right), run)),
        (Cause.SIGN, ADDED_SHARE, Operation("/", rise, Operation("+", run.left, run.right))),
        (Cause.WRONG_QUANTITY, POINT_SHARE, Operation("/", rise.right, run.right)),
        (Cause.WRONG_QUANTITY, POINT_SHARE, Operation("/", rise.left, run.left)),
        (Cause.WRONG_QUANTITY, ONE_END_SHARE, Operation("/", rise.left, run)),
        (Cause.WRONG_QUANTITY, ONE_END_SHARE, Operation("/", rise, run.left)),
        (Cause.REARRANGEMENT, 1.0, Operation("*", rise, run)),
    ):
        predicted = wrong.worked(tree)
        facts = {"used": printed_text(tree, names), "right": printed_text(right, names)}
        description = (plain_text(tree), facts)
        yield Hypothesis(
            cause=cause,
            share=np.where(there & np.isfinite(predicted), share, 0.0),
            predicted=predicted,
            describe=_told(description),
            steps=count_steps(tree),
            is_worked_out=True,
        )


def _typed_in_one_go(rise: Operation, run: Operation) -> Iterator[tuple[Cause, float, Operation]]:
    """Yield what a calculator makes of a gradient of two points without one of its brackets, or both."""
    by_run = Operation("-", rise.left, Operation("/", rise.right, run))
    yield Cause.OPERATION_ORDER, BRACKET_SHARE, by_run
    yield Cause.OPERATION_ORDER, BRACKET_SHARE, Operation("-", Operation("/", rise, run.left), run.right)
    inner = Operation("-", rise.left, Operation("/", rise.right, run.left))
    yield Cause.OPERATION_ORDER, 1.0 - 2.0 * BRACKET_SHARE, Operation("-", inner, run.right)


def _told(description: Description) -> Callable[[int], Description]:
    return lambda _: description
