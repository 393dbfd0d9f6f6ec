"""Slips with whole columns: a formula used once on means, a mean for a gradient, changes over changes for a ratio."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import column_value, evaluate, nearly, ten_to
from marking.checking.case import number_text, symbols, with_unit
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers, as_text, count_steps
from marking.findings import Cause
from rubrics.formulas import Call, Formula, Minus, Name, Operation, printed_text
from rubrics.model import Item
from rubrics.units import NO_DIMENSION

MEANS_SHARE = 0.5
"""Of other quantities for the mean of a column: its formula used once, on the means of what goes into it; judged."""
FOR_A_LINE_SHARE = 0.3
"""Of other quantities for a gradient or an intercept: the mean of a column of its kind; judged."""
FEWEST_ROWS = 3
"""A column of fewer rows than these has hardly a mean of its own, and shows no rule."""
MEANS = "means"
"""How a criterion names the first of these in ``lost_by``."""
_SAME = 1e-6
"""Two ways that come to the same are one, relative."""
_TAKEN_OFF = {"slope": "gradient", "intercept": "intercept"}
CHANGES_SHARE = 0.5
"""Of other quantities in a column most of which prints such changes; judged."""
MOST = 0.75
"""Nearly all rows that can tell the two apart have to be so printed."""
CHANGES = "changes"
"""How a criterion names this slip in ``lost_by``."""


def column_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield what a slip with whole columns comes to, worked out for all the answers."""
    yield from _mean_slips(wrong)
    yield from _step_slips(wrong)


