"""Slips of digits: two swapped, one changed, one lost, the point moved; in the answer or in a reading.

A printed number is kept as its digits (a whole number) and the position of the last one, so that all
answers are looked at together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from marking.checking.causes.hypothesis import Description, Hypothesis, Values, count_steps
from marking.checking.causes.unit_slips import size_text
from marking.checking.causes.wrong_answers import WrongAnswers
from marking.checking.evaluation import evaluate
from marking.checking.rounding import Places, ten_to
from marking.checking.wording_facts import number_text
from marking.findings import Cause

Digits = NDArray[np.int64]

MOST_DIGITS = 7
"""Swaps are looked for in numbers of up to this many digits; no school reading has more."""
ANSWER_SHARE = 0.45
"""Of digit slips: in writing down the answer; the rest in using a reading."""
POINT_SHARES = {-1: 0.28, 1: 0.28, -2: 0.10, 2: 0.10, -3: 0.07, 3: 0.07, -4: 0.02, 4: 0.02, -6: 0.02, 6: 0.02}
"""How far a decimal point slips, judged."""
OTHER_DIGITS = 9
LOST_SIGN_SHARE = 0.5
"""Of slips of sign: in the answer itself; the rest on the way."""


def digit_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield the digit slips that can be worked out forwards: swaps in readings and points moved."""
    right = wrong.right() / wrong.scale
    for power, share in POINT_SHARES.items():
        predicted = right * 10.0**power
        yield Hypothesis(
            cause=Cause.POWER_OF_TEN,
            share=np.full(len(wrong), share),
            predicted=predicted,
            describe=_point_words(wrong, power),
            steps=count_steps(wrong.item.formula.tree) if wrong.item.formula else 1,
        )
    yield Hypothesis(
        cause=Cause.SIGN,
        share=np.full(len(wrong), LOST_SIGN_SHARE),
        predicted=-right,
        describe=_sign_words(wrong),
    )
    yield from _swapped_readings(wrong)


def _sign_words(wrong: WrongAnswers) -> Callable[[int], Description]:
    item = wrong.item

    def describe(position: int) -> Description:
        right = float(wrong.right()[position] / wrong.scale[position])
        return f"{item.name}: sign", {"right": number_text(right), "used": number_text(-right)}

    return describe


def _point_words(wrong: WrongAnswers, power: int) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        right = float(wrong.right()[position] / wrong.scale[position])
        facts = {"size": size_text(float(wrong.number[position]), right)}
        return f"{wrong.item.name}: 10^{power}", facts

    return describe


def _inputs(wrong: WrongAnswers) -> list[str]:
    formula = wrong.item.formula
    if formula is None or (wrong.item.table is None and any(_is_column(wrong, n) for n in formula.names)):
        return []
    return [n for n in formula.names if n in wrong.board.rubric.items]


def _is_column(wrong: WrongAnswers, name: str) -> bool:
    item = wrong.board.rubric.items.get(name)
    return item is not None and item.table is not None


