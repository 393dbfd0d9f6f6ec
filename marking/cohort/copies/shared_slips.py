"""Which slips of one page another page explains: what is changed there is still like what stands here."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Judgement, judge, lay_out
from marking.cohort.copies.page_slips import PageSlips
from marking.cohort.copies.written_cells import Pages
from rubrics.model import Role, Rubric

Flags = NDArray[np.bool_]

LIKE_READING = 1 / 2
"""Share of its digits that a changed reading keeps."""
LIKE_ANSWER = 2 / 3
"""Share of its digits in which an answer is another page's."""
APART = 2.0
"""What the readings of two pages lead to must differ by this many units of the last digit for the same answer to say
anything."""


class SharedSlips(Struct, frozen=True, kw_only=True):
    """What two pages have in common that does not come from the readings of both."""

    of_one: int
    """Slips of the first page that the second explains."""
    of_other: int
    told: Flags
    """Cells whose digits say something: readings, and answers that do not follow, shape (cells of whole pages,)."""
    has_answers: bool
    """Some of these are answers."""


def shared_slips(rubric: Rubric, pages: Pages, slips: PageSlips, one: int, other: int) -> SharedSlips:
    """Return what two pages share.

    Args:
        rubric: The practical.
        pages: Readings and answers of the class, as whole pages; the readings first to last as in the slips.
        slips: Those of the same groups.
        one: A page.
        other: Another page.
    """
    is_reading = [rubric.items[item].role is Role.READING for item, _ in pages.cells]
    unit = 10.0 ** np.maximum(pages.places[one], pages.places[other]).astype(np.float64)
    first, second = np.round(pages.values[one] / unit), np.round(pages.values[other] / unit)
    both = np.isfinite(first) & np.isfinite(second)
    like = np.array([_like(a, b) if known else 0.0 for a, b, known in zip(first, second, both, strict=True)])
    readings = np.flatnonzero(is_reading)
    changed = both[readings] & (first[readings] != second[readings]) & (like[readings] >= LIKE_READING)
    told = np.array(is_reading)
    of_answers: list[set[str]] = [set(), set()]
    for cell, (item, row) in enumerate(pages.cells):
        if is_reading[cell] or not both[cell] or item not in slips.wrong or row > slips.wrong[item].shape[1]:
            continue
        wrong = slips.wrong[item][[one, other], row - 1]
        own = slips.own[item][[one, other], row - 1]
        if wrong.sum() != 1:
            continue  # the same slip on both pages makes the same of other readings too
        told[cell] = abs(own[0] - own[1]) > APART * unit[cell]
        if like[cell] >= LIKE_ANSWER:
            of_answers[int(wrong[1])].add(item)
    return SharedSlips(
        of_one=_readings_changed(slips, changed, one) + len(of_answers[0]),
        of_other=_readings_changed(slips, changed, other) + len(of_answers[1]),
        told=told,
        has_answers=bool(told.sum() > len(readings)),
    )


def without_answers(slips: PageSlips) -> PageSlips:
    """Return the slips of the readings alone."""
    return PageSlips(odd=slips.odd, strays=slips.strays, wrong={}, own={})


def as_judged(rubric: Rubric, pages: Pages, slips: PageSlips, one: int, other: int) -> PageSlips:
    """Return the slips with only those answers of two pages wrong that are so to whoever marks them."""
    board = lay_out(rubric, [pages.partners[page].write_up for page in (one, other)])
    judged = judge(board)
    wrong = {}
    for item, rows in slips.wrong.items():
        kept = rows.copy()
        if item in judged:
            sure = judged[item].judgement == int(Judgement.WRONG)
            width = min(sure.shape[1], kept.shape[1])
            kept[[one, other], :width] &= sure[:, :width]
        wrong[item] = kept
    return PageSlips(odd=slips.odd, strays=slips.strays, wrong=wrong, own=slips.own)


def _readings_changed(slips: PageSlips, changed: Flags, page: int) -> int:
    """Return the odd readings of *page* that the other page explains, or 1 where they stray only together."""
    return max(int((slips.odd[page] & changed).sum()), int(slips.strays[page] and changed.any()))


def _like(one: float, other: float) -> float:
    """Return the share of digits in which two whole numbers agree, place by place."""
    first, second = str(int(abs(one))), str(int(abs(other)))
    length = max(len(first), len(second))
    pairs = zip(first.rjust(length, "0"), second.rjust(length, "0"), strict=True)
    return sum(a == b for a, b in pairs) / length