def _mean_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield what comes out where a mean was taken too soon, or for a line; worked out for all the answers."""
    formula = wrong.item.formula
    if formula is None or wrong.item.table is not None:
        return
    meant = dict.fromkeys(_column_meant(way, wrong) for way in (formula, *wrong.item.also))
    for name in meant:
        if name:
            yield from _formulas_of_means(wrong, wrong.board.rubric.items[name])
    tree = formula.tree.term if isinstance(formula.tree, Minus) else formula.tree
    if isinstance(tree, Call) and tree.function in _TAKEN_OFF:
        yield from _means_for_a_line(wrong, tree, [name for name in meant if name])


def _column_meant(way: Formula, wrong: WrongAnswers) -> str:
    """Return the column of a table of which a *way* to the answer takes the mean, and does nothing else; else ''."""
    match way.tree:
        case Call("mean", (Name(name),)) if name in wrong.board.rubric.items:
            return name
        case _:
            return ""


def _formulas_of_means(wrong: WrongAnswers, column: Item) -> Iterator[Hypothesis]:
    """Yield the formula of a *column* used once, on the means of the columns in it, and on those of readings alone."""
    work = _OnMeans(wrong)
    formula = work.formula_of(column)
    if formula is None:
        return
    # The mean of a column that is only so many times another is the same either way.
    known = [wrong.right() / wrong.scale, work.mean(column)[:, 0] / _written_factor(wrong)]
    for deep in (False, True):
        predicted = work.once(formula, deep=deep)[:, 0] / _written_factor(wrong)
        is_new = np.isfinite(predicted) & ~np.any([nearly(predicted, one, _SAME) for one in known], axis=0)
        known.append(predicted)
        yield Hypothesis(
            cause=Cause.WRONG_QUANTITY,
            share=np.where(is_new, MEANS_SHARE, 0.0),
            predicted=predicted,
            describe=_words_of_means(work, column, formula, deep=deep),
            steps=count_steps(formula.tree),
            is_worked_out=True,
        )


def _written_factor(wrong: WrongAnswers) -> Values:
    """Return the SI units in one of the unit that each student wrote, shape (answers,)."""
    return np.asarray(wrong.scale * wrong.item.unit.factor)


class _OnMeans:
    """Formulas of columns, used once on means; in SI units, each of shape (answers, 1)."""

    def __init__(self, wrong: WrongAnswers) -> None:
        self.wrong, self.items = wrong, wrong.board.rubric.items
        known = wrong.board.rubric.constants
        self.constants: dict[str, Values] = {
            name: np.full((1, 1), one.unit.to_si(np.asarray(one.values[0]))) for name, one in known.items()
        }

    def mean(self, item: Item) -> Values:
        """Return the mean of a column; a single item is what it is."""
        is_column = item.table is not None
        values = (
            column_value("mean", [self.wrong.column(item.name)[self.wrong.students]])
            if is_column
            else self.wrong.needed(item.name)[:, :1]
        )
        return np.asarray(values if item.unit.dimension == NO_DIMENSION else item.unit.to_si(values))

    def formula_of(self, item: Item) -> Formula | None:
        """Return the formula by which each row of a column follows from others of its row; None where it has none."""
        formula = item.formula
        if formula is None or item.table is None or isinstance(formula.tree, Call):
            return None
        inputs = [self.items[name] for name in formula.names if name in self.items]
        return formula if any(one.table == item.table for one in inputs) else None

    def once(self, formula: Formula, *, deep: bool) -> Values:
        """Return what the *formula* of a column gives on means.

        Where it is *deep*, what goes into it is worked out in the same way, so that means are of readings alone.
        """
        env = dict(self.constants)
        for name in formula.names:
            if name not in self.items:
                continue
            inner = self.formula_of(self.items[name]) if deep else None
            env[name] = self.mean(self.items[name]) if inner is None else self.once(inner, deep=True)
        return np.asarray(np.broadcast_to(evaluate(formula.tree, env), (len(self.wrong), 1)))

    def names(self, formula: Formula, position: int, *, deep: bool) -> dict[str, str]:
        """Return each name in *formula* as the mean that was put in its place, without its unit."""
        found = dict(symbols(self.wrong.board.rubric))
        for name in formula.names:
            if name not in self.items:
                continue
            item = self.items[name]
            inner = self.formula_of(item) if deep else None
            if inner is not None:
                found[name] = f"({printed_text(inner.tree, self.names(inner, position, deep=True))})"
            else:
                value = float(self.mean(item)[position, 0])
                own = value if item.unit.dimension == NO_DIMENSION else item.unit.from_si(np.asarray(value))
                found[name] = number_text(float(own))
        return found


def _words_of_means(work: _OnMeans, column: Item, formula: Formula, *, deep: bool) -> Callable[[int], Description]:
    rule = printed_text(formula.tree, symbols(work.wrong.board.rubric))

    def describe(position: int) -> Description:
        numbers = printed_text(formula.tree, work.names(formula, position, deep=deep))
        facts = {"used": f"{numbers}, with means put in", "right": f"the mean of {rule}, worked out row by row"}
        return f"{MEANS}: {column.name} of {'readings' if deep else 'columns'}", facts

    return describe


def _means_for_a_line(wrong: WrongAnswers, line: Call, meant: list[str]) -> Iterator[Hypothesis]:
    """Yield the mean of each column in writing that has the dimension of what should be taken off the line."""
    rubric, own = wrong.board.rubric, wrong.item.unit
    names = symbols(rubric)
    axes = [printed_text(one, names) for one in line.arguments]
    for item in rubric.items.values():
        is_alike = item.formula is not None and item.unit.dimension == own.dimension != NO_DIMENSION
        if item.table is None or not is_alike or item.name in meant:
            continue
        cells = wrong.board.cells[item.name]
        # In the unit that was written; of what stands on the page, and of nothing else.
        mean = column_value("mean", [cells.si[wrong.students]])
        predicted = mean[:, 0] / _written_factor(wrong)
        has_column = np.isfinite(cells.si[wrong.students]).sum(axis=1) >= FEWEST_ROWS
        yield Hypothesis(
            cause=Cause.WRONG_QUANTITY,
            share=np.where(has_column & np.isfinite(predicted), FOR_A_LINE_SHARE, 0.0),
            predicted=predicted,
            describe=_words_for_a_line(wrong, item, predicted, axes, line.function),
            steps=1,
            is_worked_out=True,
        )


def _words_for_a_line(
    wrong: WrongAnswers, item: Item, mean: NDArray[np.float64], axes: list[str], function: str
) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        scale = float(wrong.scale[position])
        facts = {
            "used_quantity": f"mean of the column {item.symbol}",
            "used_value": with_unit(number_text(float(mean[position]) * scale), wrong.item.unit.symbol),
            "right_quantity": f"{_TAKEN_OFF[function]} of {axes[0]} against {axes[1]}",
        }
        return f"mean({item.name}) for {wrong.item.name}", facts

    return describe


def _step_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield change over change between neighbouring rows, where nearly all of a column is so worked out."""
    names = _ratio(wrong)
    if names is None or not len(wrong):
        return
    above, below = (wrong.column(name)[wrong.students] for name in names)
    steps = np.stack([_steps(above, below, shift) for shift in (-1, 1)]) * _in_unit_written(wrong)
    at = np.arange(len(wrong)), wrong.rows
    is_so = _is_column_of_steps(wrong, steps, above / _no_zeros(below) * _in_unit_written(wrong))
    with np.errstate(all="ignore"):
        off = np.abs(steps[:, at[0], at[1]] - wrong.number)
    shift = np.where(np.nan_to_num(off[0], nan=np.inf) <= np.nan_to_num(off[1], nan=np.inf), 0, 1)
    predicted = steps[shift, at[0], at[1]]
    yield Hypothesis(
        cause=Cause.WRONG_QUANTITY,
        share=np.where(is_so & np.isfinite(predicted), CHANGES_SHARE, 0.0),
        predicted=predicted,
        describe=_words_of_changes(wrong, names, shift),
        steps=2,
    )


