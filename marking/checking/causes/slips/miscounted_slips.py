"""A reading, or an earlier answer, copied with a digit too few or too many: 7.3 for 7.73, 449.7 for 49.7.

Those of the finished answer are looked for backwards, in ``digit_answers``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Places, ten_to
from marking.checking.causes.slips.digit_slips import miscopied_words
from marking.checking.causes.wrong import (
    MOST_DIGITS,
    Carried,
    Description,
    Digits,
    Hypothesis,
    WrongAnswers,
    as_digits,
    as_text,
    count_steps,
    formula_inputs,
    gradient_of_points,
)
from marking.findings import Cause

LEFT_OUT_SHARE = 0.04
"""Of slips in copying: a digit of a reading left out; judged."""
TWICE_SHARE = 0.05
"""The same of a digit written twice."""
_SAME = 1e-9


class _Miscounted(Struct, frozen=True, kw_only=True):
    """Numbers with a digit left out, or written twice; arrays of shape (places, answers)."""

    digits: Digits
    last: Places
    """Position of the last digit."""
    is_one: NDArray[np.bool_]
    """Where that is another number than the one that was copied."""


def miscounted_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield every input with each of its digits left out, and with each written twice."""
    # Behind earlier answers that are carried on unrounded no figures stand on the page that could be miscounted.
    if wrong.keeping is not None or wrong.carried is not Carried.WRITTEN:
        return
    from_points = gradient_of_points(wrong) is not None
    for one in formula_inputs(wrong):
        number, last = wrong.recorded(one.name)[:, 0], wrong.places(one.name)[:, 0]
        there = one.there & wrong.is_as_written(one.name) & np.isfinite(number)
        digits = as_digits(np.where(there, number, np.nan), last)
        for share, made in ((LEFT_OUT_SHARE, _left_out(digits, last)), (TWICE_SHARE, _twice(digits, last))):
            rows = np.flatnonzero(made.is_one.any(axis=1))
            if not rows.size:
                continue
            with np.errstate(all="ignore"):
                ratio = np.where(made.is_one, np.abs(made.digits * ten_to(made.last) / number), np.nan)[rows]
            worked = wrong.worked_each(one.tree, {one.name: wrong.needed(one.name) * ratio.T})
            ways = np.maximum(made.is_one.sum(axis=0), 1)
            for column, row in enumerate(rows.tolist()):
                yield Hypothesis(
                    cause=Cause.COPYING,
                    share=np.where(made.is_one[row], share * one.chance / ways, 0.0),
                    predicted=worked[:, column],
                    describe=_words(wrong, one.name, made.digits[row], made.last[row]),
                    steps=count_steps(one.tree),
                    is_worked_out=from_points,
                )


def _left_out(digits: Digits, last: Places) -> _Miscounted:
    """Return *digits* down to position *last* without one of them; what stood before the point moves up to it."""
    unit, own, above, below = _parts(digits)
    made, place = above * unit + below, np.where(_is_before(unit, last), last, last + 1)
    # Without its last decimal a number is cut off, which is told as such.
    is_cut = (unit == 1) & (last < 0)
    return _other_numbers(digits, last, made, place, ~_is_again(unit, own, below, last) & ~is_cut)


def _twice(digits: Digits, last: Places) -> _Miscounted:
    """Return *digits* down to position *last* with one of them written twice."""
    unit, own, above, below = _parts(digits)
    made = above * 100 * unit + own * 11 * unit + below
    place = np.where(_is_before(unit, last), last, last - 1)
    return _other_numbers(digits, last, made, place, ~_is_again(unit, own, below, last))


def _parts(digits: Digits) -> tuple[Digits, Digits, Digits, Digits]:
    """Return the unit of each place from the last, its digit, and what stands above and below, (places, answers)."""
    length = min(len(str(int(digits.max(initial=0)))), MOST_DIGITS)
    unit = np.broadcast_to(10 ** np.arange(length)[:, None], (length, digits.size))
    return unit, digits // unit % 10, digits // (10 * unit), digits % unit


def _is_before(unit: Digits, last: Places) -> NDArray[np.bool_]:
    """Tell which places stand before the point, (places, answers)."""
    return np.asarray(np.arange(unit.shape[0])[:, None] + last >= 0)


def _is_again(unit: Digits, own: Digits, below: Digits, last: Places) -> NDArray[np.bool_]:
    """Tell which digits stand once more behind them on the same side of the point: either comes to the same."""
    same = (unit > 1) & (below // np.maximum(unit // 10, 1) == own)
    return np.asarray(same & (np.arange(unit.shape[0])[:, None] + last != 0))


def _other_numbers(digits: Digits, last: Places, made: Digits, place: Places, is_way: NDArray[np.bool_]) -> _Miscounted:
    """Return what was *made*, without what is the same number or only has its point elsewhere."""
    with np.errstate(all="ignore"):
        power = np.log10(made * ten_to(place) / (digits * ten_to(last)))
        is_other = np.isfinite(power) & (np.abs(power - np.rint(power)) > _SAME)
    stands = digits >= 10 ** np.arange(made.shape[0])[:, None]
    return _Miscounted(digits=made, last=place, is_one=is_way & is_other & stands)


def _words(wrong: WrongAnswers, name: str, digits: Digits, last: Places) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        return miscopied_words(wrong, name, position, as_text(int(digits[position]), int(last[position])))

    return describe
