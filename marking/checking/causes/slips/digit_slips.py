"""Slips of digits: two swapped, one changed, one lost, the point moved; in the answer or in a reading.

A printed number is kept as its digits (a whole number) and the position of the last one, so that all
answers are looked at together.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from itertools import groupby

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Places, nearly
from marking.checking.case import number_text, symbols
from marking.checking.causes.slips.units import size_text
from marking.checking.causes.wrong import (
    ANSWER_SHARE,
    MOST_DIGITS,
    Description,
    Digits,
    Hypothesis,
    Values,
    WrongAnswers,
    as_digits,
    as_text,
    count_steps,
    formula_inputs,
    gradient_of_points,
    leaves_idle_zero,
    swap,
)
from marking.findings import Cause
from rubrics.formulas import Name, Node, Number, Operation, printed_text

POINT_SHARES = {-1: 0.3, 1: 0.3, -2: 0.1, 2: 0.1, -3: 0.08, 3: 0.08, -4: 0.015, 4: 0.015, -6: 0.005, 6: 0.005}
"""How far a decimal point slips, judged."""
BESIDE_FACTOR = 0.4
"""What is left of a point moved by one place where a change of unit that had to be done, by 100 for 1000, does it."""
BESIDE_LISTED = 0.4
"""What is left of a point moved by the factor between two units that are listed for the answer: the unit comes first,
and is not known for certain; judged."""
BESIDE_LEFT_OUT = 0.2
"""What is left of a point moved by a factor that stands in the formula and was left out, ÷ 10 for one swing; judged."""
LOST_SIGN_SHARE = 0.5
"""Of slips of sign: in the answer itself; the rest on the way."""


def digit_slips(wrong: WrongAnswers, units: Sequence[Hypothesis]) -> Iterator[Hypothesis]:
    """Yield the digit slips that can be worked out forwards: swaps in readings and points moved.

    A point has not moved where one of the *units* on the sheet, left or changed the wrong way, prints the same.
    """
    right = wrong.right() / wrong.scale
    steps = count_steps(wrong.item.formula.tree) if wrong.item.formula else 1
    moved = right * 10.0 ** np.array([*POINT_SHARES], np.float64)[:, None]
    same = _prints_the_same([(slip, slip.is_on_the_sheet) for slip in units], moved)
    by_factor = _prints_the_same([(slip, slip.is_by_factor) for slip in units], moved)
    of_listed = _prints_the_same([(slip, slip.is_of_listed) for slip in units], moved)
    left_out = _powers_left_out(wrong.item.formula.tree) if wrong.item.formula else frozenset()
    for at, (power, share) in enumerate(POINT_SHARES.items()):
        if power in left_out:
            share *= BESIDE_LEFT_OUT
        left = np.where(by_factor[at] & (abs(power) == 1), BESIDE_FACTOR, 1.0)
        yield Hypothesis(
            cause=Cause.POWER_OF_TEN,
            share=np.where(same[at], 0.0, share) * np.where(of_listed[at], np.minimum(left, BESIDE_LISTED), left),
            predicted=moved[at],
            describe=_point_words(wrong, power),
            steps=steps,
        )
    yield Hypothesis(
        cause=Cause.SIGN,
        share=np.full(len(wrong), LOST_SIGN_SHARE),
        predicted=-right,
        describe=_sign_words(wrong),
        steps=steps,
    )
    yield from _swapped_readings(wrong)


def _powers_left_out(tree: Node, sign: int = 1) -> frozenset[int]:
    """Return the powers of ten that an answer is off by where a factor of ten, a hundred ... is left out of it."""
    match tree:
        case Operation("*" | "/", left, right):
            of_right = _powers_left_out(right, sign if tree.sign == "*" else -sign)
            return _powers_left_out(left, sign) | of_right
        case Number(value) if value > 0 and (power := math.log10(value)).is_integer() and power:
            return frozenset({-sign * int(power)})
        case _:
            return frozenset()


def _prints_the_same(
    slips: Sequence[tuple[Hypothesis, NDArray[np.bool_] | None]], predicted: Values
) -> NDArray[np.bool_]:
    """Tell whether one of *slips*, where it may have been made so, leads to what is *predicted*, (powers, answers)."""
    some = [(slip, where) for slip, where in slips if where is not None]
    if not some:
        return np.zeros(predicted.shape, np.bool_)
    there = np.array([where for _, where in some]) & (np.array([slip.share for slip, _ in some]) > 0)
    led_to = np.array([slip.predicted for slip, _ in some])
    same = there[:, None] & nearly(led_to[:, None], predicted, 1e-6)
    return np.asarray(same.any(axis=0))


def _sign_words(wrong: WrongAnswers) -> Callable[[int], Description]:
    item = wrong.item
    taken = _taken_backwards(wrong)

    def describe(position: int) -> Description:
        right = float(wrong.right()[position] / wrong.scale[position])
        return f"{item.name}: sign", taken or {"right": number_text(right), "used": number_text(-right)}

    return describe


def _taken_backwards(wrong: WrongAnswers) -> Mapping[str, str]:
    """Return what was done and what is right where one item less another was taken the other way round; else {}."""
    tree = wrong.item.formula.tree if wrong.item.formula is not None else None
    match tree:
        case Operation("-", Name() as first, Name() as second):
            names = symbols(wrong.board.rubric)
            used, right = Operation("-", second, first), Operation("-", first, second)
            return {"used": printed_text(used, names), "right": printed_text(right, names)}
        case _:
            return {}


def _point_words(wrong: WrongAnswers, power: int) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        right = float(wrong.right()[position] / wrong.scale[position])
        facts = {"size": size_text(float(wrong.number[position]), right)}
        return f"{wrong.item.name}: 10^{power}", facts

    return describe


def _swapped_readings(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    # What is drawn has inputs only where the points of the line were written down.
    from_points = gradient_of_points(wrong) is not None
    for _, same in groupby(swapped_inputs(wrong), key=lambda one: id(one.tree)):
        inputs = list(same)
        tree = inputs[0].tree
        worked = iter(worked_with(wrong, tree, [(one.name, one.used) for one in inputs]).T)
        for one in inputs:
            for swap_at, chance in enumerate(one.chance):
                yield Hypothesis(
                    cause=Cause.DIGITS_SWAPPED,
                    share=(1.0 - ANSWER_SHARE) * chance,
                    predicted=next(worked),
                    describe=partial(one.describe, swap_at),
                    steps=count_steps(tree),
                    is_worked_out=from_points,
                )


class ChangedInput(Struct, frozen=True, kw_only=True):
    """An input of the formula, each time with another number in its place."""

    name: str
    used: Values
    """As numbers in the item's own unit, shape (answers, numbers); NaN where there is none."""
    chance: Values
    """Of each number, shape (numbers, answers)."""
    describe: Callable[[int, int], Description]
    """Detail and facts of a number for one answer."""


