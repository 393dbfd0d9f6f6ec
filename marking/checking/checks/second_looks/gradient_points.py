"""A gradient that does not follow from the readings, and does from the two points the student took off the line."""

from __future__ import annotations

from math import isfinite

import numpy as np
from msgspec.structs import replace

from marking.checking.answers import Judgement, printed_interval
from marking.checking.case import Case, Facts, Line, number_text, with_unit
from marking.findings import Outcome
from marking.reasons import Reason
from marking.write_up import State
from rubrics.formulas import Call, Name
from rubrics.model import Criterion, Item, Rubric


def asks_for_gradient(criterion: Criterion, rubric: Rubric) -> bool:
    """Tell whether an answer of the criterion is the gradient of the graph on paper, with its two points asked for."""
    return any(_is_gradient(rubric, rubric.items[name]) for name in criterion.items)


def gradient_line(_: Criterion, case: Case, line: Line) -> Line:
    """Return *line*, or one for the teacher where the gradient does follow from the student's own two points."""
    unsure = (Judgement.WRONG, Judgement.NEAR_LINE)
    if line.outcome is Outcome.AWARDED or line.entry is None or line.entry.state is not State.NUMBER:
        return line
    item = case.item(line.item)
    if not _is_gradient(case.rubric, item) or case.judgement(item, 1) not in unsure:
        return line
    low, high = _run_and_rise(case)
    if low > high:
        return line  # as of nearly all, who typed no points
    cells = case.board.cells[item.name]
    at = (case.student, 0)
    ends = [float(end[at] * cells.factor[at]) for end in printed_interval(cells.number, cells.trusted)]
    if not (min(ends) <= high and low <= max(ends)):
        return line
    own = 0.5 * (low + high) / item.unit.factor
    facts = {"from_points": with_unit(number_text(own), item.unit.symbol)}
    return replace(
        line,
        outcome=Outcome.FOR_TEACHER,
        reason=Reason.GRADIENT_FROM_OWN_LINE,
        facts=Facts(lambda: {**line.facts, **facts}),
    )


def _is_gradient(rubric: Rubric, item: Item) -> bool:
    graph = rubric.graph
    tree = item.formula.tree if item.formula is not None else None
    if graph is None or not graph.read_off or not isinstance(tree, Call):
        return False
    return tree == Call("slope", (Name(graph.y), Name(graph.x)))


def _run_and_rise(case: Case) -> tuple[float, float]:
    """Return the lowest and the highest gradient that the two points may stand for, turned round where none is."""
    names = case.rubric.graph.read_off if case.rubric.graph is not None else ()
    if not all(isfinite(case.number(case.batch.si, name)) for name in names):
        return np.inf, -np.inf
    ends = []
    for name in names:
        cells = case.board.cells[name]
        at = (case.student, 0)
        ends.append([float(cells.to_si(end)[at]) for end in printed_interval(cells.number, cells.finest)])
    if len(ends) != 4 or not np.isfinite(ends).all():
        return np.inf, -np.inf
    (a, b), (c, d), (e, f), (g, h) = ends
    if a <= f and e <= b:
        return np.inf, -np.inf  # one above the other, for all that is printed: no run, and no gradient
    gradients = [(y2 - y1) / (x2 - x1) for x1 in (a, b) for y1 in (c, d) for x2 in (e, f) for y2 in (g, h)]
    return min(gradients), max(gradients)
