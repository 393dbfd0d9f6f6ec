"""The values that a step may have: exact, or as a careful student writes it down, each an alternative of its own.

Between two alternatives lies nothing: a student's own rounding gives a handful of values, not an interval. Only what
is taken off a drawn line has a width.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers.chains.manners import FEWEST_KEPT_ANYWHERE, Manner
from marking.checking.answers.written import Kept, Places

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

HABITS: tuple[tuple[int | None, bool], ...] = (
    (None, False),
    (3, False),
    (4, False),
    (5, False),
    (3, True),
    (4, True),
    (2, False),
)
"""(figures of a step, cut off rather than rounded): nothing kept short first; five stand for all finer ones, and two
are kept only where a reading that goes into the step has no more."""
EXACT = 0
"""Place of the first habit."""
EACH = -1
"""Stands for all habits at once: answers of which each stands there once for every habit, one habit after another."""
NO_FIGURES = 99
"""Stands for the figures of a step that is not kept short."""
MOST_OF_A_STEP = 160
"""Alternatives kept of one step; of more, evenly spread ones."""
MOST_AT_ONCE = 4096
"""Pairs of alternatives worked out together."""
MOST_NUMBERS = 2**18
"""Numbers that alternatives are put in order of at a time; bounds the memory."""
_SAME = 1e-10
"""Relative; alternatives nearer than this are one."""


class Ways(Struct, frozen=True):
    """Alternatives for one step of a batch of answers."""

    low: Values
    """Shape (alternatives, answers, rows); NaN where an alternative does not apply."""
    high: Values
    """The same array as *low* but where something is taken off a drawn line."""
    figures: Places
    """Figures of the least precise reading that goes in, shape (answers, rows)."""

    @property
    def is_sharp(self) -> bool:
        """Tell whether each alternative is one value."""
        return self.high is self.low


def sharp(values: Values, figures: Places) -> Ways:
    """Return alternatives that are single values each."""
    return Ways(values, values, figures)


def one_way(values: Values, figures: Places) -> Ways:
    """Return the one way to have a number that is what it is, *values* of shape (answers, rows)."""
    return sharp(values[None], figures)


def either(*parts: Ways, most: int = MOST_OF_A_STEP) -> Ways:
    """Return the alternatives of all *parts*."""
    return _by_lots(parts, sum(part.low.shape[0] for part in parts), lambda some: _either(some, most))


def _either(parts: Sequence[Ways], most: int) -> Ways:
    figures = reduce(np.minimum, [part.figures for part in parts])
    low = _stacked([part.low for part in parts])
    if all(part.is_sharp for part in parts):
        return fewer(sharp(low, figures), most)
    return fewer(Ways(low, _stacked([part.high for part in parts]), figures), most)


def _by_lots(parts: Sequence[Ways], count: int, work: Callable[[Sequence[Ways]], Ways]) -> Ways:
    """Return the *work* done on the alternatives of all answers, some answers after others where it is large.

    Answers have nothing to do with each other, so it is the same but for empty alternatives at the end.

    Args:
        parts: What goes in.
        count: Alternatives that are made of it before equal ones are put together.
        work: From parts to alternatives.
    """
    shapes = [part.low.shape[1:] for part in parts]
    answers, rows = (max(one[axis] for one in shapes) for axis in (0, 1))
    lot = max(1, MOST_NUMBERS // (count * rows))
    if answers <= lot:
        return work(parts)
    done = [work([_some(part, slice(at, at + lot)) for part in parts]) for at in range(0, answers, lot)]
    longest = max(one.low.shape[0] for one in done)
    figures = np.concatenate([np.broadcast_to(one.figures, (one.low.shape[1], one.figures.shape[1])) for one in done])
    low = np.concatenate([_padded(one.low, longest) for one in done], axis=1)
    if all(one.is_sharp for one in done):
        return sharp(low, figures)
    return Ways(low, np.concatenate([_padded(one.high, longest) for one in done], axis=1), figures)


def _some(ways: Ways, some: slice) -> Ways:
    figures = ways.figures if ways.figures.shape[0] == 1 else ways.figures[some]
    if ways.low.shape[1] == 1:
        return Ways(ways.low, ways.high, figures)
    low = ways.low[:, some]
    return sharp(low, figures) if ways.is_sharp else Ways(low, ways.high[:, some], figures)


def _padded(values: Values, count: int) -> Values:
    empty = np.full((count - values.shape[0], *values.shape[1:]), np.nan)
    return np.concatenate([values, empty]) if len(empty) else values


def _stacked(parts: list[Values]) -> Values:
    shapes = {part.shape[1:] for part in parts}
    if len(shapes) == 1:
        return np.concatenate(parts)
    whole = np.empty((sum(len(part) for part in parts), *np.broadcast_shapes(*shapes)))
    at = 0
    for part in parts:
        whole[at : at + len(part)] = part
        at += len(part)
    return whole


def as_kept(ways: Ways, habit: int | None = None, manner: Manner | None = None) -> Ways:
    """Return a step exact and in every way that it may have been written down, or as one *habit* of HABITS has it.

    Without a *habit*, a *manner* that is known leaves out what is not done in it.
    """
    if habit == EXACT:
        return ways
    ends = [Kept(ways.low)] if ways.is_sharp else [Kept(ways.low), Kept(ways.high)]
    if habit is not None:
        return _kept_by(ways, ends, *HABITS[habit])
    kept = [_kept_by(ways, ends, *one) for one in HABITS[1:]]
    if manner is not None:
        kept = [without(one, manner.bars(*which)) for one, which in zip(kept, HABITS[1:], strict=True)]
    return either(ways, *kept)


def kept_each(ways: Ways, answers: int) -> Ways:
    """Return a step of so many *answers*, each of which stands there once for every habit, as each habit has it."""
    each = [(NO_FIGURES, cut) if figures is None else (figures, cut) for figures, cut in HABITS]
    habits, cuts = (np.repeat(np.array(column), answers)[:, None] for column in zip(*each, strict=True))
    keeps_three = (habits < FEWEST_KEPT_ANYWHERE) & (ways.figures > habits)
    wanted = np.where(keeps_three, FEWEST_KEPT_ANYWHERE, habits)
    kept = [
        np.where(habits == NO_FIGURES, end, Kept(end).to(wanted, cut=cuts))
        for end in ([ways.low] if ways.is_sharp else [ways.low, ways.high])
    ]
    return Ways(kept[0], kept[-1], ways.figures)


def by_habit(ways: Ways) -> list[Ways]:
    """Return the *ways* of answers that stand there once for every habit, habit by habit."""
    return [
        sharp(low, figures) if ways.is_sharp else Ways(low, high, figures)
        for low, high, figures in zip(
            *(_cut_up(one, axis) for one, axis in ((ways.low, 1), (ways.high, 1), (ways.figures, 0))), strict=True
        )
    ]


def _cut_up(values: NDArray[Any], axis: int) -> list[NDArray[Any]]:
    if values.shape[axis] == 1:  # the same for all
        return [values] * len(HABITS)
    return np.split(values, len(HABITS), axis=axis)


def without(ways: Ways, left_out: Mask) -> Ways:
    """Return *ways* with those of some answers, (answers, 1), left out."""
    if not left_out.any():
        return ways
    low = np.where(left_out, np.nan, ways.low)
    return sharp(low, ways.figures) if ways.is_sharp else Ways(low, np.where(left_out, np.nan, ways.high), ways.figures)


def _kept_by(ways: Ways, ends: list[Kept], figures: int | None, cut: bool) -> Ways:
    """Return *ways*, whose *ends* are one where they are sharp, else low and high, kept to *figures*."""
    assert figures is not None  # EXACT keeps no figures
    wanted: Places | int = figures
    if figures < FEWEST_KEPT_ANYWHERE:
        # Where the readings have more, such a student keeps three.
        wanted = np.where(ways.figures <= figures, figures, FEWEST_KEPT_ANYWHERE)
    low, *others = (end.to(wanted, cut=cut) for end in ends)  # keeping turns no order of numbers round
    return Ways(low, others[0], ways.figures) if others else sharp(low, ways.figures)


def mapped(ways: Ways, function: Callable[[Values], Values]) -> Ways:
    """Return a function of a step, one that rises or falls all the way."""
    low = function(ways.low)
    if ways.is_sharp:
        return sharp(low, ways.figures)
    high = function(ways.high)
    return Ways(np.minimum(low, high), np.maximum(low, high), ways.figures)


def combined(a: Ways, b: Ways, operation: Callable[[Values, Values], Values]) -> Ways:
    """Return every alternative of *a* with every one of *b*."""
    share = max(1, int(MOST_AT_ONCE**0.5))
    if a.low.shape[0] * b.low.shape[0] > MOST_AT_ONCE:
        few = min(a.low.shape[0], b.low.shape[0], share)
        a, b = (fewer(one, max(share, MOST_AT_ONCE // few)) for one in (a, b))
    return _by_lots((a, b), a.low.shape[0] * b.low.shape[0], lambda some: _combined(some[0], some[1], operation))


def _combined(a: Ways, b: Ways, operation: Callable[[Values, Values], Values]) -> Ways:
    figures = np.minimum(a.figures, b.figures)
    low = _crossed(a.low, b.low, operation)
    if a.is_sharp and b.is_sharp:
        return fewer(sharp(low, figures))
    high = low.copy()
    for x, y in ((a.low, b.high), (a.high, b.low), (a.high, b.high)):
        end = _crossed(x, y, operation)
        np.minimum(low, end, out=low)
        np.maximum(high, end, out=high)
    return fewer(Ways(low, high, figures))


def _crossed(a: Values, b: Values, operation: Callable[[Values, Values], Values]) -> Values:
    found = operation(a[:, None], b[None, :])
    return found.reshape(-1, *found.shape[2:])


def fewer(ways: Ways, most: int = MOST_OF_A_STEP) -> Ways:
    """Return no more than *most* alternatives, equal ones once; of too many, evenly spread ones."""
    count = ways.low.shape[0]
    if ways.low.shape[-1] > 1:
        # The rows of a column belong together: one habit, not a new one in each row.
        if count <= most:
            return ways
        chosen = np.linspace(0, count - 1, most).round().astype(np.int64)
        low = ways.low[chosen]
        return Ways(low, low if ways.is_sharp else ways.high[chosen], ways.figures)
    if not ways.is_sharp:
        if count <= most:
            return ways
        # In the order of each answer's own alternatives: which are picked never depends on the answers beside it.
        order = np.argsort(ways.low, axis=0)
        order = np.take_along_axis(order, _spread(ways.low, most), axis=0)
        low, high = (np.take_along_axis(end, order, axis=0) for end in (ways.low, ways.high))
        return Ways(low, high, ways.figures)
    if count == 1:
        return ways
    ordered = np.sort(ways.low, axis=0)
    with np.errstate(all="ignore"):
        same = np.diff(ordered, axis=0) <= _SAME * np.abs(ordered[1:])
    ordered[1:][same] = np.nan
    ordered = np.sort(ordered, axis=0)
    longest = max(int(np.isfinite(ordered).sum(axis=0).max()), 1)
    if longest <= most:
        return sharp(ordered[:longest], ways.figures)
    return sharp(np.take_along_axis(ordered, _spread(ordered, most), axis=0), ways.figures)


def _spread(values: Values, most: int) -> NDArray[np.int64]:
    """Return which of each answer's alternatives, finite ones first, are kept of too many: evenly spread ones."""
    last = np.maximum(np.isfinite(values).sum(axis=0) - 1, 0)
    steps = np.linspace(0.0, 1.0, most)[:, None, None]
    return np.where(last < most, np.arange(most)[:, None, None], np.round(steps * last)).astype(np.int64)
