"""The numbers that students held when they worked an answer out, as on the page and as the formula needs them.

Slips are made with the numbers that a student holds, not with quantities: someone who leaves grams as
they are works with 998, not with 0.998. So numbers are kept here as they were recorded and as the
formula needs them, each of shape (answers, 1), or (answers, rows) where the formula takes whole columns.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
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
    magnitude,
    nearly,
    unplaced_entry,
)
from marking.checking.causes.wrong.line_by_line import Keeping
from marking.write_up import Entry
from rubrics.model import Item
from rubrics.units import NO_DIMENSION, Dimension

Values = NDArray[np.float64]
DISPLAY_FIGURES = 5
"""An answer of so many figures was copied off the calculator whole."""
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
class HeldNumbers:
    """What stands on the page of those who gave some answers to one item, and what they went on with."""

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
