"""A student's final value beside nature's, and their data ready to draw."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import Board, Judged
from marking.checking.curves import Shapes, drawn_curve
from marking.checking.fits import DRAWN_FITS, ORIGIN, fit_lines, fit_value, odd_points
from marking.checking.uncertainty import ResultUncertainties, fitting
from marking.findings import Plot, Result
from rubrics.formulas import Call, Name, walk
from rubrics.model import AcceptedValue, GraphInfo, Item, ResultInfo, Rubric

Values = NDArray[np.float64]

FEWEST_FOR_LINE = 3
"""Two points always lie on a line; it says nothing."""
FEWEST_TO_KNOW = 3
"""Results from which on most of a class tell what was tested."""


class Chosen(Struct, frozen=True, kw_only=True):
    """The accepted value that a student is compared with."""

    value: AcceptedValue
    is_known: bool
    """Whether roster, rubric or most of the class say that it is this one; else a result far off says nothing."""


class Usual(Struct, frozen=True, kw_only=True):
    """The accepted value of a class."""

    value: AcceptedValue
    is_known: bool
    """Whether the rubric or most of the class say that it is this one."""


def nearest_accepted(board: Board, judged: Mapping[str, Judged]) -> dict[str, int]:
    """Return how many results are nearest to which accepted value, by its name; those near none under ''.

    Students whose roster names a material have no vote.
    """
    info = board.rubric.result
    if info is None or not info.accepted or info.answer not in judged:
        return {}
    told = _told(board, info)
    own = (_own_value(board, judged, student) for student in range(len(board.write_ups)))
    values = [value for value, one in zip(own, told, strict=True) if one is None and np.isfinite(value)]
    found = (fitting(info, value) for value in values)
    return dict(Counter(one.name if one is not None else "" for one in found))


def usual_accepted(rubric: Rubric, nearest: Mapping[str, int]) -> Usual | None:
    """Return the accepted value of a class; None where nature has none.

    It is the one that the rubric names, else the one that serves most of what the class recorded, else the first.
    """
    info = rubric.result
    if info is None or not info.accepted:
        return None
    if info.use is not None:
        return Usual(value=next(one for one in info.accepted if one.name == info.use), is_known=True)
    usual = max(info.accepted, key=lambda one: nearest.get(one.name, 0))  # the first of equals
    results = sum(nearest.values())
    is_known = len(info.accepted) == 1 or 2 * nearest.get(usual.name, 0) > results >= FEWEST_TO_KNOW
    return Usual(value=usual, is_known=is_known)


def choose_accepted(board: Board, judged: Mapping[str, Judged], usual: Usual | None) -> list[Chosen | None]:
    """Return the accepted value that each student is compared with, in the order of the batch.

    One for the class, *usual*; a student whose roster names a material is compared with that one. So a bench that
    reads off is not taken for one with another material.
    """
    info = board.rubric.result
    if usual is None or info is None or info.answer not in judged:
        return [None] * len(board.write_ups)
    # Where each may have another object, the nearest is taken, and what is near none says nothing.
    told = _told(board, info)
    if info.each:
        own = [_own_value(board, judged, student) for student in range(len(board.write_ups))]
        nearest = [fitting(info, value) if np.isfinite(value) else None for value in own]
        told = [one or near for one, near in zip(told, nearest, strict=True)]
    is_known = usual.is_known and not info.each
    chosen = [Chosen(value=one or usual.value, is_known=is_known or one is not None) for one in told]
    return [replace(one, value=_followed(board, judged, one.value, s)) for s, one in enumerate(chosen)]


def _told(board: Board, info: ResultInfo) -> list[AcceptedValue | None]:
    by_name = {one.name.casefold(): one for one in info.accepted}
    return [by_name.get(write_up.student.material.casefold()) for write_up in board.write_ups]


def _followed(board: Board, judged: Mapping[str, Judged], accepted: AcceptedValue, student: int) -> AcceptedValue:
    """Return *accepted* as it is for this student, where it depends on what they measured: the air temperature."""
    if accepted.follows is None or accepted.follows not in judged:
        return accepted
    item = board.rubric.items[accepted.follows]
    value = float((judged[accepted.follows].own[student, 0] - item.unit.offset) / item.unit.factor)
    return replace(accepted, value=value) if np.isfinite(value) else accepted


def _answer_of(board: Board, judged: Mapping[str, Judged], student: int) -> str | None:
    """Return the final answer that this student's readings lead to; None where they lead to none."""
    info = board.rubric.result
    names = () if info is None else (info.answer, *info.or_answers)
    return next((n for n in names if n in judged and np.isfinite(judged[n].own[student, 0])), None)


