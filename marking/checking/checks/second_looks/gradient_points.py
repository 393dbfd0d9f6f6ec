"""A gradient that does not follow from the readings, and does from the two points the student took off the line."""

from __future__ import annotations

from msgspec.structs import replace

from marking.checking.answers import Judgement, is_gradient, printed_interval
from marking.checking.case import Case, Facts, Line, number_text, with_unit
from marking.findings import Outcome
from marking.reasons import Reason
from marking.write_up import State
from rubrics.model import Criterion, Rubric


def asks_for_gradient(criterion: Criterion, rubric: Rubric) -> bool:
    """Tell whether an answer of the criterion is the gradient of the graph on paper, with its two points asked for."""
    return any(is_gradient(rubric, rubric.items[name]) for name in criterion.items)


def gradient_line(_: Criterion, case: Case, line: Line) -> Line:
    """Return *line*, or one for the teacher where the gradient does follow from the student's own two points."""
    unsure = (Judgement.WRONG, Judgement.NEAR_LINE)
    if line.outcome is Outcome.AWARDED or line.entry is None or line.entry.state is not State.NUMBER:
        return line
    item = case.item(line.item)
    if not is_gradient(case.rubric, item) or case.judgement(item, 1) not in unsure:
        return line
    low, high = (end[case.student] for end in case.batch.own_gradients)
    if not low <= high:
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
