"""Slips with a line: run over rise, one point's y over x, the line forced through the origin."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import evaluate, nearly
from marking.checking.causes.slips.read_off_slips import read_off_slips
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers
from marking.checking.fits import fit_lines
from marking.findings import Cause
from rubrics.formulas import Call, Minus, Name, Node, Operation, Power, walk
from rubrics.model import Item
from rubrics.units import NO_DIMENSION

POINT_WEIGHT = 2.0
"""y / x of one point is told of 20 to 30 % of wrong gradients, a line forced through the origin of fewer."""
FORCED_WEIGHT = 1.5
END_WEIGHT = 2.0
"""The first point or the last, beside one of the others."""
OTHER_COLUMN_WEIGHT = 1.5
"""A column plotted as it was before its last steps, T for T²; judged."""
AS_RECORDED_SHARE = 0.5
"""Of inverted gradients, those taken from axes in the units that were recorded."""
INTERCEPT_WEIGHT = 0.25


def line_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield what a slip with the student's own line would give, and with two points that were read off it."""
    yield from _fitted_line_slips(wrong)
    yield from read_off_slips(wrong)


def _fitted_line_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield what a slip with the student's own line would give, for formulas that take a gradient."""
    formula = wrong.item.formula
    slope = (
        next((n for n in walk(formula.tree) if isinstance(n, Call) and n.function == "slope"), None)
        if formula
        else None
    )
    if formula is None or slope is None:
        return
    y, x = (wrong.needed(node.name) for node in slope.arguments if isinstance(node, Name))
    symbols = [wrong.board.rubric.items[n.name].symbol for n in slope.arguments if isinstance(n, Name)]
    work = _Work(wrong, formula.tree, slope)
    upside_down = _turned_over(wrong, formula.tree, slope)
    with np.errstate(all="ignore"):
        fit = fit_lines(x, y)
        inverted = _words(
            f"run / rise: {symbols[1]} / {symbols[0]}",
            f"{symbols[1]} ÷ {symbols[0]}",
            f"{symbols[0]} ÷ {symbols[1]}",
        )
        yield work.hypothesis(Cause.GRADIENT_INVERTED, 1.0 - AS_RECORDED_SHARE, 1.0 / fit.slope, inverted, upside_down)
        columns = [wrong.recorded(node.name) for node in slope.arguments if isinstance(node, Name)]
        recorded = fit_lines(columns[1], columns[0])
        same = np.isclose(recorded.slope, fit.slope, rtol=1e-9, equal_nan=True)
        as_recorded = np.where(same, np.nan, 1.0 / recorded.slope)
        yield work.hypothesis(Cause.GRADIENT_INVERTED, AS_RECORDED_SHARE, as_recorded, inverted, upside_down)
        # In the unit that was written, the line turned over is one over its gradient there.
        other_label = ~nearly(wrong.scale, 1.0, 1e-9)
        turned = np.where(other_label, wrong.scale**2 / fit.slope[:, 0], np.nan)[:, None]
        yield work.hypothesis(Cause.GRADIENT_INVERTED, AS_RECORDED_SHARE, turned, inverted)
        rows = x.shape[1]
        others = list(_other_columns(wrong, slope))
        total = POINT_WEIGHT + FORCED_WEIGHT + INTERCEPT_WEIGHT + (OTHER_COLUMN_WEIGHT if others else 0.0)
        chosen = _chosen(np.isfinite(x) & np.isfinite(y))
        for row in range(rows):
            ratio = (y[:, row] / x[:, row])[:, None]
            one = work.hypothesis(Cause.WRONG_QUANTITY, POINT_WEIGHT / total, ratio, _point_words(symbols, row))
            yield replace(one, share=one.share * chosen[:, row], steps=1, is_worked_out=True)
        both = np.isfinite(x) & np.isfinite(y)
        xx = np.where(both, x * x, 0.0).sum(axis=1, keepdims=True)
        forced = np.where(both, x * y, 0.0).sum(axis=1, keepdims=True) / xx
        words = _other_line("line forced through the origin", "gradient of a line through the origin")
        yield work.hypothesis(Cause.WRONG_QUANTITY, FORCED_WEIGHT / total, forced, words)
        words = _other_line("intercept for gradient", "intercept of the line")
        yield work.hypothesis(Cause.WRONG_QUANTITY, INTERCEPT_WEIGHT / total, fit.intercept, words)
        for up, across in others:
            other = fit_lines(wrong.needed(across), wrong.needed(up)).slope
            told = (wrong.board.rubric.items[up].symbol, wrong.board.rubric.items[across].symbol)
            share = OTHER_COLUMN_WEIGHT / total / len(others)
            yield work.hypothesis(Cause.WRONG_QUANTITY, share, other, _column_words((up, across), told, symbols))


