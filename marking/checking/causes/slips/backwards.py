"""Slips that are looked for backwards: from the printed answer to what was meant."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Places, is_drawn, magnitude, overlaps, printed_interval, rounded_interval, ten_to
from marking.checking.causes.slips.digit_answers import Meant, meant_answers
from marking.checking.causes.slips.digit_slips import miscopied_words
from marking.checking.causes.wrong import (
    MISREAD,
    MOST_DIGITS,
    Description,
    Values,
    WrongAnswers,
    as_digits,
    as_text,
    drawn_chance,
    formula_inputs,
    meant_text,
    used_instead,
)
from marking.findings import Cause

CHANGED_READING_SHARE = 0.50
"""Of slips in copying: one digit of a reading read as another."""
ROUNDED_SHARE = 0.25
"""Of answers copied wrongly, those that were worked with rounded steps."""
CUT_SHARE = 0.05
"""Of answers copied wrongly, those that were cut off and not rounded; judged."""
STEPS_NOT_TRIED = 0.3
"""What is left of that where an answer has so many figures that steps kept short are tried one by one."""
_STRAIGHT = 1e-6
STEP_ROOM = 0.005
"""How far a step kept to three figures may shift an answer, relative."""
SURE_FIGURES = 3
ROUND_SWAP_SHARE = 0.25
"""What is left of two digits swapped where only fewer figures than these, of an answer that has more, fit: 14 for 14.1;
judged."""
_UP_TO = np.concatenate([np.zeros((10, 1)), np.cumsum(MISREAD, axis=1)], axis=1)
"""The chance that a digit (row) is taken for one below another (column), shape (10, 11)."""


class Match(Struct, frozen=True, kw_only=True):
    """One slip found backwards, for every answer of a batch."""

    cause: Cause
    mass: Values
    """Share of the cause's prior times the chance of this very answer, shape (answers,)."""
    describe: Callable[[int], Description]
    is_pen: bool = False
    """Whether it was made in writing the answer down, so that the calculator held the right one."""


def matches(wrong: WrongAnswers) -> Iterator[Match]:
    """Yield the slips that turn a right answer, or a reading, into what was printed."""
    meant = meant_answers(wrong)
    mass = meant.chance * _likely(wrong, meant.number, meant.last)
    is_swap = np.array([cause is Cause.DIGITS_SWAPPED for cause in meant.causes], np.bool_)[:, None]
    mass *= np.where(is_swap & _fits_only_rounded(wrong, meant.number, meant.last), ROUND_SWAP_SHARE, 1.0)
    rows = np.flatnonzero(mass.any(axis=1))
    mass, meant = mass[rows], meant.only(rows)  # few of so many that the rest is let go
    for at in range(len(meant)):
        yield Match(cause=meant.causes[at], mass=mass[at], describe=_meant_words(wrong, meant[at]), is_pen=True)
    yield from _changed_readings(wrong) if wrong.keeping is None else _changed_forwards(wrong)


def _likely(wrong: WrongAnswers, number: Values, last: Places) -> Values:
    """Return the chance that a student would have meant just this *number*, written to *last*; (slips, answers)."""
    careful, right = wrong.careful(), wrong.right() / wrong.scale
    with np.errstate(all="ignore"):
        if wrong.item.formula is not None and is_drawn(wrong.item.formula):
            return drawn_chance(number, right, np.abs(ten_to(last) / number))
        # Most who copy wrongly had worked exactly; of the many values that careful rounding allows, each is rare.
        room = np.abs(careful[1] - careful[0])
        rare = ROUNDED_SHARE * np.minimum(1.0, np.where(room > 0, ten_to(last) / room, 1.0))
    interval = rounded_interval(number, last)
    exact, near = overlaps(*interval, right, right), overlaps(*interval, *careful)
    was_cut = overlaps(*printed_interval(number, last), right, right) & ~exact
    likely = np.where(exact, 1.0 - ROUNDED_SHARE, np.where(was_cut, CUT_SHARE, 0.0))
    return likely + np.where(near, rare, 0.0)


def _fits_only_rounded(wrong: WrongAnswers, number: Values, last: Places) -> NDArray[np.bool_]:
    """Tell where a number of few figures is not what its student's figures lead to with one figure more."""
    with np.errstate(all="ignore"):
        off = np.abs(number - wrong.right() / wrong.scale)
        first = magnitude(number)
        return np.asarray((first - last + 1 < SURE_FIGURES) & (off > 0.5 * ten_to(first - SURE_FIGURES + 1)))


def _meant_words(wrong: WrongAnswers, meant: Meant) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        text = meant_text(float(meant.number[position]), int(meant.last[position]))
        return f"{wrong.item.name}: {text}", {"meant": text, "input": wrong.item.quantity}

    return describe


