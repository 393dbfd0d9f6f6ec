"""Readings that were set to round values, and so say less than their last digit does.

Who turns a supply to 0.50, 1.00 and 1.50 V writes two decimals, but chose among half volts. Between such a reading
and another of few digits the quotient is round again and again, with nothing worked back.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Board, ten_to

Values = NDArray[np.float64]
Flags = NDArray[np.bool_]

STEPS = (1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000)
"""Steps that people and meters take, in units of the last digit; common practice, no source."""
WIDE = 50
"""A step as wide as this was set where some readings of a group lie on it, whatever the others do."""
FEWEST_ON_WIDE = 2
EXACT_ALONE = 10
"""A reading on a step as wide as this may stand for the very value it names: a hanger of 100 g, a mark of the rule."""
FEWEST_ON_STEP = 3
"""Fewer readings than this lie on one step by luck."""
FEWEST_ON_TWO = 5
"""So do fewer than this on every other unit; what was read beside them needs one less to be called exact."""
FINE, OF_HAND = 10, 0.05
"""A step no wider than this, in units of the last digit, is that of a meter's scale and not of a hand on a knob, unless
it is as wide as this share of the largest reading."""
LEAST_HABIT = 0.03
"""Share of honest groups that set round values where nobody else of a class does, at least; judged, no source."""
LEAST_SHARE = 0.1
"""Share of the other groups that have a meter's step too, where there is such a meter; figures worked back from a value
of few figures lie on a step as well, for one group alone."""
MOST_OFF_STEP = 0.2
"""Share of a group's readings that may lie beside the step to which the others were set."""
LEAST_SET = 0.01
"""Steps that are a smaller share of a reading are those of the meter; nobody sets a supply so closely."""
FEWEST_VALUES = 0.5
"""A column of fewer different values than this share of its rows was kept steady: one rounding moves all its rows."""


def in_last_digits(board: Board, name: str) -> Values:
    """Return the readings of an item in units of their last digit, whole numbers; shape (groups, rows)."""
    cells = board.cells[name]
    with np.errstate(all="ignore"):
        return np.asarray(np.round(np.abs(cells.si - cells.offset) / (cells.factor * ten_to(cells.finest))))


def set_steps(
    board: Board,
    names: Sequence[str],
    on_two: int = FEWEST_ON_TWO,
    *,
    as_class: bool = False,
    by_hand: bool = True,
) -> dict[str, Values]:
    """Return the step to which each reading of one instrument may have been set, in units of its last digit.

    Args:
        board: The class.
        names: The instrument's readings.
        on_two: Fewest readings on every other unit that are no luck.
        as_class: The step of a meter counts only where others of the class have it too.
        by_hand: Steps of a hand on a knob count; else they are taken for luck.

    Returns:
        Reading to array of shape (groups, rows or 1); 1 where a reading may have been any.
    """
    counts = {name: in_last_digits(board, name) for name in names}
    everything = _side_by_side(list(counts.values()), len(board.write_ups))
    known = np.isfinite(everything) & (everything > 0)
    total = known.sum(axis=1)
    found = {name: np.ones(one.shape) for name, one in counts.items()}
    largest = np.where(known, everything, 0.0).max(axis=1, initial=0.0)
    for step in STEPS:
        on = (known & (np.mod(everything, step) == 0)).sum(axis=1)
        most_are = (on >= (on_two if step < STEPS[2] else FEWEST_ON_STEP)) & (total - on <= MOST_OFF_STEP * total)
        is_of_hand = (step > FINE) | (step >= OF_HAND * largest)
        if as_class:
            most_are &= is_of_hand | (most_are.sum() - most_are >= LEAST_SHARE * (most_are.size - 1))
        was_set = most_are | (on >= FEWEST_ON_WIDE) & (step >= WIDE)
        was_set &= by_hand | ~is_of_hand
        for name, one in counts.items():
            found[name] = np.where(was_set[:, None] & _on(one, step), float(step), found[name])
    return found


def habit_of_setting(board: Board, names: Sequence[str]) -> Values:
    """Return how often a group of this class sets one instrument's readings on steps of a hand, as others show it.

    Returns:
        Shape (groups,); 1 for a group that is alone.
    """
    with_hand, without = (set_steps(board, names, as_class=True, by_hand=hand) for hand in (True, False))
    by_hand = np.any([(with_hand[name] > without[name]).any(axis=1) for name in names], axis=0)
    return np.asarray(np.maximum((1 + by_hand.sum() - by_hand) / by_hand.size, LEAST_HABIT))


def were_set(board: Board, names: Sequence[str]) -> dict[str, Flags]:
    """Tell which readings of one instrument were set to round values, on steps that a hand can set."""
    steps = set_steps(board, names, FEWEST_ON_TWO - 1)
    return {name: (step > 1) & (step >= LEAST_SET * in_last_digits(board, name)) for name, step in steps.items()}


def may_be_exact(board: Board, names: Sequence[str]) -> dict[str, Flags]:
    """Tell which readings of one instrument may stand for the very value they name."""
    return {name: one | _on(in_last_digits(board, name), EXACT_ALONE) for name, one in were_set(board, names).items()}


def kept_steady(board: Board, name: str) -> Flags:
    """Tell which groups kept a reading steady, so that one rounding moves many rows alike; shape (groups, 1)."""
    ordered = np.sort(in_last_digits(board, name), axis=1)  # what is missing comes last
    known = np.isfinite(ordered).sum(axis=1)
    different = np.isfinite(ordered[:, :1]).sum(axis=1) + (np.diff(ordered, axis=1) > 0).sum(axis=1)
    return np.asarray(((known > 1) & (different <= FEWEST_VALUES * known))[:, None])


def _side_by_side(columns: Sequence[Values], groups: int) -> Values:
    return np.concatenate([np.broadcast_to(one, (groups, one.shape[1])) for one in columns], axis=1)


def _on(counts: Values, step: int) -> Flags:
    return np.asarray((counts > 0) & (np.mod(counts, step) == 0))
