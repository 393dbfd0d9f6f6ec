"""Whether each answer of a class follows from the student's own figures.

An answer is compared with what the student's readings lead to, and with what their own earlier answers
lead to; either earns the mark. All students of a batch are judged at once.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.answer_order import (
    constant_intervals,
    constant_values,
    in_order,
    lacks_reading,
    per_answer,
    reading_figures,
    unread,
)
from marking.checking.answers.board import Board, Cells
from marking.checking.answers.careful import Care, Interval, careful_interval, hull, is_drawn
from marking.checking.answers.evaluation import evaluate
from marking.checking.answers.judged import CAREFUL_FIGURES, NO_LIMIT, Judged, Judgement
from marking.checking.answers.named_slips import named_slips_behind
from marking.checking.answers.printed_answers import (
    any_of,
    is_direct,
    is_right_as_asked,
    is_right_elsewhere,
    is_rough,
    lies_inside,
    printed,
)
from marking.checking.answers.reaching import Chains
from marking.checking.answers.rounding import (
    Places,
    step_interval,
)
from marking.checking.fits import UNSURE_SHARE
from rubrics.formulas import Call, Formula
from rubrics.model import CheckKind, Item, Role

Values = NDArray[np.float64]
_T = TypeVar("_T", bound=np.generic)

MOST_EARLIER = 4
"""Earlier answers that are tried stated and recomputed in every mixture."""


def judge(board: Board) -> Mapping[str, Judged]:
    """Return every numeric answer of the rubric, judged, in an order in which each follows from those before."""
    work = _Work(board)
    return {item.name: work.judged(item) for item in in_order(board.rubric) if item.formula is not None}


class _Work:
    """What has been worked out so far for one batch."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.exact: dict[str, Values] = constant_values(board.rubric)
        self.own: dict[str, Interval] = constant_intervals(board.rubric)
        self.stated: dict[str, Interval] = {}
        self.stated_exact: dict[str, Values] = {}
        self.carried: dict[str, Values] = constant_values(board.rubric)
        self.figures: dict[str, tuple[Places, Places]] = {}
        self.lacking: dict[str, NDArray[np.bool_]] = {}
        for item in board.rubric.items.values():
            if item.is_words or (item.role is Role.ANSWER and not item.is_estimate):
                continue
            cells = board.cells[item.name]
            self.exact[item.name] = cells.si
            self.carried[item.name] = cells.si
            self.own[item.name] = (cells.si, cells.si)
            self.figures[item.name] = reading_figures(cells)
            self.lacking[item.name] = unread(cells)
        self.chains = Chains(board)
        self.chains.start(self.figures, self.exact)

    def judged(self, item: Item) -> Judged:
        formula = item.formula
        assert formula is not None  # only answers with a formula come here
        cells = self.board.cells[item.name]
        fewest, most = self._least_figures(item, formula)
        # Zeros of a whole number may count: a joulemeter's 20000 J is no reason to keep steps to two figures.
        # Where a spreadsheet dropped zeros, only the figures that are left are sure.
        sure = np.where(most < NO_LIMIT, most, fewest)
        care = Care(figures=np.clip(sure, *CAREFUL_FIGURES))
        own = self._interval(item, self.own, self.exact, care)
        exact = evaluate(formula.tree, self.exact)
        if item.repeats:
            lost = self._unusable(item)
            own = _chosen(lost, (np.full((1, 1), np.nan),) * 2, own)
            exact = np.where(lost, np.nan, exact)
        others = self._followed(item, care)
        along = self._along(item, formula, care)
        unrounded = evaluate(formula.tree, self.carried)
        direct = self._direct(item, exact, unrounded)
        known = (self.exact, self.exact | self.stated_exact)
        slips = named_slips_behind(self.board.rubric, item, printed(cells), known)
        judgement = self._verdicts(item, formula, [own, *others], direct, care, slips)
        shape = cells.number.shape
        lacking = lacks_reading(item, self.lacking)
        judgement = np.where(lacking & (judgement == int(Judgement.WRONG)), int(Judgement.NOT_RECALCULABLE), judgement)
        # One who wrote this step down goes on with what stands there.
        self.lacking[item.name] = np.asarray(lacking & ~np.isfinite(cells.si))
        stands = judgement == int(Judgement.RIGHT)
        self._remember(item, cells, (own, exact), along, (fewest, most), care, stands)
        ways = _ways(item, self.own)
        self.chains.remember(item, ways, self.figures[item.name], self.exact[item.name], along[1], stands, slips)
        kept = (judgement == int(Judgement.WRONG)) | (bool(item.repeats) & np.isnan(exact))
        self.carried[item.name] = np.where(kept & np.isfinite(cells.si), cells.si, unrounded)
        return Judged(
            item=item,
            judgement=judgement,
            own=np.broadcast_to(np.where(np.isfinite(exact), exact, np.nan), shape),
            followed=np.broadcast_to(along[1], shape),
            meant_interval=along[0],
            unrounded=np.broadcast_to(unrounded, shape),
            own_interval=own,
            figures=(np.broadcast_to(fewest, shape), np.broadcast_to(most, shape)),
        )

    def _remember(
        self,
        item: Item,
        cells: Cells,
        from_readings: tuple[Interval, Values],
        along: tuple[Interval, Values],
        figures: tuple[Places, Places],
        care: Care,
        stands: NDArray[np.bool_],
    ) -> None:
        own, exact = from_readings
        # A later step may use this one as it was kept on paper, to three figures.
        self.own[item.name] = hull(own, step_interval(*own, care.figures))
        self.exact[item.name] = exact
        # A step that was not written down was worked out all the same, from what stands before it.
        # What a wrong one was before it was rounded or cut off is not known here.
        written = _chosen(stands, cells.rounded_si(), cells.printed_si())
        there, follows = np.isfinite(cells.si), np.isfinite(along[1])
        unwritten = _chosen(follows, step_interval(*along[0], care.figures), (np.full((1, 1), np.nan),) * 2)
        self.stated[item.name] = _chosen(there, written, unwritten)
        self.stated_exact[item.name] = np.where(there, cells.si, along[1])
        self.figures[item.name] = figures
        if item.repeats:
            self._read_as_mean(item, cells)

    def _unusable(self, item: Item) -> NDArray[np.bool_]:
        """Tell where a repeat was written down that cannot be used: the mean of the others is not the student's."""
        cells = [self.board.cells[name] for name in item.repeats]
        return np.asarray(
            np.logical_or.reduce(np.broadcast_arrays(*[one.given & np.isnan(one.number) for one in cells]))
        )

    def _read_as_mean(self, item: Item, cells: Cells) -> None:
        """Take a mean as a reading where its repeats were not handed in, or not all of them can be used."""
        alone = self._unusable(item) | ~np.logical_or.reduce(
            np.broadcast_arrays(*[np.isfinite(self.board.cells[name].number) for name in item.repeats])
        )
        # It may have been carried on unrounded, as the calculator held it.
        self.own[item.name] = _chosen(alone, self.stated[item.name], self.own[item.name])
        self.figures[item.name] = _chosen(alone, reading_figures(cells), self.figures[item.name])
        self.exact[item.name] = np.where(alone, cells.si, self.exact[item.name])

    def _interval(self, item: Item, env: Mapping[str, Interval], exact: Mapping[str, Values], care: Care) -> Interval:
        found = [_careful(way, env, exact, care) for way in _ways(item, env)]
        return hull(found[0], *found[1:])

    def _least_figures(self, item: Item, formula: Formula) -> tuple[Places, Places]:
        inputs = [self.figures[name] for name in formula.names if name in self.figures]
        if not inputs:
            return np.full((1, 1), 3, np.int64), np.full((1, 1), 3, np.int64)
        pairs = [(per_answer(few, item), per_answer(many, item)) for few, many in inputs]
        fewest = np.minimum.reduce(np.broadcast_arrays(*[few for few, _ in pairs]))
        return fewest, np.minimum.reduce(np.broadcast_arrays(*[many for _, many in pairs]))

    def _followed(self, item: Item, care: Care) -> list[Interval]:
        """Return what follows from each mixture of stated and recomputed earlier answers, all stated first.

        Each way on its own: where an earlier answer is wrong, two ways that use it differently lie far apart, and
        what is between them is not right.
        """
        found = []
        for way in _ways(item, self.own):
            earlier = [name for name in way.names if name in self.stated][:MOST_EARLIER]
            for size in range(len(earlier), 0, -1):
                for names in itertools.combinations(earlier, size):
                    env = self.own | {name: self.stated[name] for name in names}
                    exact = self.exact | {name: self.stated_exact[name] for name in names}
                    found.append(_careful(way, env, exact, care))
        return found

    def _along(self, item: Item, formula: Formula, care: Care) -> tuple[Interval, Values]:
        """Return what follows from each earlier answer as given, or as it should be where it was not given."""
        earlier = [name for name in formula.names if name in self.stated]
        given = [np.isfinite(self.stated_exact[name]) for name in earlier]
        env, exact = dict(self.own), dict(self.exact)
        for name, there in zip(earlier, given, strict=True):
            low, high = self.stated[name]
            env[name] = (np.where(there, low, self.own[name][0]), np.where(there, high, self.own[name][1]))
            exact[name] = np.where(there, self.stated_exact[name], self.exact[name])
        interval = _careful(formula, env, exact, care)
        value = evaluate(formula.tree, exact)
        if not earlier:
            return interval, np.full((1, 1), np.nan)
        anything = np.logical_or.reduce(np.broadcast_arrays(*given))
        if item.table is None:
            anything = anything.any(axis=1, keepdims=True)
        return interval, np.where(anything & np.isfinite(value), value, np.nan)

    def _direct(self, item: Item, exact: Values, unrounded: Values) -> tuple[list[Values], list[Values]]:
        """Return what every way comes to with nothing rounded: from the readings, and by what stands written.

        The first is the item's own formula on the readings. Of earlier answers every mixture is tried.
        """
        own, along = [exact], [unrounded]
        for way in _ways(item, self.own):
            earlier = [name for name in way.names if name in self.stated][:MOST_EARLIER]
            own.append(evaluate(way.tree, self.exact))
            for size in range(1, len(earlier) + 1):
                for names in itertools.combinations(earlier, size):
                    along.append(evaluate(way.tree, self.exact | {name: self.stated_exact[name] for name in names}))
        if item.repeats:
            lost = self._unusable(item)
            own, along = ([np.where(lost, np.nan, value) for value in values] for values in (own, along))
        return own, along

    def _verdicts(
        self,
        item: Item,
        formula: Formula,
        intervals: list[Interval],
        direct: tuple[list[Values], list[Values]],
        care: Care,
        slips: list[Values],
    ) -> NDArray[np.int64]:
        cells, one = self.board.cells[item.name], printed(self.board.cells[item.name])
        exact = direct[0][0]
        missing = ~np.isfinite(exact)
        is_own, is_along = (any_of([is_direct(one, value) for value in values]) for values in direct)
        near_line = self._near_line(item, formula, care)
        # An interval that cannot be told, such as the root of what may be below zero, is no licence.
        inside = lies_inside(cells, intervals) | (~missing & ~np.isfinite(intervals[0][0]))
        slip = any_of([np.zeros(cells.number.shape, np.bool_), *(np.isfinite(value) for value in slips)])
        only_near = slip & ~any_of([one.is_printed_by(value, value) for value in (*direct[0], *direct[1])])
        # Within one unit of the direct value, and just what a slip prints: only a chain tells which.
        reached = self.chains.reached(item, _ways(item, self.own), inside & (~is_own | only_near) & ~missing)
        # A value that nothing sound can give says that a reading has lost a sign or is not what it seems.
        result = np.where(missing | _beyond(item, exact), int(Judgement.NOT_RECALCULABLE), int(Judgement.WRONG))
        near = Judgement.NEAR_LINE if is_drawn(formula) else Judgement.NEAR
        result = np.where(reached.near & ~slip, int(near), result)
        result = np.where(near_line & ~slip, int(Judgement.NEAR_LINE), result)
        result = np.where(is_right_elsewhere(cells, item, intervals), int(Judgement.UNLABELLED), result)
        result = np.where(
            is_right_as_asked(one, item, [*direct[0], *direct[1]]) & (self._unit_pays(item) | item.unit.is_pure_number),
            int(Judgement.RIGHT_AS_ASKED),
            result,
        )
        result = np.where(is_rough(cells, [*direct[0], *direct[1]]), int(Judgement.ROUGH), result)
        result = np.where(is_along | reached.follows, int(Judgement.FOLLOWS), result)
        result = np.where(is_own | reached.own, int(Judgement.RIGHT), result)
        # The first reading is no intercept, and no more are tangents sines, however near.
        mistaken = only_near & (~(reached.own | reached.follows) | _is_intercept(formula))
        result = np.where(mistaken & ~missing, int(Judgement.WRONG), result)
        result = np.where(np.isnan(cells.number), int(Judgement.UNREADABLE), result)
        result = np.where(missing & self._all_there(item) & ~_has_size(cells, exact), int(Judgement.NO_VALUE), result)
        return np.where(cells.given, result, int(Judgement.NOT_GIVEN))

    def _near_line(self, item: Item, formula: Formula, care: Care) -> NDArray[np.bool_]:
        """Tell where an answer taken off a drawn line lies between the shares that decide."""
        if not is_drawn(formula):
            return np.zeros((1, 1), np.bool_)
        wide = Care(figures=care.figures, drawn_share=UNSURE_SHARE)
        return lies_inside(
            self.board.cells[item.name], [self._interval(item, self.own, self.exact, wide), *self._followed(item, wide)]
        )

    def _unit_pays(self, item: Item) -> bool:
        # Where nothing pays for the unit, another one is a slip of the value like any other.
        return any(c.check is CheckKind.UNIT and item.name in c.items for c in self.board.rubric.criteria)

    def _all_there(self, item: Item) -> NDArray[np.bool_]:
        """Tell where every input is there, so that a missing value means that there is none."""
        names = [name for name in (item.formula.names if item.formula else ()) if name in self.board.cells]
        if item.table is None and any(self.board.rubric.items[name].table is not None for name in names):
            # Too few rows for a line or a mean: something is missing, whatever stands in the others.
            return np.zeros((1, 1), np.bool_)
        there = [np.isfinite(self.exact[name]) for name in names]
        return np.asarray(np.logical_and.reduce(np.broadcast_arrays(*there))) if there else np.ones((1, 1), np.bool_)


