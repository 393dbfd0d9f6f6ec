"""The same wrong answers from different readings.

An answer that follows from its own readings differs where the readings do. Where one group's answers do not
follow from its readings, and are to the last digit those of another bench, they may have been taken from there.
"""

from __future__ import annotations

import itertools
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Board, Judged, Judgement, judge, lay_out
from marking.cohort.copies.page_slips import plainly_worked
from marking.cohort.copies.variety import agreeing, pairs_apart
from marking.cohort.copies.written_cells import Pages, answer_pages
from marking.cohort.evidence import Partners, at_least
from marking.distributions import median
from rubrics.model import Item, Rubric

Values = NDArray[np.float64]
Flags = NDArray[np.bool_]
Groups = NDArray[np.int64]

FEWEST = 3
"""Fewer answers than this agree by some slip that two people may share."""
APART = 2.0
"""What the two groups' readings lead to must differ by this many units of the last digit: the same slip then prints
different figures."""
FEWEST_FIGURES = 2
JUDGED_AT_ONCE = 100
"""Groups that are laid out and judged together: whatever their number, each is judged by its own page."""
MOST_AT_ONCE = 400
"""Groups of which each is compared with each; a year group is several classes."""
MOST_ALIKE = 60
"""Groups with one and the same answer beyond which it brings no two of them together."""
LEAST_LUCK = 0.05
"""Answers of one class are near each other: two agree by luck at least this often."""


class WrongAlike(Struct, frozen=True, kw_only=True):
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

    Up to so many groups are all compared with each other. Of more, only those are who share wrong answers, found by
    the answers themselves wherever in the set they stand: the work grows with the number of groups, not of pairs.
    """
    return tuple(sorted(_among(rubric, partners, limit), key=lambda one: (one.chance, one.first, one.second)))


def _among(rubric: Rubric, partners: Sequence[Partners], limit: float) -> list[WrongAlike]:
    pages = answer_pages(rubric, partners)
    if not pages.cells:
        return []
    if len(partners) <= MOST_AT_ONCE:
        first, second = pairs_apart(pages)
        compared = len({*first.tolist(), *second.tolist()}) - 1
        # In most classes no two groups write enough of the same: then nothing has to be worked out again.
        alike = agreeing(pages, first, second)[0].sum(axis=1) >= FEWEST
        first, second = _perhaps_wrong(rubric, pages, first[alike], second[alike])
        if not first.size:
            return []
        asked = np.zeros(len(partners), np.bool_)
        asked[first] = asked[second] = True
        own, wrong, figures = _of_all(rubric, partners, pages, asked)
    else:
        own, wrong, figures = _of_all(rubric, partners, pages)
        first, second = _sharing(pages, wrong)
        compared = sum(bool(one.bench) for one in partners) - 1
    if not first.size:
        return []
    luck = _luck(own)
    same, both = agreeing(pages, first, second)
    unit, apart = _unit(pages, first, second), _apart(pages, own, first, second)
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


def _perhaps_wrong(rubric: Rubric, pages: Pages, first: Groups, second: Groups) -> tuple[Groups, Groups]:
    """Return those of the pairs that may turn out to write enough of the same wrong answers from different readings.

    Most pairs that write the same got it right, from readings that are near each other: to see that takes a tenth of
    the time that judging takes.
    """
    groups = np.array(sorted({*first.tolist(), *second.tolist()}), np.int64)
    few = pages.of(groups.tolist())
    worked = plainly_worked(rubric, lay_out(rubric, [one.write_up for one in few.partners]))
    own, perhaps = np.full(pages.values.shape, np.nan), np.ones(pages.values.shape, np.bool_)
    for cell, (name, row) in enumerate(pages.cells):
        item = rubric.items[name]
        if item.formula is None:
            perhaps[:, cell] = False  # it follows from nothing, so nobody can say that it is wrong
        elif name in worked and row <= worked[name][1].shape[1]:
            values, right = worked[name]
            perhaps[groups, cell] = ~right[:, row - 1]
            if _is_by_all_readings(rubric, item):
                own[groups, cell] = item.unit.from_si(values[:, row - 1])
    same, _ = agreeing(pages, first, second)
    near = ~_apart(pages, own, first, second) & np.isfinite(own[first]) & np.isfinite(own[second])
    enough = (same & (perhaps[first] | perhaps[second]) & ~near).sum(axis=1) >= FEWEST
    return first[enough], second[enough]


def _is_by_all_readings(rubric: Rubric, item: Item) -> bool:
    """Tell whether nobody's readings are left out of what they lead to, as a repeat or the end of a line may be."""
    is_straight_part = rubric.graph is not None and rubric.graph.is_straight_part
    return (item.table is not None or not is_straight_part) and not any(one.repeats for one in rubric.items.values())