def _ratio(wrong: WrongAnswers) -> tuple[str, str] | None:
    """Return the two columns that a column of the same table is the ratio of; None where it is no such thing."""
    formula, items = wrong.item.formula, wrong.board.rubric.items
    match formula.tree if formula is not None and wrong.item.table is not None else None:
        case Operation("/", Name(above), Name(below)) if above in items and below in items:
            is_of_rows = items[above].table == items[below].table == wrong.item.table
            return (above, below) if is_of_rows else None
        case _:
            return None


def _no_zeros(values: Values) -> Values:
    return np.where(values == 0.0, np.nan, values)


def _steps(above: Values, below: Values, shift: int) -> Values:
    """Return the ratio of the changes from the row before (-1), or to the row behind (1); shape (answers, rows)."""
    found = np.full(above.shape, np.nan)
    changes = np.diff(above, axis=1) / _no_zeros(np.diff(below, axis=1))
    if shift < 0:
        found[:, 1:] = changes
    else:
        found[:, :-1] = changes
    return found


def _in_unit_written(wrong: WrongAnswers) -> Values:
    """Return what a ratio in the units of its columns comes to in the unit that was written, shape (answers, 1)."""
    return np.asarray(wrong.last_step() / wrong.scale)[:, None]


def _is_column_of_steps(wrong: WrongAnswers, steps: Values, ratio: Values) -> NDArray[np.bool_]:
    """Tell whose column holds changes over changes in nearly all rows where these are no ratios, shape (answers,)."""
    cells = wrong.board.cells[wrong.item.name]
    # Numbers beside another unit than this row's are brought to it.
    by = cells.factor[wrong.students] / cells.factor[wrong.students, wrong.rows][:, None]
    number, room = cells.number[wrong.students] * by, ten_to(cells.finest[wrong.students]) * by
    with np.errstate(invalid="ignore"):
        is_step = (np.abs(steps - number) <= room).any(axis=0)
        is_ratio = np.abs(ratio - number) <= room
    tells = np.isfinite(number) & ~(is_step & is_ratio)
    of_steps = (tells & is_step).sum(axis=1)
    return np.asarray((of_steps >= FEWEST_ROWS) & (of_steps >= MOST * tells.sum(axis=1)))


def _words_of_changes(
    wrong: WrongAnswers, names: tuple[str, str], shift: NDArray[np.int64]
) -> Callable[[int], Description]:
    told = symbols(wrong.board.rubric)
    right = printed_text(Operation("/", Name(names[0]), Name(names[1])), told)

    def describe(position: int) -> Description:
        row = int(wrong.rows[position])
        other = row + (1 if shift[position] else -1)
        first, last = min(row, other), max(row, other)
        changes = [_change(wrong, name, position, (first, last)) for name in names]
        facts = {
            "used": f"{changes[0]} ÷ {changes[1]}, the changes from row {first + 1} to row {last + 1}",
            "right": f"{right} in each row",
        }
        return f"{CHANGES}: {names[0]} / {names[1]} from row to row", facts

    return describe


def _change(wrong: WrongAnswers, name: str, position: int, rows: tuple[int, int]) -> str:
    first, last = (_as_on_page(wrong, name, int(wrong.students[position]), row) for row in rows)
    return f"({last} − {f'({first})' if first.startswith('−') else first})"


def _as_on_page(wrong: WrongAnswers, name: str, student: int, row: int) -> str:
    """Return a number of a column as it stands on the page, where that is in the column's own unit."""
    item, cells = wrong.board.rubric.items[name], wrong.board.cells[name]
    value = float(wrong.column(name)[student, row])
    if cells.factor[student, row] != item.unit.factor or not np.isfinite(cells.number[student, row]):
        return number_text(value)
    last = int(cells.finest[student, row])
    return ("−" if value < 0 else "") + as_text(round(abs(value) / 10.0**last), last)