def _ways(item: Item, env: Mapping[str, Interval]) -> list[Formula]:
    """Return the formulas of an answer that can be worked out; another way may need what comes only later."""
    ways = [formula for formula in (item.formula, *item.also) if formula is not None]
    return [way for way in ways if all(name in env for name in way.names)]


def _chosen(
    first: NDArray[np.bool_], yes: tuple[NDArray[_T], NDArray[_T]], no: tuple[NDArray[_T], NDArray[_T]]
) -> tuple[NDArray[_T], NDArray[_T]]:
    return np.where(first, yes[0], no[0]), np.where(first, yes[1], no[1])


def _careful(way: Formula, env: Mapping[str, Interval], exact: Mapping[str, Values], care: Care) -> Interval:
    """Return where careful answers by one way lie; for a line, drawn through rounded points or through exact ones."""
    rounded = careful_interval(way, env, care)
    if not is_drawn(way):
        return rounded
    # The middles of points that may have been cut off lie a little low: 1/l of two figures.
    return hull(rounded, careful_interval(way, {name: (exact[name], exact[name]) for name in way.names}, care))


def _is_intercept(formula: Formula) -> bool:
    return isinstance(formula.tree, Call) and formula.tree.function == "intercept"


def _beyond(item: Item, exact: Values) -> NDArray[np.bool_]:
    if item.limits is None:
        return np.zeros(exact.shape, np.bool_)
    low, high = (item.unit.to_si(limit) for limit in item.limits)
    with np.errstate(all="ignore"):
        return np.asarray((exact < low) | (exact > high))


def _has_size(cells: Cells, exact: Values) -> NDArray[np.bool_]:
    # V / 0 is beyond every size, so a number written there is a matter for the teacher; 0 / 0 is nothing at all.
    return np.isinf(exact) & np.isfinite(cells.number)