def _own_value(board: Board, judged: Mapping[str, Judged], student: int) -> float:
    name = _answer_of(board, judged, student)
    if name is None:
        return float("nan")
    item = board.rubric.items[name]
    return float((judged[name].own[student, 0] - item.unit.offset) / item.unit.factor)


def result_of(
    board: Board,
    judged: Mapping[str, Judged],
    student: int,
    accepted: Chosen | None,
    sure: Mapping[str, ResultUncertainties] | None = None,
) -> Result | None:
    """Return one student's final value; None where their readings lead to none."""
    name = _answer_of(board, judged, student)
    if name is None:
        return None
    item = board.rubric.items[name]
    own = _own_value(board, judged, student)
    known = (sure or {}).get(name)
    without_odd = known.value(student) if known is not None else own
    written = item.unit.from_si(float(board.cells[name].si[student, 0]))
    value = accepted.value if accepted else None
    is_known = accepted is not None and accepted.is_known
    return Result(
        value=without_odd if np.isfinite(without_odd) else own,
        written=written if np.isfinite(written) else None,
        unit=item.unit.symbol,
        accepted=value,
        uncertainty=known.of(student, value, is_known=is_known) if known is not None else None,
    )


def plots_of(board: Board, judged: Mapping[str, Judged], curves: Mapping[tuple[str, str], Shapes]) -> list[Plot | None]:
    """Return the graph of every student, None where there are too few points."""
    graph = board.rubric.graph
    if graph is None:
        return [None] * len(board.write_ups)
    x_item, y_item = board.rubric.items[graph.x], board.rubric.items[graph.y]
    x, y = np.broadcast_arrays(_axis(board, judged, x_item), _axis(board, judged, y_item))
    straight = graph.fit == "line"
    calculated = _calculated_line(board, judged, graph, x, y)
    odd = odd_points(x, y) if straight and calculated is None else np.zeros(x.shape, np.bool_)
    fit = fit_lines(x, np.where(odd, np.nan, y))
    slope, intercept = calculated or (fit.slope, fit.intercept)
    plots: list[Plot | None] = []
    for student in range(len(board.write_ups)):
        used = np.isfinite(x[student]) & np.isfinite(y[student])
        if used.sum() < FEWEST_FOR_LINE:
            plots.append(None)
            continue
        across, up = x[student][used], y[student][used]
        shape = curves[graph.x, graph.y].named(student) if (graph.x, graph.y) in curves else None
        has_line = straight and np.isfinite(slope[student, 0])
        plots.append(
            Plot(
                x_label=_label(x_item),
                y_label=_label(y_item),
                x=tuple(float(value) for value in across),
                y=tuple(float(value) for value in up),
                odd_rows=tuple(int(i) for i in np.flatnonzero(odd[student][used])),
                line=(float(slope[student, 0]), float(intercept[student, 0])) if has_line else None,
                curve=() if straight or shape is None else drawn_curve(across, up, shape),
                includes_origin=True,
            )
        )
    return plots


def _calculated_line(
    board: Board, judged: Mapping[str, Judged], graph: GraphInfo, x: Values, y: Values
) -> tuple[Values, Values] | None:
    """Return gradients and intercepts of the line that the rubric asks to be calculated; None where it asks for none.

    A weighted line has no odd point: its errors say already how far a point may lie away.
    """
    formulas = [item.formula for item in board.rubric.answers if item.formula is not None]
    calls = [node for formula in formulas for node in walk(formula.tree) if isinstance(node, Call)]
    axes = (Name(graph.y), Name(graph.x))
    call = next((one for one in calls if one.function in DRAWN_FITS and one.arguments[:2] == axes), None)
    if call is None:
        return None
    if call.function in ORIGIN:
        slope = fit_value(call.function, [y, x])[0]
        return slope, np.zeros(slope.shape)
    columns = [y, x]
    for error, along in zip(call.arguments[2:], (graph.y, graph.x), strict=True):
        name = error.name if isinstance(error, Name) else ""
        si = judged[name].own if name in judged else board.cells[name].si
        columns.append(board.rubric.items[along].unit.change_from_si(si))
    return fit_value("weighted_slope", columns)[0], fit_value("weighted_intercept", columns)[0]


def _axis(board: Board, judged: Mapping[str, Judged], item: Item) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    # The line is drawn through what the readings lead to, so that a slip in one row does not bend it.
    si = judged[item.name].own if item.name in judged else board.cells[item.name].si
    return item.unit.from_si(si)


def _label(item: Item) -> str:
    is_said = set(item.symbol.split()) - {"%"} <= set(item.quantity.split())  # 'mean rate of cooling' has its 'rate'
    symbol = "" if is_said else f" {item.symbol}"
    return f"{item.quantity}{symbol} / {item.unit.symbol}" if item.unit.symbol else f"{item.quantity}{symbol}"
