"""Which benches have parts of one kind: the same gauge of wire, the same metal, the same resistor.

Nobody writes that down, but values show it. A bench is compared only with benches of its own kind.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Places = NDArray[np.int64]

FAR = 0.14
"""Gap in natural logarithms between neighbours (15 %) that parts a kind from the next: resistors are sold
in steps of 20 % (IEC 60063, E12), wires by gauge in steps of 30 % and more."""
NEAR = 0.04
"""Kinds as near as this to each other, such as brass and copper, are told apart only where both are well filled."""
FEWEST_OF_KIND = 3
"""Benches on either side of a near gap; two benches might both be off."""
CLEAR = 4.0
"""A near gap must be this many times the spread on its sides."""


def bench_means(logs: Values, bench_of: Places, benches: int) -> Values:
    """Return the mean of each bench's groups, NaN where it has none with a value."""
    present = np.isfinite(logs)
    counts = np.bincount(bench_of[present], minlength=benches)
    totals = np.bincount(bench_of[present], weights=logs[present], minlength=benches)
    with np.errstate(all="ignore"):
        return np.where(counts > 0, totals / counts, np.nan)


def bench_kinds(logs: Values, bench_of: Places, benches: int) -> tuple[Places, Values]:
    """Return the kind of each bench (-1 where it has no value), and *logs* without values of another kind.

    Args:
        logs: One a group, natural logarithm of one quantity; NaN where there is none.
        bench_of: Bench of each group.
        benches: How many there are.
    """
    segment = _segments(logs)
    kinds = np.full(benches, -1, np.int64)
    kept = logs.copy()
    sizes = np.bincount(segment[segment >= 0], minlength=1)
    for bench in range(benches):
        mine = segment[(bench_of == bench) & (segment >= 0)]
        if mine.size:
            counts = np.bincount(mine, minlength=sizes.size)
            # Two groups that disagree widely: the commoner kind is right, the other one a slip.
            kinds[bench] = max(range(sizes.size), key=lambda kind: (counts[kind], sizes[kind]))
            kept[(bench_of == bench) & (segment != kinds[bench])] = np.nan
    return _split_near(bench_means(kept, bench_of, benches), kinds), kept


def _segments(logs: Values) -> Places:
    order = np.argsort(logs, kind="stable")
    ordered = logs[order]
    steps = np.concatenate([[0.0], np.diff(ordered)])
    numbers = np.cumsum(np.where(steps > FAR, 1, 0))
    found = np.full(logs.shape, -1, np.int64)
    found[order] = np.where(np.isfinite(ordered), numbers, -1)
    return found


def _split_near(means: Values, kinds: Places) -> Places:
    found = kinds.copy()
    waiting = list(range(int(kinds.max(initial=-1)) + 1))
    following = len(waiting)
    while waiting:
        kind = waiting.pop()
        benches = np.flatnonzero((found == kind) & np.isfinite(means))
        benches = benches[np.argsort(means[benches], kind="stable")]
        cut = _cut(means[benches])
        if cut:
            found[benches[cut:]] = following
            waiting += [kind, following]
            following += 1
    return found


def _cut(ordered: Values) -> int:
    """Return the position at which a clear gap divides the ordered values in two, 0 where there is no such gap."""
    gaps = np.diff(ordered)
    best = 0
    for place in range(FEWEST_OF_KIND, ordered.size - FEWEST_OF_KIND + 1):
        gap = gaps[place - 1]
        low, high = ordered[:place], ordered[place:]
        spread = np.sqrt(
            (((low - low.mean()) ** 2).sum() + ((high - high.mean()) ** 2).sum()) / max(ordered.size - 2, 1)
        )
        if gap > max(NEAR, CLEAR * spread) and (not best or gap > gaps[best - 1]):
            best = place
    return best
