"""Digit slips in writing an answer down, looked for backwards: what may have been meant by what stands there."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from msgspec import Struct
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
FEWEST_CHANGED = 4
"""Figures of an answer of which one digit may have been changed behind another slip: of three figures, a dozen wrong
formulas lead to every fourth number so."""
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


class Meanings(Struct, frozen=True, kw_only=True):
    """The same for several slips; arrays of shape (slips, answers)."""

    causes: tuple[Cause, ...]
    number: Values
    last: Places
    chance: Values

    def __len__(self) -> int:
        """Return how many slips there are."""
        return len(self.causes)

    def only(self, rows: NDArray[np.int64]) -> Meanings:
        """Return some of them, in the order of *rows*."""
        causes = tuple(self.causes[one] for one in rows.tolist())
        return Meanings(causes=causes, number=self.number[rows], last=self.last[rows], chance=self.chance[rows])

    def of(self, answers: slice) -> Meanings:
        """Return the same slips of some of the answers."""
        some = self.number[:, answers], self.last[:, answers], self.chance[:, answers]
        return Meanings(causes=self.causes, number=some[0], last=some[1], chance=some[2])

    def spread(self, positions: NDArray[np.int64], count: int) -> Meanings:
        """Return those that there may be at all, among *count* answers of which these stand at *positions*."""
        some = self.only(np.flatnonzero(np.isfinite(self.number).any(axis=1)))
        number, chance = np.full((len(some), count), np.nan), np.zeros((len(some), count))
        last = np.zeros((len(some), count), np.int64)
        number[:, positions], last[:, positions], chance[:, positions] = some.number, some.last, some.chance
        return Meanings(causes=some.causes, number=number, last=last, chance=chance)

    def __getitem__(self, at: int) -> Meant:
        """Return one of them."""
        if not 0 <= at < len(self):
            raise IndexError(at)
        return Meant(cause=self.causes[at], number=self.number[at], last=self.last[at], chance=self.chance[at])


class _Written(Struct, frozen=True, kw_only=True):
    """Answers as they stand on paper, in one way of counting their zeros; arrays of shape (answers,)."""

    number: Values
    right: Values
    """What it should be, in the unit that was written."""
    share: Values
    """How likely the zeros are counted so."""
    last: Places
    """Position of the last digit that counts."""
    dropped: Places
    """Zeros behind that."""
    on_paper: Places
    """Digits of the number, all zeros among them."""
    digits: Places
    """The digits down to the last one, as a whole number."""
    length: Places
    """How many there are from the first that is not zero."""


def meant_answers(wrong: WrongAnswers) -> Meanings:
    """Return what may have been meant, for every slip of the pen, and for each way of counting trailing zeros."""
    return _each_way(wrong, (_swapped, _changed, _zero_changed, _lost, _doubled))


def swapped_answers(wrong: WrongAnswers) -> Meanings:
    """Return what may have been meant by an answer with two neighbouring digits swapped, whatever it should be."""
    return _each_way(wrong, (_swapped,))


def chance_of_one_digit(wrong: WrongAnswers, meant: Values) -> Values:
    """Return the chance that a number that was *meant* is written as the answer, with one digit taken for another.

    Args:
        wrong: The answers.
        meant: Numbers in the unit that each student wrote, shape (numbers, answers).

    Returns:
        Shape (numbers, answers); 0 for answers of few figures, which one digit of too many numbers leads to.
    """
    chance = np.zeros(meant.shape)
    for share, last in wrong.readings():
        length = np.asarray(np.clip(magnitude(wrong.number) - last + 1, 1, MOST_DIGITS))
        at = np.flatnonzero((length >= FEWEST_CHANGED) & (share > 0))
        if not at.size:
            continue
        number, some, length = wrong.number[at], meant[:, at], length[at]
        there = np.isfinite(some) & (np.sign(some) == np.sign(number))
        digits, wanted = as_digits(number, last[at]), as_digits(some, last[at])
        found = np.zeros(some.shape)
        for place in range(int(length.max())):
            unit = 10**place
            own, other = digits // unit % 10, wanted // unit % 10
            changed = there & (other != own) & (wanted - digits == (other - own) * unit) & (place < length)
            changed &= (other > 0) | (place + 1 < length)
            found += np.where(changed, MISREAD[other, own] / length, 0.0)
        chance[:, at] += share[at] * found
    return chance


_Kind = Callable[[_Written], Meanings]


def _each_way(wrong: WrongAnswers, kinds: Sequence[_Kind]) -> Meanings:
    """Return the slips of all *kinds* with zeros counted in one way, then in the other.

    The answers that may be read in a second way are looked at once more beside all in the first: two in one go.
    """
    (first, finest), (second, trusted) = wrong.readings()
    again = np.flatnonzero(second)
    at = np.concatenate([np.arange(len(wrong)), again])
    number, last = wrong.number[at], np.concatenate([finest, trusted[again]])
    written = _Written(
        number=number,
        right=(wrong.right() / wrong.scale)[at],
        share=np.concatenate([first, second[again]]),
        last=last,
        dropped=last - finest[at],
        on_paper=wrong.digits_written(wrong.item.name)[at],
        digits=as_digits(number, last),
        length=np.asarray(np.clip(magnitude(number) - last + 1, 1, MOST_DIGITS)),
    )
    every = _joined([kind(written) for kind in kinds])
    found = _both_ways(every.only(np.flatnonzero(np.isfinite(every.number).any(axis=1))), written.share)
    if not again.size:
        return found
    return _joined([found.of(slice(len(wrong))), found.of(slice(len(wrong), None)).spread(again, len(wrong))])


def _joined(parts: Sequence[Meanings]) -> Meanings:
    return Meanings(
        causes=tuple(cause for part in parts for cause in part.causes),
        number=np.concatenate([part.number for part in parts]),
        last=np.concatenate([part.last for part in parts]),
        chance=np.concatenate([part.chance for part in parts]),
    )


def _both_ways(slips: Meanings, share: Values) -> Meanings:
    """Return what was meant, with the zeros at the end of a whole number counted, and with them only holding a place.

    Behind each slip stands the same with its zeros holding places, where it has any.
    """
    number, last, chance = slips.number, slips.last, slips.chance * share
    zeros, whole = np.zeros(number.shape, np.int64), np.nonzero(np.isfinite(number) & (last >= 0))
    zeros[whole] = _holding_places(number[whole], last[whole])
    if not zeros.any():
        return Meanings(causes=slips.causes, number=number, last=last, chance=chance)
    counted, holding = np.where(zeros > 0, 0.5, 1.0) * chance, np.where(zeros > 0, 0.5, 0.0) * chance
    order = np.sort(np.concatenate([2 * np.arange(len(slips)), 2 * np.flatnonzero(zeros.any(axis=1)) + 1]))
    at, holds = order // 2, (order % 2 == 1)[:, None]
    return Meanings(
        causes=tuple(slips.causes[one] for one in at.tolist()),
        number=number[at],
        last=np.where(holds, (last + zeros)[at], last[at]),
        chance=np.where(holds, holding[at], counted[at]),
    )


def _holding_places(number: Values, last: Places) -> Places:
    """Return how many zeros at the end of whole numbers may only hold places; any shape."""
    zeros = _zeros_at_the_end(as_digits(number, last))
    # Nobody means one figure who writes several: 10 000 is not 8100.
    return np.asarray(np.minimum(zeros, np.maximum(magnitude(number) - last + 1 - FEWEST_MEANT, 0)))


def _zeros_at_the_end(digits: Places) -> Places:
    """Return how many zeros a whole number ends in, 0 for 0; any shape."""
    zeros, there = np.zeros(digits.shape, np.int64), digits > 0
    for place in range(1, MOST_DIGITS):
        there = there & (digits % 10**place == 0)
        if not there.any():
            break
        zeros += there
    return zeros


def _signed(written: _Written, digits: Places, last: Places) -> Values:
    return np.asarray(np.sign(written.number) * digits.astype(np.float64) * ten_to(last))


def _places(count: int) -> NDArray[np.int64]:
    """Return the places of digits counted from the end, a row each, shape (count, 1)."""
    return np.arange(max(count, 0))[:, None]


def _meanings(cause: Cause, number: Values, last: Places, chance: Values) -> Meanings:
    return Meanings(
        causes=(cause,) * number.shape[0],
        number=number,
        last=np.broadcast_to(last, number.shape),
        chance=np.broadcast_to(chance, number.shape),
    )


def _swapped(written: _Written) -> Meanings:
    digits, last = written.digits, written.last
    length = np.clip(written.on_paper - written.dropped, 1, MOST_DIGITS)
    low = _places(int(length.max()) - 1)
    swapped, possible = swap(digits, low)
    possible &= (low + 1 < length) & ~leaves_idle_zero(swapped, low, length, last)
    number = np.where(possible, _signed(written, swapped, last), np.nan)
    return _meanings(Cause.DIGITS_SWAPPED, number, last, ANSWER_SHARE / np.maximum(length - 1, 1))


def _changed(written: _Written) -> Meanings:
    # Of the nine digits that may have been meant, the one that comes nearest to what is right.
    right, last = np.abs(written.right), written.last
    digits, length = written.digits, written.length
    low = _places(int(length.max()))
    unit = 10**low
    own = digits // unit % 10
    rest = digits - own * unit
    wanted, possible = _digit(right, rest, unit, last)
    # No hand writes a zero in front of a whole number.
    possible &= (wanted != own) & (low < length) & ~((low + 1 == length) & (wanted == 0) & (low + last > 0))
    meant = rest + wanted * unit
    number = np.where(possible & (meant > 0), _signed(written, meant, last), np.nan)
    return _meanings(Cause.COPYING, number, last, CHANGED_SHARE * MISREAD[wanted, own] / length)


def _zero_changed(written: _Written) -> Meanings:
    """Return whole numbers in which a zero that only held a place was written as another digit: 2730 for 2700."""
    digits, length, last = written.digits, written.length, written.last
    low = _places(int(length.max()) - 1)
    unit = 10**low
    own = digits // unit % 10
    possible = (own != 0) & (digits % unit == 0) & (low + FEWEST_MEANT < length) & (last >= 0)
    number = np.where(possible, _signed(written, digits - own * unit, last), np.nan)
    # One that counts is among the digits that were changed.
    return _meanings(Cause.COPYING, number, last + low + 1, CHANGED_SHARE * MISREAD[0, own] / length)


def _lost(written: _Written) -> Meanings:
    """Return answers with a digit put back: before the point the others keep their places, behind it they move on."""
    right, last = np.abs(written.right), written.last
    digits, length = written.digits, written.length
    low = _places(int(length.max()) + 1)
    unit = 10**low
    rest = digits // unit * unit * 10 + digits % unit
    found = []
    for places, is_before in ((last, True), (last - 1, False)):
        wanted, possible = _digit(right, rest, unit, places)
        possible &= (low <= length) & ~((low == length) & (wanted == 0))
        # The place that was lost is before the point if the others kept theirs.
        possible &= (low + places >= 0) == is_before
        number = np.where(possible, _signed(written, rest + wanted * unit, places), np.nan)
        found.append(_meanings(Cause.COPYING, number, places, LOST_SHARE / (length + 1)))
    both = _joined(found)
    return both.only(np.arange(len(both)).reshape(2, -1).T.ravel())


def _digit(right: Values, rest: Places, unit: Places, last: Places) -> tuple[Places, NDArray[np.bool_]]:
    """Return which digit at *unit* brings *rest* nearest to *right*, and where there is one."""
    with np.errstate(all="ignore"):
        wanted = np.rint((right / ten_to(last) - rest) / unit)
    possible = np.isfinite(wanted) & (wanted >= 0) & (wanted <= 9)
    return np.where(possible, wanted, 0).astype(np.int64), possible


def _doubled(written: _Written) -> Meanings:
    """Return answers without a digit that stands twice."""
    digits, length, last = written.digits, written.length, written.last
    low = _places(int(length.max()) - 1)
    unit = 10**low
    same = (digits // unit % 10 == digits // (10 * unit) % 10) & (low + 1 < length)
    without = digits // (10 * unit) * unit + digits % unit
    # A digit before the point shifts the number; one behind it only lengthens it.
    places = np.where(low + last >= 0, last, last + 1)
    number = np.where(same, _signed(written, without, places), np.nan)
    return _meanings(Cause.COPYING, number, places, DOUBLED_SHARE / np.maximum(length - 1, 1))