def _swapped_readings(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    formula = wrong.item.formula
    names = _inputs(wrong)
    if formula is None or not names:
        return
    env = {name: wrong.needed(name) for name in names} | wrong.constants()
    for name in names:
        number = wrong.recorded(name)[:, 0]
        last = wrong.places(name)[:, 0]
        digits = as_digits(number, last)
        length = np.clip(wrong.digits_written(name), 1, MOST_DIGITS)
        for low in range(MOST_DIGITS - 1):
            swapped, possible = swap(digits, low)
            possible &= (low + 1 < length) & np.isfinite(number)
            if not possible.any():
                continue
            with np.errstate(all="ignore"):
                ratio = np.where(possible, swapped / np.where(digits == 0, 1, digits), np.nan)
            values = evaluate(formula.tree, env | {name: env[name] * ratio[:, None]})
            predicted = np.broadcast_to(values, (len(wrong), values.shape[1]))[:, 0] / wrong.scale
            share = (1.0 - ANSWER_SHARE) / len(names) / np.maximum(length - 1, 1)
            yield Hypothesis(
                cause=Cause.DIGITS_SWAPPED,
                share=np.where(possible, share, 0.0),
                predicted=predicted,
                describe=_swap_words(wrong, name, swapped, last),
                steps=2,
            )


def _swap_words(wrong: WrongAnswers, name: str, swapped: Digits, last: Places) -> Callable[[int], Description]:
    item = wrong.board.rubric.items[name]

    def describe(position: int) -> Description:
        entry = wrong.entry(position, name)
        used = as_text(int(swapped[position]), int(last[position]))
        facts = {"input": item.quantity, "meant": entry.raw.strip() if entry is not None else "", "used": used}
        return f"{name}: {used} for {facts['meant']}", facts

    return describe


def as_digits(number: Values, last: Places) -> Digits:
    """Return the digits of *number* down to position *last* as a whole number; 0 where there is no number."""
    with np.errstate(all="ignore"):
        scaled = np.abs(number) / ten_to(last)
        usable = np.isfinite(scaled) & (scaled < 10.0**15)
        return np.rint(np.where(usable, scaled, 0.0)).astype(np.int64)


def as_text(digits: int, last: int) -> str:
    """Return digits and the position of the last one as printed text."""
    return f"{digits * 10.0**last:.{max(0, -last)}f}"


def swap(digits: Digits, low: int) -> tuple[Digits, NDArray[np.bool_]]:
    """Return *digits* with the two from position *low* up (from the end) swapped, and where that changes them."""
    unit = 10**low
    right, left = digits // unit % 10, digits // (10 * unit) % 10
    return digits + (right - left) * 9 * unit, right != left


def answer_swaps(wrong: WrongAnswers) -> tuple[Values, Values]:
    """Return, for each swap of neighbouring digits of the answer, what was meant, and the chance of that swap.

    Returns:
        The numbers meant, shape (swaps, answers), NaN where there is no such swap; and the chance of
        each answer's swap among its own, shape (answers,).
    """
    number, last = wrong.number, wrong.finest_place
    digits = as_digits(number, last)
    length = np.clip(wrong.digits_written(wrong.item.name), 1, MOST_DIGITS)
    found = []
    for low in range(MOST_DIGITS - 1):
        swapped, possible = swap(digits, low)
        possible &= low + 1 < length
        found.append(np.where(possible, np.sign(number) * swapped * ten_to(last), np.nan))
    return np.stack(found), ANSWER_SHARE / np.maximum(length - 1, 1)


def answer_changes(wrong: WrongAnswers) -> tuple[Values, Values]:
    """Return, for each digit of the answer that may have been miscopied, what was meant, and the chance of each.

    A changed digit keeps the others: the meant number lies within nine units of that digit's position.
    Returned is the one candidate a digit that comes nearest to the right value, and its chance.
    """
    number, last = wrong.number, wrong.finest_place
    right = np.abs(wrong.right() / wrong.scale)
    digits = as_digits(number, last)
    length = np.clip(wrong.digits_written(wrong.item.name), 1, MOST_DIGITS)
    found = []
    for low in range(MOST_DIGITS):
        unit = 10**low
        own = digits // unit % 10
        rest = digits - own * unit
        with np.errstate(all="ignore"):
            wanted = np.rint((right / ten_to(last) - rest) / unit)
        possible = np.isfinite(wanted) & (wanted >= 0) & (wanted <= OTHER_DIGITS) & (wanted != own) & (low < length)
        meant = rest + np.where(possible, wanted, 0).astype(np.int64) * unit
        found.append(np.where(possible, np.sign(number) * meant * ten_to(last), np.nan))
    return np.stack(found), 1.0 / (OTHER_DIGITS * length)


def lost_or_doubled(wrong: WrongAnswers) -> tuple[Values, Values]:
    """Return what was meant where a digit of the answer was written twice, and the chance of each.

    A digit that was lost cannot be told from the answer alone; one that was doubled can.
    """
    number, last = wrong.number, wrong.finest_place
    digits = as_digits(number, last)
    length = np.clip(wrong.digits_written(wrong.item.name), 1, MOST_DIGITS)
    found = []
    for low in range(MOST_DIGITS - 1):
        unit = 10**low
        same = (digits // unit % 10 == digits // (10 * unit) % 10) & (low + 1 < length)
        without = digits // (10 * unit) * unit + digits % unit
        meant = np.sign(number) * without * ten_to(last)
        # Digits before the point shift the number; those behind it only lengthen it.
        found.append(np.where(same, meant, np.nan))
        found.append(np.where(same, meant * 10.0, np.nan))
    return np.stack(found), np.full(len(wrong), 0.1)


def meant_text(value: float) -> str:
    """Return a number that was meant, as a person would write it."""
    return number_text(value, 4).rstrip("0").rstrip(".") if "." in number_text(value, 4) else number_text(value, 4)
