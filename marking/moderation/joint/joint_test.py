"""One test for all markers and all criteria at once.

Testing each marker alone tells a third and more of sound departments to adjust. Here every marker's distance from the
others, in the total, in each criterion and in its growth with quality, is one of a family, and the largest of the
family is compared with the largest that chance gives. If nobody is more severe than anybody else, which of a script's
two marks came first is a toss of a coin; so the scripts are tossed, all criteria of one script together, and the
family worked out anew each time. Nothing is assumed of the shape of the marks, and criteria may hang together.

Source: Westfall and Young, Resampling-Based Multiple Testing (Wiley 1993), the largest of a family under resampling;
from memory.
"""

from __future__ import annotations

import hashlib

import numpy as np
from msgspec import Struct

from marking.moderation.joint.marker_effects import growth_contrasts, mean_contrasts
from marking.moderation.joint.pairs import PairTable, Values

TOSSES = 1999
"""With the marks as they were, the 2000th."""
TOTAL, GROWTH = "total", "growth"
WEIGHT_OF_TOTAL = 1.5
"""The total is what a mark book holds: it is compared as if it stood out by so much more than a criterion.

Without it the many criteria of a long scheme drown a shift that is spread over all of them.
"""
FEWEST_MARKERS = 3
"""Of two markers that differ nobody can say which one is off."""


class Distance(Struct, frozen=True, kw_only=True):
    """How far one marker is from the others in one outcome."""

    marker: str
    outcome: str
    """'total', 'growth', or the code of a criterion."""
    estimate: float
    """Marks more generous than the others' mean; for growth, the same a mark of quality."""
    error: float
    """Its standard error, same unit."""
    score: float
    """Estimate over standard error."""
    chance: float
    """How often the largest of the whole family is as large as this where all markers are alike."""


def signs(count: int, tosses: int = TOSSES) -> Values:
    """Return tosses of a coin, +1 or -1, shape (*tosses*, *count*); the same ones each time, on every machine."""
    bits = tosses * count
    stream = hashlib.shake_256(b"tosses of a coin").digest((bits + 7) // 8)
    drawn = np.unpackbits(np.frombuffer(stream, dtype=np.uint8))[:bits]
    return np.asarray(2.0 * drawn.reshape(tosses, count) - 1, dtype=np.float64)


def joint_test(table: PairTable) -> tuple[Distance, ...]:
    """Return every marker's distance in every outcome, with its chance in the whole family; nothing for two markers."""
    count = len(table.first_by)
    if len(table.markers) < FEWEST_MARKERS or count <= len(table.markers):
        return ()
    tossed = signs(count)
    apart = table.apart
    whole = apart.sum(axis=1)
    means = mean_contrasts(table)
    outcomes = [(TOTAL, means, whole)]
    outcomes += [(code, means, apart[:, place]) for place, code in enumerate(table.criteria)]
    growth = growth_contrasts(table)
    if growth.freedom > len(table.markers):
        outcomes.append((GROWTH, growth, whole))
    largest = np.zeros(len(tossed))
    seen = []
    for name, contrasts, values in outcomes:
        weight = WEIGHT_OF_TOTAL if name == TOTAL else 1.0
        estimates, scores = contrasts.studentized(values)
        _, under_chance = contrasts.studentized(tossed * values)
        largest = np.maximum(largest, weight * np.abs(under_chance).max(axis=1))
        seen.append((name, estimates, scores, weight))
    return tuple(
        Distance(
            marker=marker,
            outcome=name,
            estimate=float(estimates[place]),
            error=float(abs(estimates[place] / scores[place])) if scores[place] else 0.0,
            score=float(scores[place]),
            chance=float(((largest >= weight * abs(scores[place]) - 1e-9).sum() + 1) / (len(largest) + 1)),
        )
        for name, estimates, scores, weight in seen
        for place, marker in enumerate(table.markers)
    )
