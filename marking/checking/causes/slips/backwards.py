"""Slips that are looked for backwards: from the printed answer to what was meant."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from msgspec import Struct

from marking.checking.answers import Places, is_drawn, magnitude, overlaps, rounded_interval, ten_to
from marking.checking.causes.slips.digit_answers import meant_answers
from marking.checking.causes.slips.formula_inputs import formula_inputs
from marking.checking.causes.wrong import (
    MISREAD,
    MOST_DIGITS,
    Description,
    Values,
    WrongAnswers,
    as_digits,
    as_text,
    drawn_chance,
    meant_text,
)
from marking.findings import Cause
from rubrics.formulas import Node

CHANGED_READING_SHARE = 0.50
"""Of slips in copying: one digit of a reading read as another."""
ROUNDED_SHARE = 0.25
"""Of answers copied wrongly, those that were worked with rounded steps."""
_STRAIGHT = 1e-6
STEP_ROOM = 0.005
"""How far a step kept to three figures may shift an answer, relative."""
_UP_TO = np.concatenate([np.zeros((10, 1)), np.cumsum(MISREAD, axis=1)], axis=1)
"""The chance that a digit (row) is taken for one below another (column), shape (10, 11)."""
SCALES = (1.0, 1.5, 1.5**2, 1.5**3)
"""By how much a reading is changed to see how the answer goes with it; any ratio will do."""


class Match(Struct, frozen=True, kw_only=True):
    """One slip found backwards, for every answer of a batch."""

    cause: Cause
    mass: Values
    """Share of the cause's prior times the chance of this very answer, shape (answers,)."""
    describe: Callable[[int], Description]


def matches(wrong: WrongAnswers) -> Iterator[Match]:
    """Yield the slips that turn a right answer, or a reading, into what was printed."""
    meant = list(meant_answers(wrong))
    if meant:
        number, last = np.array([one.number for one in meant]), np.array([one.last for one in meant])
        mass = np.array([one.chance for one in meant]) * _likely(wrong, number, last)
        for at in np.flatnonzero(mass.any(axis=1)).tolist():
            yield Match(cause=meant[at].cause, mass=mass[at], describe=_meant_words(wrong, meant[at].number))
    yield from _changed_readings(wrong)


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
    return np.where(exact, 1.0 - ROUNDED_SHARE, 0.0) + np.where(near, rare, 0.0)


def _meant_words(wrong: WrongAnswers, meant: Values) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        text = meant_text(float(meant[position]))
        return f"{wrong.item.name}: {text}", {"meant": text, "input": wrong.item.quantity}

    return describe


def _changed_readings(wrong: WrongAnswers) -> Iterator[Match]:
    """Yield readings of which one digit was misread or miscopied, found by solving for the reading that was used."""
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
        for position in range(int(length.max())):
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
                likely = likely + np.where(near, ROUNDED_SHARE * taken[0] * np.minimum(1.0, width / STEP_ROOM), 0.0)
            if likely.any():
                yield Match(
                    cause=Cause.COPYING,
                    mass=CHANGED_READING_SHARE * likely * one.chance / length,
                    describe=_reading_words(wrong, name, meant, last),
                )


def _misread_between(own: Places, low: Values, high: Values) -> Values:
    """Return the chance that the digit *own* is taken for one from *low* to *high*, shape (answers,)."""
    first = np.clip(np.nan_to_num(np.ceil(low - _STRAIGHT), nan=10.0), 0, 10).astype(np.int64)
    after = np.clip(np.nan_to_num(np.floor(high + _STRAIGHT) + 1, nan=0.0), 0, 10).astype(np.int64)
    return np.asarray(np.where(after > first, _UP_TO[own, after] - _UP_TO[own, first], 0.0))


def _reading_words(
    wrong: WrongAnswers, name: str, meant: Values, last: np.ndarray[tuple[int], np.dtype[np.int64]]
) -> Callable[[int], Description]:
    item = wrong.board.rubric.items[name]

    def describe(position: int) -> Description:
        entry = wrong.entry(position, name)
        place = int(last[position])
        used = as_text(round(abs(float(meant[position])) / 10.0**place), place)
        right = entry.raw.strip() if entry is not None else ""
        return f"{name}: {used} for {right}", {"input": item.quantity, "meant": right, "used": used}

    return describe


def used_instead(wrong: WrongAnswers, tree: Node, name: str) -> tuple[Values, Values] | None:
    """Return by which factor an input must have differed for each end of the printed answer, (low, high).

    Works where the answer goes as a power of the input, or as (a x + b) / (c x + d), which straight lines,
    reciprocals and their sums all are; None elsewhere.
    """
    items = wrong.needed(name)
    values = [wrong.value(tree, {name: items * by}) * wrong.last_step() for by in SCALES]
    low, high = (end * wrong.scale for end in wrong.rounded())
    with np.errstate(all="ignore"):
        ratios = [np.log(values[i + 1] / values[i]) for i in range(len(values) - 1)]
        if all(_agree(ratio, ratios[0]) for ratio in ratios[1:]):
            power = ratios[0] / np.log(SCALES[1])
            return (low / values[0]) ** (1.0 / power), (high / values[0]) ** (1.0 / power)
        # Four points of such a curve have the cross ratio of their inputs.
        last = _solved(values, SCALES[:3], values[3])
        if _agree(last, np.full(len(wrong), SCALES[3])):
            return _solved(values, SCALES[:3], low), _solved(values, SCALES[:3], high)
    return None


def _solved(values: list[Values], at: tuple[float, ...], wanted: Values) -> Values:
    """Return where (a x + b) / (c x + d) is *wanted*, given its *values* at three places."""
    cross = (wanted - values[0]) * (values[1] - values[2]) / ((wanted - values[2]) * (values[1] - values[0]))
    own = (at[1] - at[2]) / (at[1] - at[0])
    # (x - x0)(x1 - x2) = cross (x - x2)(x1 - x0)
    return np.asarray((own * at[0] - cross * at[2]) / (own - cross))


def _agree(one: Values, other: Values) -> bool:
    known = np.isfinite(one) & np.isfinite(other)
    return bool(known.any() and np.max(np.abs(one[known] / other[known] - 1.0)) < _STRAIGHT)