def _other_columns(wrong: WrongAnswers, slope: Call) -> Iterator[tuple[str, str]]:
    """Yield columns up and across of which one is not the right one, but a column that it was worked out from."""
    items = wrong.board.rubric.items
    up, across = (node.name for node in slope.arguments if isinstance(node, Name))
    for name in _behind(items, up):
        if name != across:
            yield name, across
    for name in _behind(items, across):
        if name != up:
            yield up, name


def _behind(items: Mapping[str, Item], name: str) -> list[str]:
    """Return the columns that a column was worked out from, whatever lies between."""
    found = _inputs(items, name)
    for one in found:  # grows as it is gone through
        found += [other for other in _inputs(items, one) if other not in found]
    return found


def _inputs(items: Mapping[str, Item], name: str) -> list[str]:
    formula, table = items[name].formula, items[name].table
    names = formula.names if formula is not None else ()
    return [one for one in names if one in items and items[one].table == table]


def _column_words(columns: tuple[str, str], told: tuple[str, str], symbols: list[str]) -> Callable[[int], Description]:
    facts = {
        "used_quantity": f"gradient of {told[0]} against {told[1]}",
        "right_quantity": f"gradient of {symbols[0]} against {symbols[1]}",
    }
    description = (f"slope({columns[0]}, {columns[1]})", facts)
    return lambda _: description


def _chosen(there: NDArray[np.bool_]) -> Values:
    """Return how likely each point is taken alone, shape (answers, rows); of those that are *there*."""
    count = np.cumsum(there, axis=1)
    is_end = (count == 1) | (count == count[:, -1:])
    weight = np.where(there, np.where(is_end, END_WEIGHT, 1.0), 0.0)
    return np.asarray(weight / np.maximum(weight.sum(axis=1, keepdims=True), 1.0))


class _Work:
    def __init__(self, wrong: WrongAnswers, tree: Node, slope: Call) -> None:
        self.wrong, self.slope = wrong, slope
        self.tree = _with_gradient(tree, slope)
        names = [n.name for n in walk(self.tree) if isinstance(n, Name)]
        items = wrong.board.rubric.items
        self.env = {name: wrong.needed(name) for name in names if name in items} | wrong.constants()

    def hypothesis(
        self,
        cause: Cause,
        share: float,
        gradient: Values,
        describe: Callable[[int], Description],
        agrees: NDArray[np.bool_] | None = None,
    ) -> Hypothesis:
        value = evaluate(self.tree, self.env | {_GRADIENT: gradient})
        predicted = np.broadcast_to(value, (len(self.wrong), value.shape[1]))[:, 0] / self.wrong.scale
        usable = np.isfinite(predicted)
        return Hypothesis(
            cause=cause,
            share=np.where(usable, share, 0.0),
            predicted=predicted,
            describe=describe,
            steps=2,
            dimension_agrees=agrees,
        )


_GRADIENT = " gradient"
"""Stands for the student's gradient in a formula; no item can have this name."""


def _with_gradient(node: Node, slope: Call) -> Node:
    if node is slope:
        return Name(_GRADIENT)
    match node:
        case Operation(sign, left, right):
            return Operation(sign, _with_gradient(left, slope), _with_gradient(right, slope))
        case Minus(term):
            return Minus(_with_gradient(term, slope))
        case Power(base, exponent):
            return Power(_with_gradient(base, slope), exponent)
        case Call(function, arguments) if not node.columns:
            return Call(function, tuple(_with_gradient(one, slope) for one in arguments))
        case _:
            return node


def _turned_over(wrong: WrongAnswers, tree: Node, slope: Call) -> NDArray[np.bool_] | None:
    """Tell beside which answers the unit of the gradient turned over stands: m/Ω for Ω/m."""
    dimension = wrong.item.unit.dimension
    if tree != slope or dimension == NO_DIMENSION:
        return None
    length, mass, time, current, temperature, amount, luminosity = (-power for power in dimension)
    return wrong.has_unit_of((length, mass, time, current, temperature, amount, luminosity))


def _words(detail: str, used: str, right: str) -> Callable[[int], Description]:
    description = (detail, {"used": used, "right": right})
    return lambda _: description


def _other_line(detail: str, used: str) -> Callable[[int], Description]:
    description = (detail, {"used_quantity": used, "right_quantity": "gradient of the line that follows your points"})
    return lambda _: description


def _point_words(symbols: list[str], row: int) -> Callable[[int], Description]:
    facts = {
        "used": f"{symbols[0]} ÷ {symbols[1]} of row {row + 1}",
        "right": f"change of {symbols[0]} ÷ change of {symbols[1]}, along the line",
        "used_quantity": f"{symbols[0]} ÷ {symbols[1]} of row {row + 1}",
        "right_quantity": "gradient of the line",
    }
    description = (f"{symbols[0]} / {symbols[1]} of row {row + 1} for the gradient", facts)
    return lambda _: description
