"""The slips on each page of a class: readings that no instrument shows, answers that do not follow.

Who copies and then changes figures leaves such traces: a figure that the instrument does not show, a value far from
all others, an answer that goes with the figure before it was changed. Honest students leave them too. How often is
seen from the class itself; a page with more of them than any other is rare by its rank, and no rarer.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Board, constant_values, evaluate, in_order, is_drawn, lay_out
from marking.cohort.copies.written_cells import Pages
from marking.distributions import median
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]
Flags = NDArray[np.bool_]
Counts = NDArray[np.int64]

FAR = 6.0
"""Standard deviations of the class beyond which a value is far from all others."""
FEWEST = 8
"""With fewer pages the class does not show what is far."""
TENTHS = 2.56
"""Standard deviations of a normal distribution between its first and its last tenth."""
HALVES = [0, 5]
"""Digits of an instrument that is read to a division or to half of one."""
GRID_SHARE = 0.9
"""Where they make up this share of a place, the instrument shows no others."""
ROUNDING = 0.02
"""No rounding on the way moves an answer further than this share; common practice, no source."""
ROUNDING_UNITS = 1.5
"""Nor further than this many units of its last digit."""
DRAWN = 0.1
"""The same for what is read off a line drawn by hand."""
HALF_A_UNIT = 0.499
"""Of the last digit: what is rounded lies no further from what is printed, and not at the very edge."""
PLACES = range(-9, 10)
MORE = 0.3
"""Of the pages with as many slips as the class's worst, the share that would have one more; judged, no source."""


class PageSlips(Struct, frozen=True, kw_only=True):
    """The slips of a class."""

    odd: Flags
    """Readings that are far from all others or off the instrument's grid, shape (groups, cells of the pages)."""
    strays: Flags
    """Pages whose readings lead to an answer far from all others, shape (groups,)."""
    wrong: Mapping[str, Flags]
    """Answer to where it follows neither from the readings nor from the answers before it, shape (groups, rows)."""
    own: Mapping[str, Values]
    """Answer to what the readings lead to, in the unit of the item, the same shape."""

    @property
    def wrong_answers(self) -> Counts:
        """Return how many answers of each page are wrong; those of a column count once. Shape (groups,)."""
        found = np.zeros(self.strays.size, np.int64)
        for rows in self.wrong.values():
            found += rows.any(axis=1)
        return found

    @property
    def counts(self) -> Counts:
        """Return the slips of each page, shape (groups,)."""
        readings: Counts = np.maximum(self.odd.sum(axis=1), self.strays)
        return readings + self.wrong_answers

    def wrong_cells(self, pages: Pages) -> Flags:
        """Return the same for the cells of *pages* of the same groups; False for readings. Shape (groups, cells)."""
        found = np.zeros(pages.values.shape, np.bool_)
        for cell, (item, row) in enumerate(pages.cells):
            if item in self.wrong and row <= self.wrong[item].shape[1]:
                found[:, cell] = self.wrong[item][:, row - 1]
        return found


NO_SLIPS = PageSlips(odd=np.zeros((0, 0), np.bool_), strays=np.zeros(0, np.bool_), wrong={}, own={})


def page_slips(rubric: Rubric, pages: Pages) -> PageSlips:
    """Return the slips of the groups whose readings *pages* hold."""
    wrong, own = _answers(rubric, lay_out(rubric, [one.write_up for one in pages.partners]))
    led = [_logs(values) for values in own.values() if values.shape[1]]
    strays = np.any([_far(values).any(axis=1) for values in led], axis=0) if led else np.zeros(len(pages.partners))
    return PageSlips(
        odd=_far(_scaled(pages.values)) | _off_grid(pages),
        strays=np.asarray(strays, np.bool_),
        wrong=wrong,
        own={name: rubric.items[name].unit.from_si(values) for name, values in own.items()},
    )


def rarity(counts: Counts, one: int, other: int, slips: int) -> float:
    """Return how often an honest page of this class has so many slips.

    By rank among the other pages, so that no slip is rare in a class with many. The first beyond the worst of these
    is as rare as one page in the class, each one more rarer by a fixed share.

    Args:
        counts: Slips of each page.
        one: The page.
        other: The page it is compared with; neither counts as one of the others.
        slips: So many.
    """
    others = np.delete(counts, [one, other])
    worst = int(others.max(initial=0))
    share = (1 + int((others >= slips).sum())) / (others.size + 1)
    return share * MORE ** max(0, slips - worst - 1)


def _scaled(values: Values) -> Values:
    """Return logarithms of the columns that are above zero throughout, but for a few; the others as they are."""
    return np.column_stack(
        [_logs(column) if median(column[np.isfinite(column)]) > 0 else column for column in values.T]
    )


