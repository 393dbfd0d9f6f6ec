"""What a later answer tells of a wrong one: the number that the student worked on with.

Some work on with a number as they wrote it, others with what the calculator held. A later answer leads back to that
number, and often to more figures of it than stand on the page. Where it leads back to the right number, the wrong one
was a slip of the pen.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.causes.wrong.held_numbers import Carried
from marking.checking.causes.wrong.hypothesis import Values, count_steps
from marking.checking.causes.wrong.led_back import used_instead
from marking.checking.causes.wrong.wrong_answers import WrongAnswers
from rubrics.formulas import Call, walk
from rubrics.model import Item

FROM_PAPER = 0.5
"""How often an answer is worked on from as it was written, judged."""
PEN_FROM_PAPER = 0.85
"""The same where the pen slipped in writing it: the slip is seen on paper only."""
OTHERWISE = 0.1
"""How often a later answer comes from elsewhere, so that nothing can be told from it."""
KEEPS_STEPS = 0.3
"""How often a number that is not what the slip leads to in full came of it with a step kept short, judged."""
RIGHT_ANYHOW = 0.1
"""How often a later answer follows from the right number behind one that is wrong for no reason that can be known."""
STEP_ROOM = 0.005
"""How far a step kept to three figures may shift the later answer, relative."""
_NOISE = 1e-9


class Later(Struct, frozen=True, kw_only=True):
    """What later answers lead back to; arrays of shape (answers,)."""

    low: Values
    """The lowest number that the later answer may have come from, in the unit that was written; NaN where none."""
    high: Values
    follows: NDArray[np.bool_]
    """Where the later answer may have come from the number as written."""
    right: Values
    """The right number, in the unit that was written."""
    printed: tuple[Values, Values]
    """What the wrong answer itself stands for."""

    def chance(self, held: Values, half: Values | float = 0.0, *, is_pen: bool = False) -> Values:
        """Return how likely the later answer is after the number *held* by the calculator, shape of *held*.

        Args:
            held: In the unit that was written.
            half: How far steps that were kept short may have shifted it, relative.
            is_pen: Whether the pen slipped in writing it down.
        """
        with np.errstate(all="ignore"):
            noise, room = _NOISE * np.abs(held), half * np.abs(held)
            inside = (held >= self.low - noise) & (held <= self.high + noise)
            near = (held >= self.low - room) & (held <= self.high + room)
            width = np.minimum((self.high - self.low) / (2.0 * room), 1.0)
            shifted = np.where(near & (room > 0), KEEPS_STEPS * width, 0.0)
        likely = np.where(inside, 1.0, shifted)
        return self._weighed(likely, PEN_FROM_PAPER if is_pen else FROM_PAPER)

    def chance_of_any(self) -> Values:
        """Return the same after any number that prints what was written, shape (answers,)."""
        low, high = np.minimum(*self.printed), np.maximum(*self.printed)
        with np.errstate(all="ignore"):
            both = np.minimum(high, self.high) - np.maximum(low, self.low)
            share = np.clip(np.nan_to_num(both / (high - low)), 0.0, 1.0)
        return self._weighed(share, FROM_PAPER)

    def chance_unexplained(self) -> Values:
        """Return the same after an error for no reason, which may have been one of the pen; shape (answers,)."""
        with np.errstate(invalid="ignore"):
            is_right = (self.right >= self.low) & (self.right <= self.high)
        return np.maximum(self.chance_of_any(), np.where(is_right, RIGHT_ANYHOW, 0.0))

    def _weighed(self, inside: Values, from_paper: float) -> Values:
        known = OTHERWISE + (1.0 - OTHERWISE) * (from_paper * self.follows + (1.0 - from_paper) * inside)
        return np.where(np.isfinite(self.low), known, 1.0)


def later_answers(wrong: WrongAnswers) -> Later | None:
    """Return what the answers worked out next tell of *wrong*; None where no practical has one."""
    return wrong.made_once("later answers", lambda: _later_answers(wrong))


def _later_answers(wrong: WrongAnswers) -> Later | None:
    nothing = np.full(len(wrong), np.nan)
    low, high, follows = nothing, nothing, np.zeros(len(wrong), np.bool_)
    items = list(_worked_on(wrong))
    for item in items:
        ends, fits = _led_back(wrong, item)
        with np.errstate(invalid="ignore"):
            # Of several later answers the one that says most.
            is_closer = np.isfinite(ends[0]) & ~(high - low <= ends[1] - ends[0])
        low, high = np.where(is_closer, ends[0], low), np.where(is_closer, ends[1], high)
        follows = np.where(is_closer, fits, follows)
    if not items:
        return None
    return Later(low=low, high=high, follows=follows, right=wrong.right() / wrong.scale, printed=wrong.rounded())


def _worked_on(wrong: WrongAnswers) -> Iterator[Item]:
    """Yield the answers whose formula takes this one by itself, in the same row."""
    for item in wrong.board.rubric.items.values():
        formula = item.formula
        if formula is None or item.name not in wrong.judged or item.table != wrong.item.table:
            continue
        if wrong.item.name in formula.names and not any(isinstance(node, Call) for node in walk(formula.tree)):
            yield item


def _led_back(wrong: WrongAnswers, item: Item) -> tuple[tuple[Values, Values], NDArray[np.bool_]]:
    """Return between which numbers the answer to *item* leads back to, and where the one on the page is among them."""
    assert item.formula is not None
    tree, name = item.formula.tree, wrong.item.name
    room = 1.0 + STEP_ROOM * (count_steps(tree) - 1) + _NOISE
    ends = np.full(len(wrong), np.nan), np.full(len(wrong), np.nan)
    follows = np.zeros(len(wrong), np.bool_)
    for carried in (Carried.WRITTEN, Carried.EXACT):
        later = WrongAnswers(
            board=wrong.board, judged=wrong.judged, item=item, students=wrong.students, rows=wrong.rows, carried=carried
        )
        scales = used_instead(later, tree, name)
        if scales is None:
            continue
        with np.errstate(all="ignore"):
            found = [later.needed(name)[:, 0] * scale / wrong.scale for scale in scales]
            sizes = np.sort(np.abs(found), axis=0)
            same = np.isfinite(found).all(axis=0) & (found[0] * found[1] > 0)
        sign = np.sign(found[0])
        wide = np.where(same, sizes[0] / room, np.nan), np.where(same, sizes[1] * room, np.nan)
        low, high = np.where(sign > 0, wide[0], -wide[1]), np.where(sign > 0, wide[1], -wide[0])
        with np.errstate(invalid="ignore"):
            follows |= (wrong.number >= low) & (wrong.number <= high)
        ends = low, high
    return ends, follows
