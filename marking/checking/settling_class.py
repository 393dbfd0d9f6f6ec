"""What is settled over the whole of a set before anybody is marked: shares of causes, and the accepted value.

Parts of a set are counted one by one, the counts are put together, and every part is marked with what they settle: so
parts that are marked apart come to the same as the whole. All counts are exact in any order and for parts of any size.
A set of several batches is settled from a sample that is spread over all of it: of 2000 students at most, and of fewer
where these have shown enough wrong answers of every kind. A share of the causes of a hundred is known to five points at
worst (one standard error, 1 / (2 √100)); shares choose words, never marks, and a vote among hundreds is not decided by
the next.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from marking.checking.answers import Board, Judged, judge, lay_out, ten_to
from marking.checking.causes import Priors, count_causes, learn, load_priors
from marking.checking.checks import judged_in_ranges
from marking.checking.curves import Shapes, shapes
from marking.checking.results import Usual, nearest_accepted, usual_accepted
from marking.checking.settled_marks import with_settled_marks
from marking.findings import Cause, LearnedShare
from marking.write_up import WriteUp
from rubrics.model import Rubric

BATCH = 600
"""Students laid out as arrays at a time; bounds the memory, whatever the size of the set. Always the same: what is
explained to one student does not depend on who is laid out beside them."""
ROUND = 300
"""Students of a sample who are counted at a time."""
SAMPLE = 2000
"""Students from whom a set of several batches is settled, at most."""
ENOUGH = 100
"""Wrong answers of each kind after which no more students of such a set are looked at."""
TOGETHER = 20
"""Students of a sample who stand next to each other, so that a large set is opened in few places."""


class Laid(Struct, frozen=True, kw_only=True):
    """A batch as arrays, judged."""

    board: Board
    judged: Mapping[str, Judged]
    """What has a formula."""
    everything: Mapping[str, Judged]
    """Uncertainties and turn-on values too."""
    curves: Mapping[tuple[str, str], Shapes]


class Counted(Struct, frozen=True, kw_only=True):
    """What one part of a set adds to what is settled over all of it."""

    causes: Mapping[str, Mapping[Cause, float]]
    """For each kind of answer, how many answers each cause explains: multiples of a power of two, whose sums are
    exact."""
    nearest: Mapping[str, int]
    """Results by the accepted value that they are nearest to; those near none under ''."""


class Settled(Struct, frozen=True, kw_only=True):
    """What every part of a set is marked with."""

    priors: Priors
    accepted: Usual | None
    """None where nature has no value."""


def laid(rubric: Rubric, write_ups: Sequence[WriteUp]) -> Laid:
    """Return *write_ups* as arrays, judged."""
    board = with_settled_marks(lay_out(rubric, write_ups))
    judged = judge(board)
    curves = _curves(board)
    return Laid(
        board=board,
        judged=judged,
        everything={**judged, **judged_in_ranges(board, curves)},
        curves=curves,
    )


def _curves(board: Board) -> Mapping[tuple[str, str], Shapes]:
    axes = {one for item in board.rubric.answers for one in (item.curve, item.turn_on) if one is not None}
    found = {}
    for x_name, y_name in sorted(axes):
        x, y = board.cells[x_name], board.cells[y_name]
        step_y = np.where(np.isfinite(y.si), ten_to(y.finest) * y.factor, np.nan)
        found[x_name, y_name] = shapes(*np.broadcast_arrays(x.si, y.si, step_y, ten_to(x.finest) * x.factor))
    return found


def count(rubric: Rubric, write_ups: Sequence[WriteUp]) -> Counted:
    """Return what *write_ups* add to what is settled over the set that they are of."""
    one = laid(rubric, write_ups)
    return counted(one, count_causes(one.board, one.judged, load_priors()))


def counted(one: Laid, causes: Mapping[str, Mapping[Cause, float]]) -> Counted:
    """Return what a batch adds, whose *causes* were counted with the starting shares."""
    return Counted(causes=causes, nearest=nearest_accepted(one.board, one.everything))


class Counting:
    """What the students of a set have added so far, round by round, in the order of ``rounds``."""

    def __init__(self, rubric: Rubric, students: int) -> None:
        """Begin with a set of so many students."""
        self._rubric, self._is_sample = rubric, is_sampled(students)
        self._causes: dict[str, dict[Cause, float]] = {}
        self._nearest: Counter[str] = Counter()
        self.rounds = 0
        """Rounds that were counted."""

    def add(self, part: Counted) -> None:
        """Count a round in, unless those before were enough."""
        if self.is_enough:
            return
        self.rounds += 1
        for kind, own in part.causes.items():
            sums = self._causes.setdefault(kind, {})
            for cause, total in own.items():
                sums[cause] = sums.get(cause, 0.0) + total
        self._nearest.update(part.nearest)

    @property
    def is_enough(self) -> bool:
        """Tell whether no more students have to be looked at."""
        if not self._is_sample or not self.rounds:
            return False
        return all(sum(own.values()) >= ENOUGH for own in self._causes.values())

    def settled(self) -> Settled:
        """Return what all of it settles."""
        return Settled(priors=learn(load_priors(), self._causes), accepted=usual_accepted(self._rubric, self._nearest))


def settle(rubric: Rubric, parts: Sequence[Counted]) -> Settled:
    """Return what the parts of a class, all of which are looked at, settle together."""
    counting = Counting(rubric, 0)
    for part in parts:
        counting.add(part)
    return counting.settled()


def learned_shares(settled: Settled) -> tuple[LearnedShare, ...]:
    """Return the shares that a set's own wrong answers moved."""
    return tuple(
        LearnedShare(kind=kind, cause=cause, before=share, after=settled.priors[kind][cause])
        for kind, shares in load_priors().items()
        for cause, share in shares.items()
        if settled.priors[kind] != shares
    )


def rounds(students: int) -> list[list[int]]:
    """Return the places, from 0, of those who settle a set of so many *students*, a round at a time.

    All of them, or of a set of several batches small groups at equal distances; each round is spread over the whole.
    """
    if not is_sampled(students):
        return [list(range(first, min(first + ROUND, students))) for first in range(0, students, ROUND)]
    groups = min(SAMPLE, students) // TOGETHER
    starts = [students // TOGETHER * number // groups * TOGETHER for number in range(groups)]
    count = -(-groups * TOGETHER // ROUND)
    return [[place for start in starts[one::count] for place in range(start, start + TOGETHER)] for one in range(count)]


def is_sampled(students: int) -> bool:
    """Tell whether a set of so many *students* is settled from those who are enough, not from all of them."""
    return students > BATCH
