"""Lines that answers are taken off: through the student's own points, and another one over the same axes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from marking.findings import Plot, Script
from reports.next_step.drawing_lots import draw
from reports.next_step.line_points import LinePoints, line_points
from reports.next_step.own_numbers import given_of
from reports.next_step.setting_out import changed
from reports.wording import symbol_words
from rubrics.formulas import Call, Minus, Name
from rubrics.model import Item, Rubric

_OTHERS = ((0.88, 1.05), (0.94, 0.92), (1.07, 0.9), (1.13, 1.08), (0.91, 1.12), (1.09, 0.95))
"""Factors of gradient and intercept: near enough to be a line of the same apparatus."""
_FEWEST = 3
MOST_SCATTER = 0.5
"""Share of the scatter of y that a line may leave unexplained before it is no picture of the points."""


class OffLine(Struct, frozen=True, kw_only=True):
    """What an answer takes off a straight line."""

    x: Item
    y: Item
    is_intercept: bool
    is_turned: bool
    """Whether the answer is minus the gradient."""

    @property
    def y_words(self) -> str:
        """Return symbol and unit of what goes up: 'R in Ω'."""
        return axis_words(self.y)

    @property
    def x_words(self) -> str:
        """Return symbol and unit of what goes across."""
        return axis_words(self.x)


class Triangle(Struct, frozen=True, kw_only=True):
    """A gradient from two points, as they are printed."""

    points: tuple[str, str]
    low: tuple[str, str]
    """x and y of the first."""
    working: str
    value: float
    """Up ÷ across."""
    intercept: float
    """Where the line through the printed points meets x = 0."""


def axis_words(item: Item) -> str:
    """Return 'R in Ω'; the symbol alone for a pure number."""
    return f"{symbol_words(item)} in {item.unit.symbol}" if item.unit.symbol else symbol_words(item)


def off_line(rubric: Rubric, item: Item) -> OffLine | None:
    """Return which line *item* is taken off, and how; None where it is not the gradient or intercept of one."""
    tree = item.formula.tree if item.formula else None
    call = tree.term if isinstance(tree, Minus) else tree
    if not isinstance(call, Call) or call.function not in ("slope", "intercept"):
        return None
    names = [column.name for column in call.columns if isinstance(column, Name)]
    if len(names) != 2:
        return None
    y, x = (rubric.items[name] for name in names)
    is_intercept = call.function == "intercept"
    return None if is_intercept and tree is not call else OffLine(
        x=x, y=y, is_intercept=is_intercept, is_turned=tree is not call
    )  # fmt: skip


def own_plot(script: Script, rubric: Rubric, line: OffLine) -> Plot | None:
    """Return the student's graph with these axes: the drawn one, or one of the columns as they were written."""
    graph = rubric.graph
    if graph is not None and (graph.x, graph.y) == (line.x.name, line.y.name):
        return script.plot
    across, up = (script.write_up.columns.get(item.name, {}) for item in (line.x, line.y))
    pairs = [
        (float(changed(x, line.x.unit)), float(changed(y, line.y.unit)))
        for row in sorted(across)
        if (x := given_of(line.x, across[row])) is not None and (y := given_of(line.y, up.get(row))) is not None
    ]
    fitted = _fitted(pairs)
    if fitted is None:
        return None
    return Plot(
        x_label=axis_words(line.x), y_label=axis_words(line.y),
        x=tuple(x for x, _ in pairs), y=tuple(y for _, y in pairs), line=fitted,
    )  # fmt: skip


def _fitted(pairs: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """Return gradient and intercept by least squares; None for fewer than three points, or all at one place."""
    count = len(pairs)
    if count < _FEWEST:
        return None
    middle, height = (sum(pair[side] for pair in pairs) / count for side in (0, 1))
    width = sum((x - middle) ** 2 for x, _ in pairs)
    if not width:
        return None
    gradient = sum((x - middle) * (y - height) for x, y in pairs) / width
    return gradient, height - gradient * middle


def lie_along(plot: Plot) -> bool:
    """Tell whether points lie along their line well enough to read a gradient off it; those of a V do not."""
    if plot.line is None:
        return False
    kept = [(x, y) for row, (x, y) in enumerate(zip(plot.x, plot.y, strict=True)) if row not in plot.odd_rows]
    gradient, intercept = plot.line
    middle = sum(y for _, y in kept) / max(1, len(kept))
    spread = sum((y - middle) ** 2 for _, y in kept)
    off = sum((y - gradient * x - intercept) ** 2 for x, y in kept)
    return off <= MOST_SCATTER * spread


def triangle(points: LinePoints) -> Triangle:
    """Return the gradient of *points* set out."""
    x1, y1, x2, y2 = points.texts()
    return Triangle(
        points=(f"({x1}, {y1})", f"({x2}, {y2})"),
        low=(x1, y1),
        working=f"({y2} − {taken_off(y1)}) ÷ ({x2} − {taken_off(x1)})",
        value=points.gradient,
        intercept=points.low[1] - points.gradient * points.low[0],
    )


def another_triangle(plot: Plot, seed: str) -> Triangle | None:
    """Return two points of another line over the same axes."""
    if plot.line is None or not all(map(math.isfinite, plot.line)):
        return None
    steeper, higher = _OTHERS[draw(seed, len(_OTHERS))]
    gradient, intercept = plot.line
    line = (gradient * steeper, intercept * higher)
    points = line_points(Plot(
        x_label=plot.x_label, y_label=plot.y_label, x=plot.x, y=plot.y, odd_rows=plot.odd_rows, line=line
    ))  # fmt: skip
    return None if points is None else triangle(points)


def taken_off(text: str) -> str:
    """Return a number as it stands behind a minus: in brackets where it is negative."""
    return f"({text})" if text.startswith("−") else text


def bracketed(text: str) -> str:
    """Return a number as it stands behind a sign: in brackets where it is negative or a power of ten."""
    return f"({text})" if text.startswith("−") or "×" in text else text
