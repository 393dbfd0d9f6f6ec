"""What a student typed of the graph on paper: two points read off the line, and the scales of the axes.

The points tell of the line, the scales of the room that the points fill. Where they
were not typed, or speak against the line, the teacher looks at the paper.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import DrawnLine, GradientVerdict, ReadOff, judge_drawn, unit_used
from marking.checking.case import Case, Line
from marking.findings import Outcome
from marking.reasons import Reason
from marking.write_up import Entry
from rubrics.model import Criterion
from rubrics.units import Unit, Verdict

HALF = 0.5
"""Of each axis, that the points fill at least; read to a little square of fifty."""
LEAST_SHARE = HALF - 0.02
EASY = (1.0, 2.0, 5.0)
"""What a large square may stand for, times a power of ten. Common practice, no source."""
ALSO_EASY = (2.5, 4.0)
"""What some schools allow: the teacher looks."""


def check_line(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line: awarded where two points far apart lie on the line of the readings, else for the teacher."""
    seen = line_reason(case)
    facts = {"point": criterion.point}
    if seen is None:
        yield Line(item="", row=None, outcome=Outcome.FOR_TEACHER, reason=Reason.TEACHER_LOOKS, facts=facts)
        return
    reason, more = seen
    is_shown = reason is Reason.LINE_FITS
    yield Line(
        item="",
        row=None,
        outcome=Outcome.AWARDED if is_shown else Outcome.FOR_TEACHER,
        reason=Reason.LINE_SHOWN if is_shown else reason,
        facts=facts | more,
    )


def check_scale(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line: whether the points fill half of each axis, and a large square stands for an easy amount."""
    graph = case.rubric.graph
    facts = {"point": criterion.point}
    found = (
        [_axis(case, graph.axes[start : start + 3], of) for start, of in ((0, graph.x), (3, graph.y))] if graph else []
    )
    if not found or Reason.TEACHER_LOOKS in found:
        yield Line(item="", row=None, outcome=Outcome.FOR_TEACHER, reason=Reason.TEACHER_LOOKS, facts=facts)
        return
    fault = next((one for one in found if one is not Reason.SCALE_RIGHT), None)
    outcome = Outcome.AWARDED if fault is None else Outcome.WITHHELD
    yield Line(item="", row=None, outcome=outcome, reason=fault or Reason.SCALE_RIGHT, facts=facts)


def _axis(case: Case, boxes: tuple[str, ...], of: str) -> Reason:
    """Return what one axis comes to; TEACHER_LOOKS where it was not typed, or does not hold its points.

    Points are plotted as they were written down, or as they should have been: what suits either stands.
    """
    scale = _numbers(case, boxes, of)
    if not all(math.isfinite(one) for one in scale):
        return Reason.TEACHER_LOOKS
    square = case.entry(case.item(boxes[-1]), 1)
    # What is easy to count by is the number on the axis: 0.5 each minute is no 0.00833 each second.
    typed = scale[-1] if square is None or square.value is None else abs(float(square.value))
    found = [_scale(scale, values, typed) for values in _plotted(case, of)]
    order = (Reason.SCALE_RIGHT, Reason.TEACHER_LOOKS, Reason.SCALE_AWKWARD, Reason.SCALE_SMALL)
    return min(found, key=order.index, default=Reason.TEACHER_LOOKS)


def _plotted(case: Case, of: str) -> list[NDArray[np.float64]]:
    columns = [case.board.cells[of].si, *([case.judged[of].own] if of in case.judged else [])]
    item = case.item(of)
    return [(column[case.student] - item.unit.offset) / item.unit.factor for column in columns]


def _scale(scale: Sequence[float], plotted: NDArray[np.float64], typed: float) -> Reason:
    """Return what a scale comes to for the values *plotted* on it.

    Args:
        scale: Its start, its end and a large square.
        plotted: Values in the same unit.
        typed: What a large square stands for, as the number that was typed.
    """
    start, end, square = scale
    values = plotted[np.isfinite(plotted)]
    if start == end or square <= 0 or typed <= 0 or values.size < 2:
        return Reason.TEACHER_LOOKS
    low, high = min(start, end), max(start, end)
    slack = 1e-6 * (high - low)
    if values.min() < low - slack or values.max() > high + slack:
        return Reason.TEACHER_LOOKS
    if np.ptp(values) < LEAST_SHARE * (high - low):
        return Reason.SCALE_SMALL
    size = typed / 10.0 ** math.floor(math.log10(typed) + 1e-9)
    if any(math.isclose(size, one, rel_tol=1e-6) for one in EASY):
        return Reason.SCALE_RIGHT
    is_allowed = any(math.isclose(size, one, rel_tol=1e-6) for one in ALSO_EASY)
    return Reason.TEACHER_LOOKS if is_allowed else Reason.SCALE_AWKWARD


def _numbers(case: Case, boxes: Sequence[str], of: str) -> list[float]:
    """Return what stands in *boxes*, in the unit of the item *of*; NaN where nothing does.

    A box without a unit counts in the unit of the other boxes, else in that of the student's own column: an axis that
    goes from 0 to 100 beside lengths in cm is no axis in metres.
    """
    read = [case.number(case.batch.in_own_unit, name) for name in boxes]
    if not all(math.isfinite(one) for one in read):
        return read  # most students type none of it, and nothing is asked of some of it
    unit = case.item(of).unit
    entries = [case.entry(case.item(name), 1) for name in boxes]
    beside = _unit_typed(case, boxes) or _unit_typed(case, (of,))
    return [
        unit.from_si(beside.to_si(entry.value))
        if beside is not None and entry is not None and entry.value is not None and _is_bare(entry)
        else number
        for number, entry in zip(read, entries, strict=True)
    ]


def _is_bare(entry: Entry) -> bool:
    return entry.unit is not None and entry.unit.verdict is Verdict.MISSING


def _unit_typed(case: Case, names: Sequence[str]) -> Unit | None:
    """Return the one unit in which the numbers of *names* were typed; None where there is none, or more than one."""
    typed = {
        unit_used(item, entry)
        for item in map(case.item, names)
        for one in case.readings(item)
        for _, entry in case.unplaced(one)
        if entry.unit is not None and entry.unit.unit is not None
    }
    return typed.pop() if len(typed) == 1 else None


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


def _points(case: Case) -> list[float] | None:
    """Return x, y, x, y of the two points in SI units; None where one is missing."""
    graph = case.rubric.graph
    if graph is None or not graph.read_off:
        return None
    found = [0.0] * len(graph.read_off)
    for first, of in enumerate((graph.x, graph.y)):
        found[first::2] = map(case.item(of).unit.to_si, _numbers(case, graph.read_off[first::2], of))
    return found if all(math.isfinite(one) for one in found) else None


def _drawn(case: Case) -> DrawnLine | None:
    points, graph = _points(case), case.rubric.graph
    if points is None or graph is None:
        return None
    line = case.batch.plotted[graph.x, graph.y].one(case.student)
    if not (np.isfinite(line.x) & np.isfinite(line.y)).any():
        return None
    return judge_drawn(line, ReadOff(x=(points[0], points[2]), y=(points[1], points[3])))