class SwappedInput(ChangedInput, frozen=True, kw_only=True):
    """The same with two other neighbouring digits swapped; the chances are those among all of the answer's inputs."""

    tree: Node
    """The formula in which it stands."""


def swapped_inputs(wrong: WrongAnswers) -> Iterator[SwappedInput]:
    """Yield every input that has digits to be swapped, with all swaps of neighbouring ones."""
    for one in formula_inputs(wrong):
        name = one.name
        number = wrong.recorded(name)[:, 0]
        last = wrong.places(name)[:, 0]
        digits = as_digits(number, last)
        length = np.clip(wrong.digits_written(name), 1, MOST_DIGITS)
        low = np.arange(int(length.max()) - 1)[:, None]
        swapped, possible = swap(digits, low)
        possible &= (low + 1 < length) & np.isfinite(number) & ~leaves_idle_zero(swapped, low, length, last)
        some = np.flatnonzero(possible.any(axis=1))
        if not some.size:
            continue
        swapped, possible = swapped[some], possible[some]
        with np.errstate(all="ignore"):
            ratio = np.where(possible, swapped / np.where(digits == 0, 1, digits), np.nan)
        yield SwappedInput(
            name=name,
            tree=one.tree,
            used=wrong.needed(name) * ratio.T,
            chance=np.where(possible, one.chance / np.maximum(length - 1, 1), 0.0),
            describe=_swap_words(wrong, name, swapped, last),
        )


def worked_with(wrong: WrongAnswers, tree: Node, inputs: Sequence[tuple[str, Values]]) -> Values:
    """Return what *tree* comes to with each number in the place of each of the *inputs*, one after another.

    In one go, whichever input it is in: the formula takes one of them at least.

    Args:
        wrong: The answers.
        tree: The formula.
        inputs: Names, each with numbers in the item's own unit, shape (answers, numbers).

    Returns:
        As numbers in the unit that each student wrote, shape (answers, all numbers).
    """
    ends = np.cumsum([used.shape[1] for _, used in inputs]).tolist()
    changed: dict[str, Values] = {}
    for (name, used), end in zip(inputs, ends, strict=True):
        if name not in changed:
            changed[name] = np.repeat(wrong.needed(name), ends[-1], axis=1)
        changed[name][:, end - used.shape[1] : end] = used
    return wrong.worked_each(tree, changed)


def _swap_words(wrong: WrongAnswers, name: str, swapped: Digits, last: Places) -> Callable[[int, int], Description]:
    def describe(at: int, position: int) -> Description:
        return miscopied_words(wrong, name, position, as_text(int(swapped[at, position]), int(last[position])))

    return describe


def miscopied_words(wrong: WrongAnswers, name: str, position: int, used: str) -> Description:
    """Return detail and facts of an input that went on as *used*: of what stood on the page, or was never rounded."""
    item, entry = wrong.board.rubric.items[name], wrong.entry(position, name)
    meant = entry.raw.strip() if entry is not None else ""
    if wrong.is_as_written(name)[position]:
        return f"{name}: {used} for {meant}", {"input": item.quantity, "meant": meant, "used": used}
    # What was miscopied stands nowhere on the page: no figure there is the one that was meant.
    return f"{name}: {used} for {meant}, before it was rounded", {"input": item.quantity, "used": used}
