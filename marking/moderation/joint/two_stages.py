"""Who is in doubt after the first scripts, and who is named after the second.

First stage: 8 to 10 scripts of each marker. Whoever may be off, by a generous rule, gives 16 to 20 scripts more. Only
then is anybody named, and only by the joint test over all markers and criteria, where the distance is large enough to
matter. Between the stages nobody is told to adjust anything, so that looking twice adds no false alarm.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from marking.moderation.joint.joint_test import FEWEST_MARKERS, GROWTH, TOTAL, Distance, joint_test
from marking.moderation.joint.pairs import PairTable

LEVEL = 0.04
"""At most this share of sound departments has anybody named."""
MATTERS = 0.5 / 15
"""Of the maximum: half a mark in 15 is where a mean difference is no longer small; common practice, no source."""
FIRST_STAGE, SECOND_STAGE = 11, 20
"""Scripts of each marker, and scripts more of a marker in doubt; from simulated departments, see DEVELOPERS.md."""
DOUBT_TOTAL, DOUBT_CRITERION = 1.0, 2.8
"""Standard errors from the others at which a marker is in doubt, in the total and in growth or a criterion."""
ENOUGH = FIRST_STAGE + 16
"""Scripts of a marker after which no second stage is asked for: what a short second stage comes to."""
MOST_IN_DOUBT, NEARLY = 2, 0.7
"""At most so many, and the second only where it stands out nearly as much as the first: the rest is their shadow."""


class Doubt(Struct, frozen=True, kw_only=True):
    """A marker of whom more scripts are wanted before anything is said."""

    marker: str
    outcome: str
    """What stands out most: 'total', 'growth', or the code of a criterion."""
    estimate: float


class Named(Struct, frozen=True, kw_only=True):
    """A marker whom the joint test names."""

    marker: str
    total: Distance
    """In the whole of the criteria that people mark."""
    strongest: Distance
    """The outcome that stands out most."""
    criteria: tuple[Distance, ...]
    """Each criterion, in the order of the scheme."""
    growth: Distance | None


def doubts(table: PairTable, out_of: int) -> tuple[Doubt, ...]:
    """Return the markers of whom a second stage is wanted, those that stand out most first.

    Args:
        table: Pairs that were drawn at random.
        out_of: The maximum of a whole script, computed marks among them.
    """
    strongest: dict[str, tuple[float, Distance]] = {}
    for one in joint_test(table):
        needed = DOUBT_TOTAL if one.outcome == TOTAL else DOUBT_CRITERION
        size = abs(one.score) / needed
        if size >= 1 and _size(one, table) >= MATTERS * out_of / 2 and size > strongest.get(one.marker, (0.0, one))[0]:
            strongest[one.marker] = (size, one)
    ordered = sorted(strongest.values(), key=lambda pair: (-pair[0], pair[1].marker))[:MOST_IN_DOUBT]
    return tuple(
        Doubt(marker=one.marker, outcome=one.outcome, estimate=one.estimate)
        for size, one in ordered
        if size >= NEARLY * ordered[0][0]
    )


def named(table: PairTable, out_of: int, level: float = LEVEL) -> tuple[Named, ...]:
    """Return the markers whom the joint test names, the one farthest off first.

    After each the rest are compared among themselves, so that one marker's severity makes nobody else look generous.

    Args:
        table: Pairs that were drawn at random, of both stages.
        out_of: The maximum of a whole script, computed marks among them.
        level: Share of sound departments that may have somebody named.
    """
    found = []
    rest = table
    while len(rest.markers) >= FEWEST_MARKERS:
        family = joint_test(rest)
        sure = [one for one in family if one.chance <= level and _size(one, rest) >= MATTERS * out_of]
        if not sure:
            break
        strongest = max(sure, key=lambda one: (abs(one.score), one.marker))
        own = {one.outcome: one for one in family if one.marker == strongest.marker}
        found.append(
            Named(
                marker=strongest.marker,
                total=own[TOTAL],
                strongest=strongest,
                criteria=tuple(own[code] for code in rest.criteria),
                growth=own.get(GROWTH),
            )
        )
        rest = rest.without(strongest.marker)
    return tuple(found)


def _size(one: Distance, table: PairTable) -> float:
    """Return a distance in marks; that of growth at the weaker and the stronger scripts, a standard deviation off."""
    return abs(one.estimate) * (float(np.std(table.quality)) if one.outcome == GROWTH else 1.0)
