"""Slips of quantity: another reading of the same kind was put into the formula."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Judgement
from marking.checking.case import written
from marking.checking.causes.slips.formulas import Variant, formula_words, same_value
from marking.checking.causes.slips.other_readings import (
    KELVIN_WEIGHT,
    ROW_WEIGHT,
    ZERO_CELSIUS,
    other_readings,
)
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers, count_steps
from marking.findings import Cause
from rubrics.formulas import Call, Formula, Name, Number, factors
from rubrics.model import NamedSlip
from rubrics.units import TEMPERATURE

OTHER_RULE_SHARE = 0.2
"""Of slips of a rule, those that print the very figures that another answer by that rule has on the page; judged."""


def quantity_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield every other reading that may have been used, worked out for all the answers."""
    formula = wrong.item.formula
    found: list[_Found] = [*_own_kelvins(wrong), *_whole_answers(wrong), *_later_answers(wrong)]
    if formula is not None:
        found += [(one.weight, wrong.worked(formula.tree, one.changed), one.describe) for one in other_readings(wrong)]
    total = sum(weight for weight, _, _ in found)
    steps = count_steps(formula.tree) if formula is not None else 1
    for weight, predicted, describe in found:
        yield Hypothesis(
            cause=Cause.WRONG_QUANTITY,
            share=np.where(np.isfinite(predicted), weight / total, 0.0),
            predicted=predicted,
            describe=describe,
            steps=steps,
        )
    for cause, share, predicted, describe in _other_rules(wrong):
        yield Hypothesis(cause=cause, share=share, predicted=predicted, describe=describe, steps=steps)


_Found = tuple[float, Values, Callable[[int], Description]]


def _own_kelvins(wrong: WrongAnswers) -> Iterator[_Found]:
    """Yield a change of temperature to which 273 was added, for answers that are one."""
    unit = wrong.item.unit
    if unit.dimension == TEMPERATURE and not unit.offset:
        facts = {
            "used_quantity": f"{wrong.item.quantity} with 273 added",
            "used_value": "",
            "right_quantity": wrong.item.quantity,
            "right_value": "",
        }
        description = (f"{wrong.item.name} + 273 for {wrong.item.name}", facts)
        for shift in ZERO_CELSIUS:
            yield KELVIN_WEIGHT / 2, (wrong.right() + shift) / wrong.scale, lambda _: description


def _whole_answers(wrong: WrongAnswers) -> Iterator[_Found]:
    """Yield other values of the same quantity that may stand in this box: the measured for the predicted."""
    if wrong.item.table is not None:
        return
    items = wrong.board.rubric.items
    formula = wrong.item.formula
    for twin in wrong.twins(wrong.item.name):
        if formula is not None and _is_twin_times_constants(formula, twin, wrong):
            continue  # the same value in another unit is a matter of units, and without its constant one of factors
        if items[twin].table is None:
            value = np.where(_is_by_its_rule(wrong, twin), np.nan, wrong.needed(twin)[:, 0] / wrong.scale)
            yield ROW_WEIGHT, value, _twin_words_whole(wrong, twin)


def _later_answers(wrong: WrongAnswers) -> Iterator[_Found]:
    """Yield the next answer written in this box, where it is this one times a constant: the radius for the diameter."""
    items, constants = wrong.board.rubric.items, wrong.board.rubric.constants
    for later in items.values() if wrong.item.table is None else ():
        formula = later.formula
        if formula is None or later.table is not None or later.unit.dimension != wrong.item.unit.dimension:
            continue
        if wrong.item.name not in formula.names or any(
            name != wrong.item.name and name not in constants for name in formula.names
        ):
            continue
        if formula.tree == Name(wrong.item.name):
            continue  # the same value in another unit is a matter of units
        value = wrong.value(formula.tree, {wrong.item.name: wrong.right()[:, None]})
        factor = later.unit.factor / wrong.item.unit.factor
        yield ROW_WEIGHT, value * factor / wrong.scale, _twin_words_whole(wrong, later.name)


def _other_rules(wrong: WrongAnswers) -> Iterator[tuple[Cause, Values, Values, Callable[[int], Description]]]:
    """Yield cause, share, number and words for the rule of another answer: its number, as it was worked out there."""
    for twin in wrong.twins(wrong.item.name) if wrong.item.table is None else []:
        slip = _slip_by_rule_of(wrong, twin)
        if slip is not None:
            share = np.where(_is_by_its_rule(wrong, twin), OTHER_RULE_SHARE, 0.0)
            variant = Variant(cause=Cause(slip.cause), tree=slip.formula.tree, weight=OTHER_RULE_SHARE)
            value = wrong.needed(twin)[:, 0] / wrong.scale
            description = formula_words(wrong.board.rubric, wrong.item, variant)
            yield variant.cause, share, value, partial(_known, description)


def _known(description: Description, _: int) -> Description:
    return description


def _slip_by_rule_of(wrong: WrongAnswers, twin: str) -> NamedSlip | None:
    """Return the slip that the rubric names for this answer and that is the formula of its *twin*."""
    rubric, formula = wrong.board.rubric, wrong.board.rubric.items[twin].formula
    slips = [slip for slip in rubric.slips if slip.answer == wrong.item.name and formula is not None]
    return next((one for one in slips if formula is not None and same_value(one.formula.tree, formula.tree)), None)


def _is_by_its_rule(wrong: WrongAnswers, twin: str) -> NDArray[np.bool_]:
    """Tell where the number of the *twin* in this box is its rule used here: the sum for the parallel pair.

    Where the twin's own box is wrong as well, the two answers may have changed places.
    """
    if _slip_by_rule_of(wrong, twin) is None:
        return np.zeros(len(wrong), np.bool_)
    return np.asarray(wrong.judged[twin].judgement[wrong.students, 0] != int(Judgement.WRONG))


def _is_twin_times_constants(formula: Formula, twin: str, wrong: WrongAnswers) -> bool:
    """Tell whether *formula* is a step before with nothing but constants beside it: 2 × the gradient.

    A reading is none, and no more is its mean: a diameter in the box of the radius is another reading.
    """
    earlier = wrong.board.rubric.items[twin].formula
    if earlier is None or (isinstance(earlier.tree, Call) and earlier.tree.function == "mean"):
        return formula.tree == Name(twin)
    parts = [part for part, _ in factors(formula.tree)]
    others = [part for part in parts if part != Name(twin)]
    known = wrong.board.rubric.constants
    is_constant = all(isinstance(part, Number) or (isinstance(part, Name) and part.name in known) for part in others)
    return Name(twin) in parts and is_constant


def _twin_words_whole(wrong: WrongAnswers, twin: str) -> Callable[[int], Description]:
    items = wrong.board.rubric.items

    def describe(position: int) -> Description:
        entry = wrong.entry(position, twin)
        facts = {
            "used_quantity": items[twin].quantity,
            "used_value": written(items[twin], entry) if entry is not None else "",
            "right_quantity": wrong.item.quantity,
            "right_value": "",
        }
        return f"{twin} for {wrong.item.name}", facts

    return describe
