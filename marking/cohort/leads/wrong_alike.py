"""The same wrong answers from different readings.

An answer that follows from its own readings differs where the readings do. Where one group's answers do not
follow from its readings, and are to the last digit those of another bench, they may have been taken from there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Board, Judged, Judgement, judge, lay_out
from marking.cohort.evidence import Partners, at_least
from marking.cohort.leads.variety import agreeing, pairs_apart
from marking.cohort.leads.written_cells import Pages, answer_pages
from rubrics.model import Rubric

Values = NDArray[np.float64]
Flags = NDArray[np.bool_]

FEWEST = 3
"""Fewer answers than this agree by some slip that two people may share."""
APART = 2.0
"""What the two groups' readings lead to must differ by this many units of the last digit: the same slip then prints
different figures."""
FEWEST_FIGURES = 2
MOST_AT_ONCE = 400
"""Groups compared with each other at a time; a year group is several classes."""
LEAST_LUCK = 0.05
"""Answers of one class are near each other: two agree by luck at least this often."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongAlike:
    """Two groups with the same wrong answers."""

    first: int
    second: int
    items: tuple[str, ...]
    same: int
    """Answers that agree, at least one of each two of them wrong."""
    of: int
    """Answers that might have agreed."""
    chance: float


def wrong_alike(rubric: Rubric, partners: Sequence[Partners], limit: float) -> tuple[WrongAlike, ...]:
    """Return the pairs of groups of different benches that honest work would bring up no more often than *limit*.

    Of many groups, so many at a time are compared with each other, in the order of the class.
    """
    found: list[WrongAlike] = []
    for start in range(0, len(partners), MOST_AT_ONCE):
        found += [
            replace(one, first=one.first + start, second=one.second + start)
            for one in _among(rubric, partners[start : start + MOST_AT_ONCE], limit)
        ]
    return tuple(sorted(found, key=lambda one: (one.chance, one.first, one.second)))


def _among(rubric: Rubric, partners: Sequence[Partners], limit: float) -> list[WrongAlike]:
    pages = answer_pages(rubric, partners)
    first, second = pairs_apart(pages)
    if not first.size or not pages.cells:
        return []
    board = lay_out(rubric, [one.write_up for one in partners])
    own, wrong, figures = _own_values(board, judge(board), pages)
    luck = _luck(own)
    compared = len({*first.tolist(), *second.tolist()}) - 1
    same, both = agreeing(pages, first, second)
    unit = 10.0 ** np.maximum(pages.places[first], pages.places[second]).astype(np.float64)
    with np.errstate(all="ignore"):
        apart = np.abs(own[first] - own[second]) > APART * unit
        open_to = both & apart & (wrong[first] | wrong[second]) & (figures[first] >= FEWEST_FIGURES)
    found = []
    for pair in np.flatnonzero((same & open_to).sum(axis=1) >= FEWEST):
        cells = np.flatnonzero(open_to[pair])
        hits = cells[same[pair, cells]]
        chances = [_agreement(luck[cell] * abs(own[first[pair], cell]), unit[pair, cell]) for cell in cells]
        chance = min(1.0, compared * at_least(hits.size, chances))
        if chance <= limit:
            found.append(
                WrongAlike(
                    first=int(first[pair]),
                    second=int(second[pair]),
                    items=tuple(dict.fromkeys(pages.cells[cell][0] for cell in hits)),
                    same=int(hits.size),
                    of=int(cells.size),
                    chance=chance,
                )
            )
    return found


def _own_values(board: Board, judged: Mapping[str, Judged], pages: Pages) -> tuple[Values, Flags, Values]:
    """Return what each group's readings lead to, whether its answer is wrong, and its figures; (groups, cells)."""
    own = np.full(pages.values.shape, np.nan)
    wrong = np.zeros(pages.values.shape, np.bool_)
    figures = np.zeros(pages.values.shape)
    for cell, (name, row) in enumerate(pages.cells):
        one = judged.get(name)
        if one is None:
            continue
        unit = one.item.unit
        own[:, cell] = unit.from_si(one.own[:, row - 1])
        wrong[:, cell] = one.judgement[:, row - 1] == int(Judgement.WRONG)
        figures[:, cell] = board.cells[name].fewest_figures[:, row - 1]
    return own, wrong, figures


def _luck(own: Values) -> Values:
    """Return how widely honest values of each answer vary, as a share, shape (cells,)."""
    widths = np.zeros(own.shape[1])
    for cell, column in enumerate(own.T):
        sizes = np.abs(column[np.isfinite(column) & (column != 0)])
        if sizes.size > 2:
            logs = np.log(sizes)
            widths[cell] = 1.4826 * float(np.median(np.abs(logs - np.median(logs))))
    return widths


def _agreement(spread: float, unit: float) -> float:
    """Return how often two values of that *spread* are written the same, at most."""
    if not spread > 0:
        return 1.0
    # The density of the difference of two values is highest where they are equal.
    return float(np.clip(unit / (2.0 * np.sqrt(np.pi) * spread), LEAST_LUCK, 1.0))
