"""Pages that are so alike that one may have been copied from the other, with some figures changed.

Two pages of different benches are compared digit by digit, their readings and those answers that do not follow from
the readings of both. Where a page has slips that the other explains, how rare so many slips are in this class counts
as well: the chance is then how often honest pages are so alike, times how often an honest page has such slips.

Up to so many groups are all compared with each other. Of more, those near each other in the list still are, and of the
others all that share enough whole cells, wherever in the set they stand. What is not seen there: pages of two far
classes that agree in fewer cells than that, and of hundreds of such pairs those that share least.
"""

from __future__ import annotations

from collections.abc import Sequence, Set

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from marking.cohort.copies.far_pairs import far_pairs
from marking.cohort.copies.likeness import Likeness
from marking.cohort.copies.variety import agreeing, pairs_apart
from marking.cohort.copies.written_cells import Pages, reading_pages
from marking.cohort.evidence import Partners
from rubrics.model import Rubric

MOST_AT_ONCE = 400
"""Groups of which each is compared with each, in the order of the list; a year group is several classes."""


class Alike(Struct, frozen=True, kw_only=True):
    """Two pages that are alike."""

    first: int
    """Position of the group."""
    second: int
    chance: float
    """How often an honest page would be so like any of the others."""
    items: tuple[str, ...]
    """Items with cells that agree in every digit."""
    same: int
    """Those cells."""
    of: int
    """Cells that both filled in."""
    explains: bool
    """Figures of one page that fit nothing else there are like the other's."""


def alike_pages(rubric: Rubric, partners: Sequence[Partners], limit: float) -> tuple[Alike, ...]:
    """Return the pairs of different benches that honest work would bring up no more often than *limit*."""
    pages = reading_pages(rubric, partners)
    if not pages.cells:
        return ()
    found: list[Alike] = []
    for start in range(0, len(partners), MOST_AT_ONCE):
        found += [
            replace(one, first=one.first + start, second=one.second + start)
            for one in _among(rubric, pages.of(slice(start, start + MOST_AT_ONCE)), limit)
        ]
    for start, pairs in far_pairs(pages, MOST_AT_ONCE).items():
        found += _beside_class(rubric, pages, start, pairs, limit)
    return tuple(sorted(found, key=lambda one: (one.chance, one.first, one.second)))


def _beside_class(
    rubric: Rubric, pages: Pages, start: int, pairs: Sequence[tuple[int, int]], limit: float
) -> list[Alike]:
    """Return those of the *pairs* that are alike, by how widely the pages from *start* on vary."""
    near = range(start, min(start + MOST_AT_ONCE, len(pages.partners)))
    around = [*near, *dict.fromkeys(other for _, other in pairs)]
    place = {group: at for at, group in enumerate(around)}
    # They were found among all of the set.
    strict = limit * len(around) / len(pages.partners)
    found = _among(rubric, pages.of(around), strict, {(place[one], place[other]) for one, other in pairs})
    return [
        replace(
            pair, first=around[pair.first], second=around[pair.second], chance=min(1.0, pair.chance * limit / strict)
        )
        for pair in found
    ]


def _among(rubric: Rubric, pages: Pages, limit: float, only: Set[tuple[int, int]] | None = None) -> list[Alike]:
    first, second = pairs_apart(pages)
    if not first.size:
        return []
    compared = len({*first.tolist(), *second.tolist()}) - 1
    pairs = first.size
    if only is not None:
        mine = np.array([pair in only for pair in zip(first.tolist(), second.tolist(), strict=True)])
        first, second = first[mine], second[mine]
    likeness = Likeness(rubric, pages)
    strict = limit / compared
    likely = {pair: likeness.likely(*pair, strict) for pair in likeness.worth_a_look(first, second, strict)}
    found = []
    sources: set[int] = set()
    for (one, other), luck in sorted(likely.items(), key=lambda item: (item[1].chance, item[0])):
        if luck.chance > strict:
            break
        # A page with odd figures was copied from one page; whoever else is a little like it only sat in the same class.
        if luck.page in sources and luck.digits > strict:
            continue
        sources.add(luck.page)
        chance = luck.digits ** (1.0 / likeness.overstated((one, other), pairs, strict)) * luck.rare
        if chance > strict:
            continue
        same, both = agreeing(pages, np.array([one]), np.array([other]))
        found.append(
            Alike(
                first=one,
                second=other,
                chance=compared * chance,
                items=tuple(dict.fromkeys(pages.cells[cell][0] for cell in np.flatnonzero(same[0]))),
                same=int(same.sum()),
                of=int(both.sum()),
                explains=luck.rare < 1.0,
            )
        )
    return found
