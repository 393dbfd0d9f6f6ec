"""Slips that are looked for backwards: from the printed answer to what was meant."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from marking.checking.careful import is_drawn
from marking.checking.causes.digit_slips import (
    MOST_DIGITS,
    OTHER_DIGITS,
    answer_changes,
    answer_swaps,
    as_digits,
    as_text,
    lost_or_doubled,
    meant_text,
)
from marking.checking.causes.drawing import drawn_chance
from marking.checking.causes.hypothesis import Description, Values
from marking.checking.causes.wrong_answers import WrongAnswers
from marking.checking.evaluation import evaluate
from marking.checking.rounding import overlaps, rounded_interval, ten_to
from marking.findings import Cause

CHANGED_ANSWER_SHARE = 0.40
CHANGED_READING_SHARE = 0.50
DOUBLED_SHARE = 0.10
ROUNDED_SHARE = 0.25
"""Of answers copied wrongly, those that were worked with rounded steps."""
_STRAIGHT = 1e-6
STEP_ROOM = 0.005
"""How far a step kept to three figures may shift an answer, relative."""
FIRST_SCALE = 1.5
"""By how much a reading is changed to see how the answer goes with it; any number will do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """One slip found backwards, for every answer of a batch."""

    cause: Cause
    mass: Values
    """Share of the cause's prior times the chance of this very answer, shape (answers,)."""
    describe: Callable[[int], Description]


def matches(wrong: WrongAnswers) -> Iterator[Match]:
    """Yield the slips that turn a right answer, or a reading, into what was printed."""
    meant, chance = answer_swaps(wrong)
    yield from _answers(wrong, Cause.DIGITS_SWAPPED, meant, chance)
    meant, chance = answer_changes(wrong)
    yield from _answers(wrong, Cause.COPYING, meant, CHANGED_ANSWER_SHARE * chance)
    meant, chance = lost_or_doubled(wrong)
    yield from _answers(wrong, Cause.COPYING, meant, DOUBLED_SHARE * chance)
    yield from _changed_readings(wrong)


def _answers(wrong: WrongAnswers, cause: Cause, meant: Values, chance: Values) -> Iterator[Match]:
    careful, right = wrong.careful(), wrong.right() / wrong.scale
    # Most who copy wrongly had worked exactly; of the many values that careful rounding allows, each is rare.
    room = np.abs(careful[1] - careful[0])
    with np.errstate(all="ignore"):
        rare = ROUNDED_SHARE * np.minimum(1.0, np.where(room > 0, ten_to(wrong.finest_place) / room, 1.0))
    drawn = wrong.item.formula is not None and is_drawn(wrong.item.formula)
    for row in meant:
        interval = rounded_interval(row, wrong.finest_place)
        if drawn:
            with np.errstate(all="ignore"):
                width = np.abs(ten_to(wrong.finest_place) / row)
            likely = drawn_chance(row, right, width)
        else:
            exact, near = overlaps(*interval, right, right), overlaps(*interval, *careful)
            likely = np.where(exact, 1.0 - ROUNDED_SHARE, 0.0) + np.where(near, rare, 0.0)
        if likely.any():
            yield Match(cause=cause, mass=chance * likely, describe=_meant_words(wrong, row))


def _meant_words(wrong: WrongAnswers, meant: Values) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        text = meant_text(float(meant[position]))
        return f"{wrong.item.name}: {text}", {"meant": text, "input": wrong.item.quantity}

    return describe


def _changed_readings(wrong: WrongAnswers) -> Iterator[Match]:
    """Yield readings of which one digit was misread or miscopied, found by solving for the reading that was used."""
    formula = wrong.item.formula
    items = wrong.board.rubric.items
    names = [n for n in formula.names if n in items] if formula else []
    if formula is None or not names or (wrong.item.table is None and any(items[n].table for n in names)):
        return
    env = {name: wrong.needed(name) for name in names} | wrong.constants()
    base = evaluate(formula.tree, env)
    for name in names:
        number, last = wrong.recorded(name)[:, 0], wrong.places(name)[:, 0]
        scaled = [evaluate(formula.tree, env | {name: env[name] * by}) for by in (FIRST_SCALE, FIRST_SCALE**2)]
        used = _used(wrong, base, scaled[0], scaled[1])
        if used is None:
            continue
        with np.errstate(all="ignore"):  # a reading of zero that would have to be infinite
            low, high = number * used[0], number * used[1]
        low, high = np.fmin(low, high), np.fmax(low, high)
        digits = as_digits(number, last)
        length = np.clip(wrong.digits_written(name), 1, MOST_DIGITS)
        chance = CHANGED_READING_SHARE / (len(names) * OTHER_DIGITS * length)
        for position in range(MOST_DIGITS):
            unit = 10**position
            own = digits // unit % 10
            rest = digits - own * unit
            with np.errstate(all="ignore"):
                middle = np.rint((0.5 * (np.abs(low) + np.abs(high)) / ten_to(last) - rest) / unit)
            possible = np.isfinite(middle) & (middle >= 0) & (middle <= 9) & (middle != own) & (position < length)
            meant = (rest + np.where(possible, middle, 0).astype(np.int64) * unit) * ten_to(last) * np.sign(number)
            with np.errstate(all="ignore"):
                size = np.abs(meant)
                near = possible & (size >= np.abs(low) * (1 - STEP_ROOM)) & (size <= np.abs(high) * (1 + STEP_ROOM))
                hit = possible & (meant >= low) & (meant <= high)
                width = np.abs(high - low) / np.maximum(size, 1e-300)
                likely = np.where(hit, 1.0 - ROUNDED_SHARE, 0.0)
                likely = likely + np.where(near, ROUNDED_SHARE * np.minimum(1.0, width / STEP_ROOM), 0.0)
            if near.any():
                yield Match(
                    cause=Cause.COPYING,
                    mass=np.where(near, chance * likely, 0.0),
                    describe=_reading_words(wrong, name, meant, last),
                )


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


def _used(wrong: WrongAnswers, base: Values, once: Values, twice: Values) -> tuple[Values, Values] | None:
    """Return by which factor a reading must have differed for each end of the printed answer, (low, high).

    Works where the answer goes as a power of the reading or as a straight line of it; None elsewhere.

    Args:
        wrong: The answers.
        base: The formula with the reading as it is, shape (answers, 1).
        once: The same with the reading times FIRST_SCALE.
        twice: The same with the reading times FIRST_SCALE squared.
    """
    with np.errstate(all="ignore"):
        start = base[:, 0]
        first, second = (np.broadcast_to(values, base.shape)[:, 0] for values in (once, twice))
        low, high = (end * wrong.scale for end in wrong.rounded())
        one, two = np.log(first / start), np.log(second / first)
        if np.nanmax(np.abs(one - two), initial=0.0) < _STRAIGHT:
            power = one / np.log(FIRST_SCALE)
            return (low / start) ** (1.0 / power), (high / start) ** (1.0 / power)
        slope_one = (first - start) / (FIRST_SCALE - 1.0)
        slope_two = (second - first) / (FIRST_SCALE**2 - FIRST_SCALE)
        if np.nanmax(np.abs(slope_one / slope_two - 1.0), initial=0.0) < _STRAIGHT:
            return 1.0 + (low - start) / slope_one, 1.0 + (high - start) / slope_one
    return None
