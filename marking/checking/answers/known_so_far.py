"""What is known of a class while its answers are judged one after the other, and what follows from it.

Of each name: what the readings lead to, exactly and as a careful student may print it, and what stands written. All
values in coherent SI units, arrays of shape (students, rows) or (students, 1).
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.answer_order import (
    constant_intervals,
    constant_values,
    per_answer,
    reading_figures,
    unread,
)
from marking.checking.answers.worked import Care, Interval, careful_interval, evaluate, hull, is_drawn
from marking.checking.answers.written import Board, Places, step_interval
from rubrics.formulas import Formula
from rubrics.model import Item, Role

Values = NDArray[np.float64]
_T = TypeVar("_T", bound=np.generic)

MOST_EARLIER = 4
"""Earlier answers that are tried stated and recomputed in every mixture."""


class Known:
    """What has been worked out so far for one batch."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.exact: dict[str, Values] = constant_values(board.rubric)
        self.own: dict[str, Interval] = constant_intervals(board.rubric)
        self.stated: dict[str, Interval] = {}
        self.stated_exact: dict[str, Values] = {}
        self.carried: dict[str, Values] = constant_values(board.rubric)
        self.passing: dict[str, Values] = constant_values(board.rubric)
        """The same as *carried*, past right steps that say otherwise: who goes on so contradicts what they wrote."""
        self.wrong: dict[str, NDArray[np.bool_]] = {}
        """Answers that stand written and are wrong: what they were before they were rounded is not known."""
        self.figures: dict[str, tuple[Places, Places]] = {}
        self.lacking: dict[str, NDArray[np.bool_]] = {}
        self.taken_down: dict[str, NDArray[np.bool_]] = {}
        """Answers of which none of the readings was handed in: they go on like readings."""
        for item in board.rubric.items.values():
            if item.is_words or (item.role is Role.ANSWER and not item.is_estimate):
                continue
            cells = board.cells[item.name]
            self.exact[item.name] = cells.si
            self.carried[item.name] = self.passing[item.name] = cells.si
            self.own[item.name] = (cells.si, cells.si)
            self.figures[item.name] = reading_figures(cells)
            self.lacking[item.name] = unread(cells)

    def by_way(self, way: Formula, care: Care) -> Interval:
        """Return where careful answers from the readings lie by one way."""
        return _careful(way, self.own, self.exact, care)

    def each_way(self, item: Item, care: Care) -> list[Interval]:
        """Return where careful answers from the readings lie by each way on its own.

        What lies between the two signs of a difference, or the gradients of two graphs, is near neither.
        """
        return [self.by_way(way, care) for way in ways_of(item, self.own)]

    def least_figures(self, item: Item, formula: Formula) -> tuple[Places, Places]:
        """Return the figures of the least precise reading behind an answer: fewest and most that may count."""
        inputs = [self.figures[name] for name in formula.names if name in self.figures]
        if not inputs:
            return np.full((1, 1), 3, np.int64), np.full((1, 1), 3, np.int64)
        pairs = [(per_answer(few, item), per_answer(many, item)) for few, many in inputs]
        fewest = np.minimum.reduce(np.broadcast_arrays(*[few for few, _ in pairs]))
        return fewest, np.minimum.reduce(np.broadcast_arrays(*[many for _, many in pairs]))

    def followed(self, item: Item, care: Care) -> list[Interval]:
        """Return what follows from each mixture of stated and recomputed earlier answers, all stated first.

        Each way on its own: where an earlier answer is wrong, two ways that use it differently lie far apart, and
        what is between them is not right.
        """
        found = []
        for way in ways_of(item, self.own):
            earlier = [name for name in way.names if name in self.stated][:MOST_EARLIER]
            for size in range(len(earlier), 0, -1):
                for names in itertools.combinations(earlier, size):
                    env = self.own | {name: self.stated[name] for name in names}
                    exact = self.exact | {name: self.stated_exact[name] for name in names}
                    found.append(_careful(way, env, exact, care))
        return found

    def about_the_line(self, item: Item, care: Care) -> list[Interval]:
        """Return where a line drawn by hand lies about the one through the points as they are, by each way on its own.

        Points as they are: the readings, and each mixture of them with earlier answers as they stand. The middle of all
        that a point of few figures may have been lies up to a tenth off, which is as far as a line may be drawn.
        """
        found = []
        for way in ways_of(item, self.own):
            earlier = [name for name in way.names if name in self.stated][:MOST_EARLIER]
            for size in range(len(earlier) + 1):
                for names in itertools.combinations(earlier, size):
                    exact = self.exact | {name: self.stated_exact[name] for name in names}
                    found.append(careful_interval(way, {name: (exact[name], exact[name]) for name in way.names}, care))
        return found

    def along(self, item: Item, formula: Formula, care: Care) -> tuple[Interval, Values]:
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

    def direct(self, item: Item, way: Formula) -> tuple[Values, list[Values]]:
        """Return what one way comes to with nothing rounded: from the readings, and by what stands written.

        Of earlier answers every mixture is tried.
        """
        own, along = evaluate(way.tree, self.exact), []
        earlier = [name for name in way.names if name in self.stated][:MOST_EARLIER]
        for size in range(1, len(earlier) + 1):
            for names in itertools.combinations(earlier, size):
                along.append(evaluate(way.tree, self.exact | {name: self.stated_exact[name] for name in names}))
        if item.repeats:
            lost = self.unusable(item)
            own, along = np.where(lost, np.nan, own), [np.where(lost, np.nan, value) for value in along]
        return own, along

    def through_wrong_points(self, way: Formula, share: float) -> Interval:
        """Return where a line lies that goes through wrong points as they may have been before they were rounded.

        Args:
            way: A formula that takes something off a line.
            share: How far off the line a hand may draw.

        Returns:
            Both ends, each (students, 1); NaN where no point is wrong.
        """
        with np.errstate(all="ignore"):
            return self._through_wrong_points(way, share)

    def _through_wrong_points(self, way: Formula, share: float) -> Interval:
        env = self.exact | self.stated_exact
        middle = evaluate(way.tree, {name: env[name] for name in way.names})
        low, high, moved = np.array(middle), np.array(middle), np.zeros(middle.shape, np.bool_)
        for who, *ends in self._with_points_moved(way, env):
            shifts = [np.zeros(middle[who].shape), *(end - middle[who] for end in ends)]
            low[who] += np.minimum.reduce(shifts)
            high[who] += np.maximum.reduce(shifts)
            moved[who] = True
        room = share * np.abs(middle)
        return np.where(moved, low - room, np.nan), np.where(moved, high + room, np.nan)

    def _with_points_moved(
        self, way: Formula, env: Mapping[str, Values]
    ) -> Iterator[tuple[NDArray[np.int64], Values, Values]]:
        """Yield for each wrong point who has it, and what *way* comes to with it at either end of where it may be.

        All are worked out together: a line fitted costs little more than a call.
        """
        ends = [
            (name, row, np.flatnonzero(self.wrong[name][:, row]), end)
            for name, row in self._wrong_points(way)
            for end in self.stated[name]
        ]
        if not ends:
            return
        whose = np.concatenate([who for _, _, who, _ in ends])
        every = len(self.board.write_ups)
        columns = {name: env[name][whose] if len(env[name]) == every else env[name] for name in way.names}
        stops = np.cumsum([len(who) for _, _, who, _ in ends])
        for (name, row, who, end), stop in zip(ends, stops, strict=True):
            columns[name][stop - len(who) : stop, row] = end[who, row]
        found = np.split(evaluate(way.tree, columns), stops[:-1])
        for (_, _, who, _), lowest, highest in zip(ends[::2], found[::2], found[1::2], strict=True):
            yield who, lowest, highest

    def _wrong_points(self, way: Formula) -> Iterator[tuple[str, int]]:
        """Yield column and row of every point that is wrong in somebody's column."""
        for name in way.names:
            if name in self.wrong and self.board.rubric.items[name].table is not None:
                for row in np.flatnonzero(self.wrong[name].any(axis=0)).tolist():
                    yield name, row

    def remember(
        self,
        item: Item,
        from_readings: tuple[Interval, Values],
        along: tuple[Interval, Values],
        figures: tuple[Places, Places],
        care: Care,
        stands: NDArray[np.bool_],
    ) -> None:
        """Take in an answer that was judged, with what the readings and earlier answers lead to."""
        own, exact = from_readings
        cells = self.board.cells[item.name]
        # A later step may use this one as it was kept on paper, to three figures.
        self.own[item.name] = hull(own, step_interval(*own, care.figures))
        self.exact[item.name] = exact
        # A step that was not written down was worked out all the same, from what stands before it.
        # What a wrong one was before it was rounded or cut off is not known here.
        self.wrong[item.name] = np.asarray(~stands & np.isfinite(cells.si))
        written = chosen(stands, cells.rounded_si(), cells.printed_si())
        there, follows = np.isfinite(cells.si), np.isfinite(along[1])
        unwritten = chosen(follows, step_interval(*along[0], care.figures), (np.full((1, 1), np.nan),) * 2)
        self.stated[item.name] = chosen(there, written, unwritten)
        self.stated_exact[item.name] = np.where(there, cells.si, along[1])
        self.figures[item.name] = figures
        alone = self._is_alone(item)
        if item.repeats:
            alone = self.unusable(item) | ~np.logical_or.reduce(
                np.broadcast_arrays(*[np.isfinite(self.board.cells[name].number) for name in item.repeats])
            )
        self._read_as_it_stands(item, alone)

    def unusable(self, item: Item) -> NDArray[np.bool_]:
        """Tell where a repeat was written down that cannot be used: the mean of the others is not the student's."""
        cells = [self.board.cells[name] for name in item.repeats]
        return np.asarray(
            np.logical_or.reduce(np.broadcast_arrays(*[one.given & np.isnan(one.number) for one in cells]))
        )

    def _read_as_it_stands(self, item: Item, alone: NDArray[np.bool_]) -> None:
        """Take an answer as a reading where it stands *alone*: what it was worked out from cannot be used."""
        cells = self.board.cells[item.name]
        self.taken_down[item.name] = alone
        if not alone.any():
            return
        # It may have been carried on unrounded, as the calculator held it.
        self.own[item.name] = chosen(alone, self.stated[item.name], self.own[item.name])
        self.figures[item.name] = chosen(alone, reading_figures(cells), self.figures[item.name])
        self.exact[item.name] = np.where(alone, cells.si, self.exact[item.name])

    def _is_alone(self, item: Item) -> NDArray[np.bool_]:
        """Tell where an answer stands written, and nothing at all of what it was worked out from."""
        cells = self.board.cells[item.name]
        found = np.isfinite(cells.si)
        for name in self._behind(item):
            given = self.board.cells[name].given
            rows = item.table is not None and item.table == self.board.rubric.items[name].table
            found = found & ~(given if rows else given.any(axis=1, keepdims=True))
        return np.asarray(found)

    def _behind(self, item: Item) -> set[str]:
        """Return the readings and answers that an answer rests on, straight or through others."""
        found: set[str] = set()
        for name in item.formula.names if item.formula else ():
            if name in self.board.rubric.items:
                found |= {name, *self._behind(self.board.rubric.items[name])}
        return found


def ways_of(item: Item, env: Mapping[str, Interval]) -> list[Formula]:
    """Return the formulas of an answer that can be worked out; another way may need what comes only later."""
    ways = [formula for formula in (item.formula, *item.also) if formula is not None]
    return [way for way in ways if all(name in env for name in way.names)]


def chosen(
    first: NDArray[np.bool_], yes: tuple[NDArray[_T], NDArray[_T]], no: tuple[NDArray[_T], NDArray[_T]]
) -> tuple[NDArray[_T], NDArray[_T]]:
    """Return both ends of *yes* where *first* holds, those of *no* elsewhere."""
    return np.where(first, yes[0], no[0]), np.where(first, yes[1], no[1])


def _careful(way: Formula, env: Mapping[str, Interval], exact: Mapping[str, Values], care: Care) -> Interval:
    """Return where careful answers by one way lie; for a line, drawn through rounded points or through exact ones."""
    rounded = careful_interval(way, env, care)
    if not is_drawn(way):
        return rounded
    # The middles of points that may have been cut off lie a little low: 1/l of two figures.
    return hull(rounded, careful_interval(way, {name: (exact[name], exact[name]) for name in way.names}, care))
