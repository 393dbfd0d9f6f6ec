"""Digit slips in writing an answer down, looked for backwards: what may have been meant by what stands there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import Places, magnitude, ten_to
from marking.checking.causes.wrong import (
    ANSWER_SHARE,
    MISREAD,
    MOST_DIGITS,
    Values,
    WrongAnswers,
    as_digits,
    leaves_idle_zero,
    swap,
)
from marking.findings import Cause

CHANGED_SHARE = 0.40
"""Of slips in copying: one digit of the answer read as another."""
LOST_SHARE = 0.05
DOUBLED_SHARE = 0.05
FEWEST_MEANT = 2
"""Figures that a number has at the least, whose zeros at the end only hold places."""


class Meant(Struct, frozen=True, kw_only=True):
    """What each answer would have been without one slip of the pen."""

    cause: Cause
    number: Values
    """In the unit that the student wrote, shape (answers,); NaN where there is no such slip."""
    last: Places
    """Position of its last digit, shape (answers,)."""
    chance: Values
    """Of this slip, once the cause is given, shape (answers,)."""


def meant_answers(wrong: WrongAnswers) -> Iterator[Meant]:
    """Yield what may have been meant, for every slip of the pen, and for each way of counting trailing zeros."""
    return _each_way(wrong, (_swapped, _changed, _zero_changed, _lost, _doubled))


def swapped_answers(wrong: WrongAnswers) -> Iterator[Meant]:
    """Yield what may have been meant by an answer with two neighbouring digits swapped, whatever it should be."""
    return _each_way(wrong, (_swapped,))


_Kind = Callable[[WrongAnswers, Places], Iterator[Meant]]


def _each_way(wrong: WrongAnswers, kinds: Sequence[_Kind]) -> Iterator[Meant]:
    for share, last in wrong.readings():
        if share.any() and (slips := [slip for kind in kinds for slip in kind(wrong, last)]):
            yield from _both_ways(slips, share)


def _both_ways(slips: Sequence[Meant], share: Values) -> Iterator[Meant]:
    """Yield what was meant, with the zeros at the end of a whole number counted, and with them only holding a place.

    All slips are looked at together: arrays of shape (slips, answers).
    """
    number, last = np.array([slip.number for slip in slips]), np.array([slip.last for slip in slips])
    chance = np.array([slip.chance for slip in slips]) * share
    zeros = _zeros_at_the_end(as_digits(number, last)) * (last >= 0)
    # Nobody means one figure who writes several: 10 000 is not 8100.
    zeros = np.clip(zeros, 0, np.maximum(magnitude(number) - last + 1 - FEWEST_MEANT, 0))
    counted, holding = np.where(zeros > 0, 0.5, 1.0) * chance, np.where(zeros > 0, 0.5, 0.0) * chance
    finer, ending = last + zeros, set(np.flatnonzero(zeros.any(axis=1)).tolist())
    for at, slip in enumerate(slips):
        yield replace(slip, chance=counted[at])
        if at in ending:
            yield replace(slip, last=finer[at], chance=holding[at])


def _zeros_at_the_end(digits: Places) -> Places:
    """Return how many zeros a whole number ends in, 0 for 0; any shape."""
    zeros, there = np.zeros(digits.shape, np.int64), digits > 0
    for place in range(1, MOST_DIGITS):
        there = there & (digits % 10**place == 0)
        if not there.any():
            break
        zeros += there
    return zeros


def _length(wrong: WrongAnswers, last: Places) -> Places:
    """Return how many digits stand from the first that is not zero to position *last*."""
    return np.asarray(np.clip(magnitude(wrong.number) - last + 1, 1, MOST_DIGITS))


def _signed(wrong: WrongAnswers, digits: Values, last: Places) -> Values:
    return np.asarray(np.sign(wrong.number) * digits * ten_to(last))


def _swapped(wrong: WrongAnswers, last: Places) -> Iterator[Meant]:
    digits = as_digits(wrong.number, last)
    dropped = last - wrong.finest_place
    length = np.clip(wrong.digits_written(wrong.item.name) - dropped, 1, MOST_DIGITS)
    for low in range(int(length.max()) - 1):
        swapped, possible = swap(digits, low)
        possible &= (low + 1 < length) & ~leaves_idle_zero(swapped, low, length, last)
        number = np.where(possible, _signed(wrong, swapped.astype(np.float64), last), np.nan)
        chance = ANSWER_SHARE / np.maximum(length - 1, 1)
        yield Meant(cause=Cause.DIGITS_SWAPPED, number=number, last=last, chance=chance)


def _changed(wrong: WrongAnswers, last: Places) -> Iterator[Meant]:
    # Of the nine digits that may have been meant, the one that comes nearest to what is right.
    right = np.abs(wrong.right() / wrong.scale)
    digits, length = as_digits(wrong.number, last), _length(wrong, last)
    for low in range(int(length.max())):
        unit = 10**low
        own = digits // unit % 10
        rest = digits - own * unit
        wanted, possible = _digit(right, rest, unit, last)
        # No hand writes a zero in front of a whole number.
        possible &= (wanted != own) & (low < length) & ~((low + 1 == length) & (wanted == 0) & (low + last > 0))
        meant = (rest + wanted * unit).astype(np.float64)
        number = np.where(possible & (meant > 0), _signed(wrong, meant, last), np.nan)
        chance = CHANGED_SHARE * MISREAD[wanted, own] / length
        yield Meant(cause=Cause.COPYING, number=number, last=last, chance=chance)


def _zero_changed(wrong: WrongAnswers, last: Places) -> Iterator[Meant]:
    """Yield whole numbers in which a zero that only held a place was written as another digit: 2730 for 2700."""
    digits, length = as_digits(wrong.number, last), _length(wrong, last)
    for low in range(int(length.max()) - 1):
        unit = 10**low
        own = digits // unit % 10
        possible = (own != 0) & (digits % unit == 0) & (low + FEWEST_MEANT < length) & (last >= 0)
        meant = (digits - own * unit).astype(np.float64)
        number = np.where(possible, _signed(wrong, meant, last), np.nan)
        # One that counts is among the digits that were changed.
        chance = CHANGED_SHARE * MISREAD[0, own] / length
        yield Meant(cause=Cause.COPYING, number=number, last=last + low + 1, chance=chance)


def _lost(wrong: WrongAnswers, last: Places) -> Iterator[Meant]:
    """Yield answers with a digit put back: before the point the others keep their places, behind it they move on."""
    right = np.abs(wrong.right() / wrong.scale)
    digits, length = as_digits(wrong.number, last), _length(wrong, last)
    for low in range(int(length.max()) + 1):
        unit = 10**low
        rest = digits // unit * unit * 10 + digits % unit
        for places in (last, last - 1):
            wanted, possible = _digit(right, rest, unit, places)
            first = low == length
            possible &= (low <= length) & ~(first & (wanted == 0))
            # The place that was lost is before the point if the others kept theirs.
            possible &= (low + places >= 0) == (places is last)
            number = np.where(possible, _signed(wrong, (rest + wanted * unit).astype(np.float64), places), np.nan)
            chance = LOST_SHARE / (length + 1)
            yield Meant(cause=Cause.COPYING, number=number, last=np.asarray(places), chance=chance)


def _digit(right: Values, rest: Places, unit: int, last: Places) -> tuple[Places, NDArray[np.bool_]]:
    """Return which digit at *unit* brings *rest* nearest to *right*, and where there is one."""
    with np.errstate(all="ignore"):
        wanted = np.rint((right / ten_to(last) - rest) / unit)
    possible = np.isfinite(wanted) & (wanted >= 0) & (wanted <= 9)
    return np.where(possible, wanted, 0).astype(np.int64), possible


def _doubled(wrong: WrongAnswers, last: Places) -> Iterator[Meant]:
    """Yield answers without a digit that stands twice."""
    digits, length = as_digits(wrong.number, last), _length(wrong, last)
    for low in range(int(length.max()) - 1):
        unit = 10**low
        same = (digits // unit % 10 == digits // (10 * unit) % 10) & (low + 1 < length)
        without = (digits // (10 * unit) * unit + digits % unit).astype(np.float64)
        # A digit before the point shifts the number; one behind it only lengthens it.
        places = np.where(low + last >= 0, last, last + 1)
        number = np.where(same, _signed(wrong, without, places), np.nan)
        chance = DOUBLED_SHARE / np.maximum(length - 1, 1)
        yield Meant(cause=Cause.COPYING, number=number, last=places, chance=chance)
