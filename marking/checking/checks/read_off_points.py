"""Two points that a student read off the line on paper: what they tell of the line, and of the gradient taken off it.

They only ever propose: the line itself is on paper, where the teacher sees it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from marking.checking.answers import DrawnLine, GradientVerdict, Judgement, ReadOff, judge_drawn, printed_interval
from marking.checking.case import Case, Facts, Line, Reason, number_text, with_unit
from marking.findings import Outcome
from rubrics.formulas import Call, Name
from rubrics.model import Item


def line_reason(case: Case) -> tuple[Reason, dict[str, str]] | None:
    """Return what a student's two points tell of the line, and facts for it; None where they were not given."""
    drawn = _drawn(case)
    graph = case.rubric.graph
    if drawn is None or graph is None or drawn.verdict is GradientVerdict.NONE:
        return None
    x = case.item(graph.x)
    facts = {"triangle": f"{100 * drawn.triangle:.0f}", "axis": x.quantity}
    if drawn.follows_odd and not drawn.is_on_line:
        return Reason.LINE_FOLLOWS_ODD, facts
    if drawn.is_forced:
        return Reason.LINE_FORCED, facts
    if not drawn.is_on_line:
        return Reason.LINE_OFF_POINTS, facts
    if not drawn.is_large:
        return Reason.TRIANGLE_SMALL, facts
    return Reason.LINE_FITS, facts


def gradient_line(case: Case, item: Item, line: Line) -> Line:
    """Return *line*, or one for the teacher where the gradient does follow from the student's own two points."""
    unsure = (Judgement.WRONG, Judgement.NEAR_LINE)
    if not _is_gradient(case, item) or case.judgement(item, 1) not in unsure:
        return line
    low, high = _run_and_rise(case)
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


def _is_gradient(case: Case, item: Item) -> bool:
    graph = case.rubric.graph
    if graph is None or not graph.read_off or item.formula is None:
        return False
    return item.formula.tree == Call("slope", (Name(graph.y), Name(graph.x)))


def _points(case: Case) -> list[float] | None:
    """Return x, y, x, y of the two points in SI units; None where one is missing."""
    names = case.rubric.graph.read_off if case.rubric.graph is not None else ()
    found = [float(case.board.cells[name].si[case.student, 0]) for name in names]
    return found if found and np.isfinite(found).all() else None


def _drawn(case: Case) -> DrawnLine | None:
    points, graph = _points(case), case.rubric.graph
    if points is None or graph is None:
        return None
    x, y = (
        case.judged[name].own[case.student] if name in case.judged else case.board.cells[name].si[case.student]
        for name in (graph.x, graph.y)
    )
    if not (np.isfinite(x) & np.isfinite(y)).any():
        return None
    return judge_drawn(x, y, ReadOff(x=(points[0], points[2]), y=(points[1], points[3])))


def _run_and_rise(case: Case) -> tuple[float, float]:
    """Return the lowest and the highest gradient that the two points may stand for, as they were written down."""
    names = case.rubric.graph.read_off if case.rubric.graph is not None else ()
    ends = []
    for name in names:
        cells = case.board.cells[name]
        at = (case.student, 0)
        ends.append([float(cells.to_si(end)[at]) for end in printed_interval(cells.number, cells.finest)])
    if len(ends) != 4 or not np.isfinite(ends).all():
        return np.inf, -np.inf
    (a, b), (c, d), (e, f), (g, h) = ends
    found_gradients = [
        (y2 - y1) / (x2 - x1) for x1 in (a, b) for y1 in (c, d) for x2 in (e, f) for y2 in (g, h) if x1 != x2
    ]
    return (min(found_gradients), max(found_gradients)) if found_gradients else (np.inf, -np.inf)
