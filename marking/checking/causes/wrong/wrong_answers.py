"""The wrong answers to one question, of a whole batch, with all that may have gone into them.

Slips are made with the numbers that a student holds, not with quantities: someone who leaves grams as
they are works with 998, not with 0.998. So numbers are kept here as they were recorded and as the
formula needs them, each of shape (answers, 1), or (answers, rows) where the formula takes whole columns.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import lru_cache
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import (
    CAREFUL_FIGURES,
    Board,
    Judged,
    Judgement,
    Places,
    evaluate,
    magnitude,
    nearly,
    rounded_interval,
    unplaced_entry,
)
from marking.checking.causes.wrong.hypothesis import count_steps, tree_names
from marking.checking.causes.wrong.line_by_line import (
    WAYS_TO_KEEP,
    Keeping,
    evaluate_kept,
    every_way_to_keep,
    has_steps,
)
from marking.checking.causes.wrong.whole_columns import evaluate_rows, whole_columns
from marking.distributions import median
from marking.write_up import Entry
from rubrics.formulas import Node
from rubrics.model import Item, Role
from rubrics.units import NO_DIMENSION, Dimension

Values = NDArray[np.float64]
DISPLAY_FIGURES = 5
"""An answer of so many figures was copied off the calculator whole."""
SHOWS_STEPS = 4
"""Figures of an answer from which it shows that a step before it was kept to three."""
_FIGURES = re.compile(r"[-+−]?(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)")
_NO_SIGNS = str.maketrans("", "", "-+−.,")
Kind = TypeVar("Kind", np.float64, np.int64)
Made = TypeVar("Made")


class Carried(Enum):
    """How a student carries an earlier answer on."""

    WRITTEN = "as written"
    ONE_STEP = "unrounded, from the answers written before it"
    EXACT = "unrounded from the readings on"


@dataclass(frozen=True, kw_only=True)
class WrongAnswers:
    """All wrong answers to one item."""

    board: Board
    judged: Mapping[str, Judged]
    item: Item
    students: NDArray[np.int64]
    """Positions in the batch, shape (answers,)."""
    rows: NDArray[np.int64]
    """Rows from 0, shape (answers,)."""
    carried: Carried = Carried.WRITTEN
    keeping: Keeping | None = None
    """To how many figures every step on the way is kept; None for unrounded."""
    _numbers: dict[tuple[str, str], Values] = field(default_factory=dict, init=False, repr=False, compare=False)
    """What was asked for before: every kind of slip starts from the same numbers."""
    _digits: dict[str, Places] = field(default_factory=dict, repr=False, compare=False)
    """By item, how many digits stand in each cell of the board that was asked for, 0 in others: for all of the same
    item's answers together, however they are picked out."""
    _units: dict[tuple[int, int], Dimension | None] = field(default_factory=dict, repr=False, compare=False)
    """The dimensions of the units beside answers to this item, by student and row, likewise."""
    _made: dict[str, Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __len__(self) -> int:
        """Return how many there are."""
        return int(self.students.size)

    def at(self, positions: NDArray[np.int64], carried: Carried) -> WrongAnswers:
        """Return some of the answers, with earlier ones carried on in one way."""
        keeping = None if self.keeping is None else self.keeping.at(positions)
        students, rows = self.students[positions], self.rows[positions]
        return replace(self, students=students, rows=rows, carried=carried, keeping=keeping)

    def kept_each_way(self, positions: NDArray[np.int64]) -> WrongAnswers:
        """Return the answers at *positions* once for every way of keeping steps, one way after another."""
        every = self.at(np.tile(positions, len(WAYS_TO_KEEP)), self.carried)
        return replace(every, keeping=every_way_to_keep(positions.size))

    def _once(self, what: str, name: str, work: Callable[[], Values]) -> Values:
        if (what, name) not in self._numbers:
            self._numbers[what, name] = work()
        return self._numbers[what, name]

    def made_once(self, what: str, work: Callable[[], Made]) -> Made:
        """Return what *work* makes of these answers under the name *what*; each weighing asks for it again."""
        if what not in self._made:
            self._made[what] = work()
        made: Made = self._made[what]
        return made

    @property
    def number(self) -> Values:
        """Return the answers as printed, shape (answers,)."""
        return self._once("number", "", lambda: self.board.cells[self.item.name].number[self.students, self.rows])

    @property
    def scale(self) -> Values:
        """Return item units in one of the unit that each student wrote, shape (answers,)."""
        return self._once("scale", "", lambda: self._factor() / self.item.unit.factor)

    def _factor(self) -> Values:
        return self.board.cells[self.item.name].factor[self.students, self.rows]

    @property
    def last_place(self) -> Places:
        """Return the position of the last digit that counts, shape (answers,)."""
        return self.board.cells[self.item.name].trusted[self.students, self.rows]

    @property
    def finest_place(self) -> Places:
        """Return the position of the last digit, trailing zeros counted, shape (answers,)."""
        return self.board.cells[self.item.name].finest[self.students, self.rows]

    def readings(self) -> tuple[tuple[Values, Places], ...]:
        """Return the ways of counting the trailing zeros of a whole number, each as (share, last position)."""
        sure = self.finest_place == self.last_place
        return (np.where(sure, 1.0, 0.5), self.finest_place), (np.where(sure, 0.0, 0.5), self.last_place)

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

    def _names(self) -> list[str]:
        formula = self.item.formula
        return [name for name in formula.names if name in self.board.rubric.items] if formula else []

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

    def needed(self, name: str) -> Values:
        """Return an item as a number in its own unit: earlier answers as carried on, else as they should be."""
        return self._once("needed", name, lambda: self._needed(name))

    def _needed(self, name: str) -> Values:
        item = self.board.rubric.items[name]
        stated = (self.board.cells[name].si - item.unit.offset) / _factor(item)
        if name in self.judged:
            stated = self._earlier(item, stated)
        return self._pick(stated, item)

    def _earlier(self, item: Item, stated: Values) -> Values:
        """Return an earlier answer as the student carries it on, in the unit of *stated*."""
        judged = self.judged[item.name]
        if self.carried is Carried.WRITTEN:
            return np.where(np.isfinite(stated), stated, self.own(item))
        values = judged.unrounded
        if self.carried is Carried.ONE_STEP:
            values = np.where(np.isfinite(judged.followed), judged.followed, judged.own)
        exact = (values - item.unit.offset) / _factor(item)
        # A wrong answer is carried on as it is, and one written out in full is what the calculator held.
        kept = (judged.judgement == int(Judgement.WRONG)) | (self._figures_that_count(item.name) >= DISPLAY_FIGURES)
        return np.where(kept & np.isfinite(stated), stated, exact)

    def _figures_that_count(self, name: str) -> Places:
        """Return the figures of an item without the zeros at the end of a whole number; shape (students, rows)."""
        cells = self.board.cells[name]
        return magnitude(cells.number) - cells.trusted + 1

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

    def recorded(self, name: str) -> Values:
        """Return an item as the number that was written down; earlier answers not given are as they should be."""
        return self._once("recorded", name, lambda: self._recorded(name))

    def _recorded(self, name: str) -> Values:
        item = self.board.rubric.items[name]
        number = self.board.cells[name].number
        if item.unit.dimension == NO_DIMENSION:
            number = self.board.cells[name].si
        if name in self.judged:
            factor = self.board.cells[name].factor / item.unit.factor
            kept = self._earlier(item, number * factor)
            # More figures than on paper, but in the unit that stands there.
            as_written = self.carried is Carried.WRITTEN
            number = np.where(np.isfinite(number) & as_written, number, kept / factor)
        return self._pick(number, item)

    def is_written(self, name: str) -> NDArray[np.bool_]:
        """Tell for which of the answers an item stands on the page as a number, shape (answers,)."""
        return np.asarray(np.isfinite(self._pick(self.board.cells[name].number, self.board.rubric.items[name]))[:, 0])

    def is_as_written(self, name: str) -> NDArray[np.bool_]:
        """Tell for which of the answers an item went on as the number on the page, shape (answers,)."""
        return self.made_once(f"{name} as written", lambda: self._is_as_written(name))

    def _is_as_written(self, name: str) -> NDArray[np.bool_]:
        on_page = self._pick(self.board.cells[name].number, self.board.rubric.items[name])
        with np.errstate(invalid="ignore"):
            return np.asarray(nearly(self.recorded(name), on_page, 1e-9)[:, 0])

    def places(self, name: str) -> Places:
        """Return the position of the last digit of an item as it was written, shape of :meth:`recorded`."""
        return self.made_once(f"{name} to its places", lambda: self._places(name))

    def _places(self, name: str) -> Places:
        item = self.board.rubric.items[name]
        cells = self.board.cells[name]
        finest = np.where(np.isfinite(cells.number), cells.finest, magnitude(self._own_or_zero(item)) - 2)
        return self._pick(finest, item)

    def digits_written(self, name: str) -> Places:
        """Return how many digits each number has on paper, zeros in front among them; shape (answers,)."""
        item = self.board.rubric.items[name]
        if name not in self._digits:
            self._digits[name] = np.zeros(self.board.cells[name].number.shape, np.int64)
        known, rows = self._digits[name], self.rows if item.table is not None else np.zeros_like(self.rows)
        new = np.flatnonzero(known[self.students, rows] == 0)
        if new.size:
            # An earlier answer that was not written down is kept to three figures.
            known[self.students[new], rows[new]] = [
                CAREFUL_FIGURES[1] if entry is None else _digits_in(entry.raw) for entry in self._entries(new, name)
            ]
        return known[self.students, rows]

    def constants(self) -> dict[str, Values]:
        """Return the rubric's constants as numbers in their own units."""
        return {name: np.full((1, 1), constant.values[0]) for name, constant in self.board.rubric.constants.items()}

    def dimension(self, name: str) -> Dimension:
        """Return the dimension of an item or constant."""
        item = self.board.rubric.items.get(name)
        return item.unit.dimension if item else self.board.rubric.constants[name].unit.dimension

    def has_unit_of(self, dimension: Dimension) -> NDArray[np.bool_]:
        """Tell beside which of the answers a unit of *dimension* was written, shape (answers,)."""
        return np.array([one == dimension for one in self.dimensions_written()], np.bool_)

    def dimensions_written(self) -> list[Dimension | None]:
        """Return the dimension of the unit that stands beside each answer, None where there is none."""
        places = list(zip(self.students.tolist(), self.rows.tolist(), strict=True))
        new = np.array([at for at, place in enumerate(places) if place not in self._units], np.int64)
        for position, entry in zip(new.tolist(), self._entries(new, self.item.name), strict=True):
            unit = entry.unit.unit if entry is not None and entry.unit is not None else None
            self._units[places[position]] = unit.dimension if unit is not None else None
        return [self._units[place] for place in places]

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

    def entry(self, position: int, name: str) -> Entry | None:
        """Return the entry of an item that belongs to one of the answers, without its place."""
        item = self.board.rubric.items[name]
        row = int(self.rows[position]) + 1 if item.table is not None else 1
        return unplaced_entry(item, self.board.write_ups[int(self.students[position])], row)

    def _entries(self, positions: NDArray[np.int64], name: str) -> Iterator[Entry | None]:
        """Yield the same for the answers at *positions*."""
        item, write_ups = self.board.rubric.items[name], self.board.write_ups
        rows = self.rows[positions] + 1 if item.table is not None else np.ones_like(positions)
        for student, row in zip(self.students[positions].tolist(), rows.tolist(), strict=True):
            yield unplaced_entry(item, write_ups[student], row)

    def column(self, name: str) -> Values:
        """Return a whole column in its own unit, answers not given as they should be; shape (students, rows)."""
        item = self.board.rubric.items[name]
        values = (self.board.cells[name].si - item.unit.offset) / _factor(item)
        return np.where(np.isfinite(values), values, self.own(item)) if name in self.judged else values

    def _comes_later(self, other: Item) -> bool:
        # An answer worked out from this one cannot have gone into it.
        return other.role is Role.ANSWER and other.formula is not None and self.item.name in other.formula.names

    def own(self, item: Item) -> Values:
        """Return what the readings lead to for an earlier answer, in its own unit, shape (students, rows)."""
        return (self.judged[item.name].own - item.unit.offset) / _factor(item)

    def _own_or_zero(self, item: Item) -> Values:
        return self.own(item) if item.name in self.judged else np.zeros(self.board.cells[item.name].number.shape)

    def _pick(self, values: NDArray[Kind], item: Item) -> NDArray[Kind]:
        if item.table is None:
            return values[self.students, :1]
        if self.item.table is None:
            return values[self.students, :]
        return values[self.students, self.rows][:, None]


@lru_cache(maxsize=4096)
def _digits_in(raw: str) -> int:
    found = _FIGURES.match(raw.strip())
    return len(found[0].translate(_NO_SIGNS)) if found is not None else CAREFUL_FIGURES[1]


def _factor(item: Item) -> float:
    # An angle goes into a sine, and a percentage into a product, as the pure number that it is.
    return 1.0 if item.unit.dimension == NO_DIMENSION else item.unit.factor


def gather(board: Board, judged: Mapping[str, Judged], item: Item) -> WrongAnswers:
    """Return the wrong answers to *item* in *board*."""
    # What is right only in a unit that nobody wrote is most often a slip of units: the teacher is told so.
    asked = (int(Judgement.WRONG), int(Judgement.UNLABELLED), int(Judgement.OTHER_LABEL))
    wrong = np.isin(judged[item.name].judgement, asked)
    students, rows = np.nonzero(wrong)
    return WrongAnswers(board=board, judged=judged, item=item, students=students, rows=rows)
