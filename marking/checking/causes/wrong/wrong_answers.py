"""The wrong answers to one question, of a whole batch, and what comes of formulas on the numbers behind them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Board, Judged, Judgement, evaluate, magnitude, nearly, rounded_interval
from marking.checking.causes.wrong.held_numbers import DISPLAY_FIGURES, Carried, HeldNumbers, Values
from marking.checking.causes.wrong.hypothesis import count_steps, tree_names
from marking.checking.causes.wrong.line_by_line import WAYS_TO_KEEP, evaluate_kept, every_way_to_keep, has_steps
from marking.checking.causes.wrong.whole_columns import evaluate_rows, whole_columns
from marking.distributions import median
from rubrics.formulas import Node
from rubrics.model import Item, Role
from rubrics.units import NO_DIMENSION

SHOWS_STEPS = 4
"""Figures of an answer from which it shows that a step before it was kept to three."""


@dataclass(frozen=True, kw_only=True)
class WrongAnswers(HeldNumbers):
    """All wrong answers to one item."""

    def at(self, positions: NDArray[np.int64], carried: Carried) -> WrongAnswers:
        """Return some of the answers, with earlier ones carried on in one way."""
        keeping = None if self.keeping is None else self.keeping.at(positions)
        students, rows = self.students[positions], self.rows[positions]
        return replace(self, students=students, rows=rows, carried=carried, keeping=keeping)

    def kept_each_way(self, positions: NDArray[np.int64]) -> WrongAnswers:
        """Return the answers at *positions* once for every way of keeping steps, one way after another."""
        every = self.at(np.tile(positions, len(WAYS_TO_KEEP)), self.carried)
        return replace(every, keeping=every_way_to_keep(positions.size))

    def in_full(self) -> NDArray[np.bool_]:
        """Tell which answers were copied off the calculator whole, shape (answers,)."""
        figures = self.board.cells[self.item.name].most_figures[self.students, self.rows]
        return np.asarray(figures >= DISPLAY_FIGURES)

    def shows_steps(self) -> NDArray[np.bool_]:
        """Tell which answers have so many figures that a step kept to few would show, shape (answers,)."""
        if self.item.formula is None or not has_steps(self.item.formula.tree):
            return np.zeros(len(self), np.bool_)
        return np.asarray(magnitude(self.number) - self.last_place + 1 >= SHOWS_STEPS)

    def rounded(self) -> tuple[Values, Values]:
        """Return what each printed answer stands for if it was rounded, as a number in the unit written."""
        return rounded_interval(self.number, self.last_place)

    def right(self) -> Values:
        """Return what each student's figures lead to, as a number in the item's unit, shape (answers,).

        From earlier answers as they are carried on, else from the readings.
        """
        return self._once("right", "", self._right)

    def _right(self) -> Values:
        judged = self.judged[self.item.name]
        if self.keeping is not None:
            return np.asarray(self._base() * self.last_step())
        if self.carried is Carried.WRITTEN:
            values = np.where(np.isfinite(judged.followed), judged.followed, judged.own)
        elif self.carried is Carried.EXACT:
            values = judged.unrounded
        else:
            return np.asarray(self._base() * self.last_step())
        return np.asarray((values[self.students, self.rows] - self.item.unit.offset) / self.item.unit.factor)

    def last_step(self) -> float:
        """Return what the formula's own number is multiplied by to stand in the item's unit.

        1000 for kg/m³ out of a density in g/cm³, 100 for a percentage, 1 where nothing is to be done.
        """
        return float(self._once("last step", "", self._find_last_step)[0])

    def _find_last_step(self) -> Values:
        is_plain = self.carried is Carried.WRITTEN and self.keeping is None
        written = self if is_plain else replace(self, carried=Carried.WRITTEN, keeping=None)
        with np.errstate(all="ignore"):
            steps = written.right() / written._base()
        steady = np.isfinite(steps) & (steps != 0)
        step = median(steps[steady]) if steady.any() else 1.0
        return np.array([1.0 if math.isclose(step, 1.0, rel_tol=1e-6) else step])

    def _base(self) -> Values:
        """Return the formula's own number, shape (answers,)."""
        formula = self.item.formula
        return self.value(formula.tree) if formula is not None else np.full(len(self), np.nan)

    def value(self, tree: Node, changed: Mapping[str, Values] | None = None) -> Values:
        """Return *tree* on the numbers the formula needs, some of them *changed*, shape (answers,)."""
        return self._values(tree, changed)[:, 0]

    def _values(self, tree: Node, changed: Mapping[str, Values] | None) -> Values:
        items = self.board.rubric.items
        env = {name: self.needed(name) for name in tree_names(tree) if name in items} | self.constants()
        env |= dict(changed or {})
        values = self.evaluated(tree, env)
        return np.broadcast_to(values, (len(self), values.shape[1]))

    def evaluated(self, tree: Node, env: Mapping[str, Values]) -> Values:
        """Return *tree* on the numbers of *env*, each of shape (answers, 1) or (answers, ways or rows).

        A rank, or the value of the row above, comes of the whole column with the number of *env* in its own row.
        """
        names = [name for name in whole_columns(tree) if name in self.board.rubric.items] if self.item.table else []
        if not names:
            return evaluate(tree, env) if self.keeping is None else evaluate_kept(tree, env, self.keeping)
        return evaluate_rows(tree, env, {name: self.column(name)[self.students] for name in names}, self.rows)

    def value_each(self, tree: Node, changes: Sequence[Mapping[str, Values]]) -> Values:
        """Return the formula's own number for each of several *changes* of what goes in, (changes, answers).

        All in one go, which costs hardly more than one: side by side, or as so many students where columns go in whole.
        """
        items, shape = self.board.rubric.items, (len(changes), len(self))
        known = {name: self.needed(name) for name in tree_names(tree) if name in items}
        is_of_columns = self.item.table is None and bool(whole_columns(tree))
        if not changes or (not is_of_columns and any(values.shape[1] != 1 for values in known.values())):
            return np.array([self.value(tree, changed) for changed in changes]).reshape(shape)
        known |= self.constants()
        env = dict(known)
        for name in dict.fromkeys(name for changed in changes for name in changed if name in known):
            own = known[name]
            if is_of_columns:
                whole = [np.broadcast_to(changed.get(name, own), (len(self), own.shape[1])) for changed in changes]
                env[name] = np.concatenate(whole)
                continue
            env[name] = np.repeat(np.broadcast_to(own, (len(self), 1)), len(changes), axis=1)
            for at, changed in enumerate(changes):
                if name in changed:
                    env[name][:, at : at + 1] = changed[name]
        if is_of_columns:
            for name, values in env.items():
                if values.shape[0] == len(self):
                    env[name] = np.tile(values, (len(changes), 1))
            found = evaluate(tree, env)
            return np.broadcast_to(found, (len(changes) * len(self), found.shape[1]))[:, 0].reshape(shape)
        return np.ascontiguousarray(np.broadcast_to(self.evaluated(tree, env), shape[::-1]).T)

    def worked(self, tree: Node, changed: Mapping[str, Values] | None = None) -> Values:
        """Return the same as a number in the unit that each student wrote, shape (answers,)."""
        return np.asarray(self.value(tree, changed) * self.last_step() / self.scale)

    def worked_each(self, tree: Node, changed: Mapping[str, Values]) -> Values:
        """Return the same for several values of what is *changed*, a column each, shape (answers, columns)."""
        return np.asarray(self._values(tree, changed) * self.last_step() / self.scale[:, None])

    def has_input_of_all_rows(self) -> bool:
        """Tell whether one number, that stands in no table, goes into every row."""
        return any(self.board.rubric.items[name].table is None for name in self._names())

    def careful(self) -> tuple[Values, Values]:
        """Return where careful answers lie, as numbers in the unit that each student wrote, each (answers,)."""
        low, high = self.judged[self.item.name].meant_interval
        return self._once("careful", "low", lambda: self._end(low)), self._once(
            "careful", "high", lambda: self._end(high)
        )

    def _end(self, end: Values) -> Values:
        shape = self.board.cells[self.item.name].number.shape
        return np.broadcast_to(end, shape)[self.students, self.rows] / self._factor()

    def steps_before(self) -> int:
        """Return how many results were kept on the way to the earlier answers that are carried on unrounded."""
        items = self.board.rubric.items
        trees = [items[name].formula for name in self._names() if name in self.judged]
        return 0 if self.carried is Carried.WRITTEN else sum(count_steps(one.tree) for one in trees if one is not None)

    def differs_from(self, other: WrongAnswers) -> NDArray[np.bool_]:
        """Tell for each answer whether an earlier one is carried on as another number than in *other*."""
        found = np.zeros(len(self), np.bool_)
        for name in self._earlier_names():
            ours, theirs = self.needed(name), other.needed(name)
            with np.errstate(all="ignore"):
                differ = np.isfinite(ours) & ~nearly(ours, theirs, 1e-9)
            found |= differ.any(axis=1)
        return found

    def _earlier_names(self) -> list[str]:
        """Return the earlier answers that may have gone into this one, rightly or for another."""
        names = self._names()
        twins = [twin for name in (*names, self.item.name) for twin in self.twins(name)]
        return [name for name in dict.fromkeys([*names, *twins]) if name in self.judged]

    def twins(self, name: str) -> list[str]:
        """Return other single items, or columns of the same table, of the same dimension as *name*."""
        items = self.board.rubric.items
        own = items[name]
        return [
            other.name
            for other in items.values()
            if not other.is_words
            and other.name not in (name, self.item.name)
            and other.unit.dimension == own.unit.dimension != NO_DIMENSION
            and (other.table is None or other.table == self.item.table)
            and not self._comes_later(other)
        ]

    def _comes_later(self, other: Item) -> bool:
        # An answer worked out from this one cannot have gone into it.
        return other.role is Role.ANSWER and other.formula is not None and self.item.name in other.formula.names

    def _names(self) -> list[str]:
        formula = self.item.formula
        return [name for name in formula.names if name in self.board.rubric.items] if formula else []


def gather(board: Board, judged: Mapping[str, Judged], item: Item) -> WrongAnswers:
    """Return the wrong answers to *item* in *board*."""
    # What is right only in a unit that nobody wrote, or in another than the one there, is most often a slip of units:
    # the teacher is told so.
    asked = (int(Judgement.WRONG), int(Judgement.UNLABELLED), int(Judgement.OTHER_LABEL))
    wrong = np.isin(judged[item.name].judgement, asked)
    students, rows = np.nonzero(wrong)
    return WrongAnswers(board=board, judged=judged, item=item, students=students, rows=rows)