def _apart(pages: Pages, own: Values, first: Groups, second: Groups) -> Flags:
    """Return where the same slip would print different figures, what readings lead to being *own*; (pairs, cells)."""
    with np.errstate(all="ignore"):
        return np.asarray(np.abs(own[first] - own[second]) > APART * _unit(pages, first, second))


def _unit(pages: Pages, first: Groups, second: Groups) -> Values:
    """Return one of the last digit that both groups of each pair wrote, shape (pairs, cells)."""
    return np.asarray(10.0 ** np.maximum(pages.places[first], pages.places[second]).astype(np.float64))


def _sharing(pages: Pages, wrong: Flags) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the pairs of groups of different benches that write enough of the same answers, one of each two wrong.

    Two numbers agree in all digits that both wrote, so a number is kept under itself rounded to each place that
    somebody ends at. An answer that many give is no copy of any one of them: it brings nobody together.
    """
    shared: Counter[tuple[int, int]] = Counter()
    benches = [one.bench for one in pages.partners]
    for cell in range(len(pages.cells)):
        values, ends = pages.values[:, cell], pages.places[:, cell]
        known = [int(group) for group in np.flatnonzero(np.isfinite(values)) if benches[group]]
        pairs: set[tuple[int, int]] = set()
        for place in sorted({int(ends[group]) for group in known}):
            alike: defaultdict[float, list[int]] = defaultdict(list)
            for group in known:
                if ends[group] <= place:
                    alike[float(np.round(values[group] / 10.0**place))].append(group)
            for groups in alike.values():
                if 1 < len(groups) <= MOST_ALIKE:
                    pairs |= {
                        (one, other)
                        for one, other in itertools.combinations(groups, 2)
                        if place in (ends[one], ends[other])
                        and benches[one] != benches[other]
                        and (wrong[one, cell] or wrong[other, cell])
                    }
        shared.update(pairs)
    found = sorted(pair for pair, count in shared.items() if count >= FEWEST)
    both = np.array(found, np.int64).reshape(-1, 2)
    return both[:, 0], both[:, 1]


def _of_all(
    rubric: Rubric, partners: Sequence[Partners], pages: Pages, asked: Flags | None = None
) -> tuple[Values, Flags, Values]:
    """Return the values of ``_own_values`` for all groups, laid out so many at a time.

    Whether an answer is wrong is told for the groups *asked* for, all of them where it is None.
    """
    parts = []
    for start in range(0, len(partners), JUDGED_AT_ONCE):
        few = slice(start, start + JUDGED_AT_ONCE)
        board = lay_out(rubric, [one.write_up for one in partners[few]])
        parts.append(_own_values(board, judge(board, None if asked is None else asked[few, None]), pages.of(few)))
    own, wrong, figures = (np.concatenate(columns) for columns in zip(*parts, strict=True))
    return own, wrong, figures


def _own_values(board: Board, judged: Mapping[str, Judged], pages: Pages) -> tuple[Values, Flags, Values]:
    """Return what each group's readings lead to, whether its answer is wrong, and its figures; (groups, cells)."""
    own = np.full(pages.values.shape, np.nan)
    wrong = np.zeros(pages.values.shape, np.bool_)
    figures = np.zeros(pages.values.shape)
    for cell, (name, row) in enumerate(pages.cells):
        one = judged.get(name)
        if one is None or row > one.own.shape[1]:
            continue  # of those laid out here nobody has so many rows
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
            widths[cell] = 1.4826 * median(np.abs(logs - median(logs)))
    return widths


def _agreement(spread: float, unit: float) -> float:
    """Return how often two values of that *spread* are written the same, at most."""
    if not spread > 0:
        return 1.0
    # The density of the difference of two values is highest where they are equal.
    return float(np.clip(unit / (2.0 * np.sqrt(np.pi) * spread), LEAST_LUCK, 1.0))