def _changed_readings(wrong: WrongAnswers) -> Iterator[Match]:
    """Yield readings of which one digit was misread or miscopied, found by solving for the reading that was used."""
    # Where steps that were kept show, they are tried one by one.
    rounded = ROUNDED_SHARE * np.where(wrong.shows_steps(), STEPS_NOT_TRIED, 1.0)
    for one in formula_inputs(wrong):
        name = one.name
        number, last = wrong.recorded(name)[:, 0], wrong.places(name)[:, 0]
        scales = used_instead(wrong, one.tree, name)
        if scales is None:
            continue
        with np.errstate(all="ignore"):  # a reading of zero that would have to be infinite
            low, high = number * scales[0], number * scales[1]
            same_sign = one.there & (low * number > 0) & (high * number > 0)
        # A hand copies a digit, not a sign.
        size_low, size_high = np.fmin(np.abs(low), np.abs(high)), np.fmax(np.abs(low), np.abs(high))
        digits = as_digits(number, last)
        length = np.clip(magnitude(number) - last + 1, 1, MOST_DIGITS)
        position = np.arange(int(length.max()))[:, None]
        unit = 10**position
        own = digits // unit % 10
        rest = digits - own * unit
        with np.errstate(all="ignore"):
            middle = np.rint((0.5 * (size_low + size_high) / ten_to(last) - rest) / unit)
        possible = same_sign & np.isfinite(middle) & (middle >= 0) & (middle <= 9) & (rest + middle * unit > 0)
        possible &= (middle != own) & (position < length)
        used_digit = np.where(possible, middle, 0).astype(np.int64)
        meant = (rest + used_digit * unit) * ten_to(last) * np.sign(number)
        with np.errstate(all="ignore"):
            size = np.abs(meant)
            near = possible & (size >= size_low * (1 - STEP_ROOM)) & (size <= size_high * (1 + STEP_ROOM))
            # An answer of few figures leaves room for several of the nine digits.
            ends = [(end / ten_to(last) - rest) / unit for end in (size_low, size_high)]
            taken = MISREAD[own, used_digit], _misread_between(own, *ends)
            width = (size_high - size_low) / np.maximum(size, 1e-300)
            likely = (1.0 - ROUNDED_SHARE) * np.where(possible, taken[1], 0.0)
            likely = likely + np.where(near, rounded * taken[0] * np.minimum(1.0, width / STEP_ROOM), 0.0)
        mass = CHANGED_READING_SHARE * likely * one.chance / length
        for at in np.flatnonzero(likely.any(axis=1)).tolist():
            yield Match(cause=Cause.COPYING, mass=mass[at], describe=_reading_words(wrong, name, meant[at], last))


def _changed_forwards(wrong: WrongAnswers) -> Iterator[Match]:
    """Yield the same where steps were kept: every digit tried in its place, for no formula leads back past rounding."""
    low, high = wrong.rounded()
    for one in formula_inputs(wrong):
        number, last = wrong.recorded(one.name)[:, 0], wrong.places(one.name)[:, 0]
        digits = as_digits(number, last)
        length = np.clip(magnitude(number) - last + 1, 1, MOST_DIGITS)
        for position in range(int(length.max())):
            own = digits // 10**position % 10
            meant = digits[:, None] + (np.arange(10) - own[:, None]) * 10**position
            possible = (
                (np.arange(10) != own[:, None]) & (position < length)[:, None] & (digits > 0)[:, None] & (meant > 0)
            )
            with np.errstate(all="ignore"):
                used = wrong.needed(one.name)[:, :1] * meant / np.maximum(digits, 1)[:, None]
                predicted = wrong.worked_each(one.tree, {one.name: used})
            hit = possible & (predicted >= low[:, None]) & (predicted <= high[:, None])
            if hit.any():
                likely = (hit * MISREAD[own]).sum(axis=1)
                found = meant[np.arange(len(wrong)), np.argmax(hit * MISREAD[own], axis=1)]
                yield Match(
                    cause=Cause.COPYING,
                    mass=CHANGED_READING_SHARE * likely * one.chance / length,
                    describe=_reading_words(wrong, one.name, found * ten_to(last) * np.sign(number), last),
                )


def _misread_between(own: Places, low: Values, high: Values) -> Values:
    """Return the chance that the digit *own* is taken for one from *low* to *high*, any shape."""
    first = np.clip(np.nan_to_num(np.ceil(low - _STRAIGHT), nan=10.0), 0, 10).astype(np.int64)
    after = np.clip(np.nan_to_num(np.floor(high + _STRAIGHT) + 1, nan=0.0), 0, 10).astype(np.int64)
    return np.asarray(np.where(after > first, _UP_TO[own, after] - _UP_TO[own, first], 0.0))


def _reading_words(wrong: WrongAnswers, name: str, meant: Values, last: Places) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        place = int(last[position])
        used = as_text(round(abs(float(meant[position])) / 10.0**place), place)
        return miscopied_words(wrong, name, position, used)

    return describe