def _logs(values: Values) -> Values:
    with np.errstate(all="ignore"):
        return np.where(values > 0, np.log(values), np.nan)


def _far(values: Values) -> Flags:
    """Return what lies far from all other pages, column by column; where a logarithm is missing nothing does."""
    found = np.zeros(values.shape, np.bool_)
    for cell, column in enumerate(values.T):
        known = np.sort(column[np.isfinite(column)])
        if known.size >= FEWEST:
            middle = median(known)
            low, high = known[known.size // 10], known[-1 - known.size // 10]
            width = max(1.4826 * median(np.abs(known - middle)), float(high - low) / TENTHS)
            with np.errstate(all="ignore"):
                found[:, cell] = (np.abs(column - middle) > FAR * width) & (width > 0)
    return found


def _off_grid(pages: Pages) -> Flags:
    """Return readings with a digit that the instrument does not show: nobody else has it at that place."""
    found = np.zeros(pages.values.shape, np.bool_)
    items = [item for item, _ in pages.cells]
    for item in dict.fromkeys(items):
        mine = [cell for cell, name in enumerate(items) if name == item]
        values, places = pages.values[:, mine], pages.places[:, mine]
        with np.errstate(all="ignore"):
            whole = np.abs(np.round(values / 10.0**places))
        for place in PLACES:
            shown = np.isfinite(values) & (places <= place)
            if shown.sum() < FEWEST:
                continue
            digits = np.zeros(values.shape, np.int64)
            digits[shown] = np.floor(whole[shown] * 10.0 ** (places[shown] - float(place)) + 1e-6).astype(np.int64) % 10
            counts = np.bincount(digits[shown], minlength=10)
            if counts[HALVES].sum() >= GRID_SHARE * counts.sum():
                found[:, mine] |= shown & (counts[digits] <= 1)
    return found


def _answers(rubric: Rubric, board: Board) -> tuple[dict[str, Flags], dict[str, Values]]:
    """Return where answers are wrong beyond all rounding, and what the readings lead to, in SI."""
    exact = constant_values(rubric) | {
        name: cells.si for name, cells in board.cells.items() if rubric.items[name].role is Role.READING
    }
    carried = dict(exact)
    wrong: dict[str, Flags] = {}
    own: dict[str, Values] = {}
    for item in _worked(rubric, board):
        formula, cells = item.formula, board.cells[item.name]
        if formula is None or not all(name in exact for name in formula.names):
            continue
        led = [evaluate(formula.tree, values) for values in (exact, carried)]
        share = DRAWN if is_drawn(formula) else ROUNDING
        least = ROUNDING_UNITS * 10.0 ** cells.coarsest.astype(np.float64) * cells.factor
        with np.errstate(all="ignore"):
            near = np.any([np.abs(cells.si - one) <= np.maximum(share * np.abs(one), least) for one in led], axis=0)
            known = np.isfinite(cells.si) & (np.isfinite(led[0]) | np.isfinite(led[1]))
        wrong[item.name] = known & ~near
        own[item.name] = np.broadcast_to(np.where(np.isfinite(led[0]), led[0], led[1]), cells.si.shape)
        exact[item.name] = led[0]
        carried[item.name] = np.where(np.isfinite(cells.si), cells.si, led[1])
    return wrong, own


def plainly_worked(rubric: Rubric, board: Board) -> dict[str, tuple[Values, Flags]]:
    """Return, by answer, what the readings lead to in SI, and where it prints the very figures that stand written.

    Nobody calls such an answer wrong, and it takes no look at how steps may have been rounded. Shapes (groups, rows).
    """
    values = constant_values(rubric) | {
        name: cells.si for name, cells in board.cells.items() if rubric.items[name].role is Role.READING
    }
    found: dict[str, tuple[Values, Flags]] = {}
    for item in _worked(rubric, board):
        formula, cells = item.formula, board.cells[item.name]
        if formula is None or not all(name in values for name in formula.names):
            continue
        values[item.name] = evaluate(formula.tree, values)
        half = HALF_A_UNIT * 10.0 ** cells.finest.astype(np.float64) * np.abs(cells.factor)
        with np.errstate(all="ignore"):
            is_right = np.abs(cells.si - values[item.name]) <= half
        found[item.name] = np.broadcast_to(values[item.name], cells.si.shape), np.asarray(is_right)
    return found


def _worked(rubric: Rubric, board: Board) -> Sequence[Item]:
    return [item for item in in_order(rubric) if item.name in board.cells and not item.is_words]
