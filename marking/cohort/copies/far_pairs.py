"""Pairs far apart in a long list that share enough whole cells to be compared: found by the cells, not by pairs."""

from __future__ import annotations

import itertools
from collections import Counter, defaultdict

import numpy as np

from marking.cohort.copies.written_cells import Pages

MOST_SHARING = 20
"""Groups with one and the same number in a cell beyond which it brings no two of them together."""
ENOUGH_SHARED = 0.4
"""Share of its cells that a page far down the list must share with another to be compared with it."""
FEWEST_SHARED = 3
MOST_FAR = 400
"""Such pairs that are looked at for each part of the list, those that share most first."""


def far_pairs(pages: Pages, at_once: int) -> dict[int, list[tuple[int, int]]]:
    """Return the pairs of groups that are not compared already and share enough cells, the earlier first.

    They are gathered by the first group that the earlier is compared with; the most that share most of them.

    Args:
        pages: The readings of all.
        at_once: Groups of which each is compared with each already, in the order of the list.
    """
    if len(pages.partners) <= at_once:
        return {}
    shared: Counter[tuple[int, int]] = Counter()
    for cell in range(len(pages.cells)):
        alike: defaultdict[tuple[float, int], list[int]] = defaultdict(list)
        for group in np.flatnonzero(np.isfinite(pages.values[:, cell])).tolist():
            place = int(pages.places[group, cell])
            alike[float(np.round(pages.values[group, cell] / 10.0**place)), place].append(group)
        for groups in alike.values():
            if 1 < len(groups) <= MOST_SHARING:
                shared.update(
                    pair for pair in itertools.combinations(groups, 2) if pair[0] // at_once != pair[1] // at_once
                )
    filled = np.isfinite(pages.values).sum(axis=1)
    found: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)
    for (one, other), count in sorted(shared.items(), key=lambda item: (-item[1], item[0])):
        mine = found[one - one % at_once]
        enough = count >= max(FEWEST_SHARED, ENOUGH_SHARED * min(filled[one], filled[other]))
        if enough and len(mine) < MOST_FAR:
            mine.append((one, other))
    return {start: sorted(pairs) for start, pairs in sorted(found.items()) if pairs}
