"""Slips of quantity: another reading of the same kind was put into the formula."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Judgement
from marking.checking.case import number_text, with_unit, written
from marking.checking.causes.slips.formulas import Variant, formula_words, same_value
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers, count_steps
from marking.findings import Cause
from rubrics.formulas import Call, Formula, Name, Number, factors, printed
from rubrics.model import Item, NamedSlip
from rubrics.units import TEMPERATURE

TWIN_WEIGHT = 2.0
ROW_WEIGHT = 1.0
KELVIN_WEIGHT = 0.7
SUM_WEIGHT = 1.0
OTHER_RULE_SHARE = 0.2
"""Of slips of a rule, those that print the very figures that another answer by that rule has on the page; judged."""
ZERO_CELSIUS = (273.0, 273.15)
"""What is added to a temperature in °C to have it in kelvin; never right for a change."""


def quantity_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield every other reading that may have been used, worked out for all the answers."""
    found = [*_twins(wrong), *_rows(wrong), *_kelvins(wrong), *_own_kelvins(wrong)]
    found += [*_sums(wrong), *_whole_answers(wrong), *_constants(wrong)]
    total = sum(weight for weight, _, _ in found)
    steps = count_steps(wrong.item.formula.tree) if wrong.item.formula is not None else 1
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


def _value(wrong: WrongAnswers, changed: dict[str, Values]) -> Values:
    """Return what the formula gives with some inputs *changed*, as a number in the unit that was written."""
    formula = wrong.item.formula
    assert formula is not None
    return wrong.worked(formula.tree, changed)


def _inputs(wrong: WrongAnswers) -> list[str]:
    formula = wrong.item.formula
    return [n for n in formula.names if n in wrong.board.rubric.items] if formula else []


def _twins(wrong: WrongAnswers) -> Iterator[_Found]:
    for name in _inputs(wrong):
        for twin in wrong.twins(name):
            if wrong.board.rubric.items[twin].table != wrong.board.rubric.items[name].table:
                continue
            if wrong.item.table is None and wrong.board.rubric.items[name].table is not None:
                continue  # a whole column for another: no slip that was ever seen
            words = _twin_words(wrong, name, twin)
            yield TWIN_WEIGHT, _value(wrong, {name: wrong.needed(twin)}), words
            if wrong.board.rubric.items[twin].unit.offset and not wrong.board.rubric.items[name].unit.offset:
                # Read in kelvin, a temperature is another number than in °C, and that number was used.
                yield TWIN_WEIGHT, _value(wrong, {name: _if_other(wrong, twin)}), words


def _if_other(wrong: WrongAnswers, name: str) -> Values:
    """Return a reading as it was recorded, NaN where that is the number that the sheet works with; (answers, 1)."""
    recorded = wrong.recorded(name)
    with np.errstate(all="ignore"):
        return np.where(np.isclose(recorded, wrong.needed(name), rtol=1e-9, atol=0.0), np.nan, recorded)


def _twin_words(wrong: WrongAnswers, name: str, twin: str) -> Callable[[int], Description]:
    items = wrong.board.rubric.items

    def describe(position: int) -> Description:
        entry = wrong.entry(position, twin)
        right = float(wrong.needed(name)[position, 0])
        facts = {
            "used_quantity": items[twin].quantity,
            "used_value": written(items[twin], entry) if entry is not None else "",
            "right_quantity": items[name].quantity,
            "right_value": _as_on_page(wrong, position, name) if np.isfinite(right) else "",
        }
        return f"{twin} for {name}", facts

    return describe


def _as_on_page(wrong: WrongAnswers, position: int, name: str) -> str:
    """Return an input as it was written down; where it was not, what it comes to."""
    item, entry = wrong.board.rubric.items[name], wrong.entry(position, name)
    if entry is not None and wrong.is_as_written(name)[position]:
        return written(item, entry)
    return with_unit(number_text(float(wrong.needed(name)[position, 0])), item.unit.symbol)


def _constants(wrong: WrongAnswers) -> Iterator[_Found]:
    """Yield a constant of the rubric put in for another of the same unit: one molar mass for the other."""
    formula, known = wrong.item.formula, wrong.board.rubric.constants
    for name in formula.names if formula is not None else ():
        for other in known.values() if name in known else ():
            right = known[name]
            if other.name == name or other.unit.symbol != right.unit.symbol or other.values[0] in right.values:
                continue
            description = (
                f"{other.name} for {name}",
                {
                    "used_quantity": other.quantity,
                    "used_value": with_unit(printed(other.values[0]), other.unit.symbol),
                    "right_quantity": right.quantity,
                    "right_value": with_unit(printed(right.values[0]), right.unit.symbol),
                },
            )
            yield TWIN_WEIGHT, _value(wrong, {name: np.full((1, 1), other.values[0])}), _same_words(description)


def _rows(wrong: WrongAnswers) -> Iterator[_Found]:
    tree = wrong.item.formula.tree if wrong.item.formula is not None else None
    if wrong.item.table is None or (isinstance(tree, Call) and tree.function == "rank"):  # nobody ranks another row
        return
    items = wrong.board.rubric.items
    for name in _inputs(wrong):
        if items[name].table is None:
            continue
        for shift in (-1, 1):
            yield ROW_WEIGHT, _value(wrong, {name: _neighbour(wrong, name, shift)}), _row_words(wrong, name, shift)
    every = [name for name in _inputs(wrong) if items[name].table is not None]
    for shift in (-1, 1):
        changed = {name: _neighbour(wrong, name, shift) for name in every}
        yield ROW_WEIGHT, _value(wrong, changed), _row_words(wrong, every[0], shift)


def _neighbour(wrong: WrongAnswers, name: str, shift: int) -> Values:
    """Return the reading *shift* rows further down the column of *name*, NaN beyond its ends; (answers, 1)."""
    values = wrong.column(name)
    row = wrong.rows + shift
    inside = (row >= 0) & (row < values.shape[1])
    found = values[wrong.students, np.clip(row, 0, values.shape[1] - 1)]
    return np.where(inside, found, np.nan)[:, None]


def _row_words(wrong: WrongAnswers, name: str, shift: int) -> Callable[[int], Description]:
    item = wrong.board.rubric.items[name]

    def describe(position: int) -> Description:
        row = int(wrong.rows[position]) + 1
        value = float(_neighbour(wrong, name, shift)[position, 0])
        facts = {
            "used_quantity": f"{item.quantity} of row {row + shift}",
            "used_value": _shown(item, value),
            "right_quantity": f"{item.quantity} of row {row}",
            "right_value": _shown(item, float(wrong.needed(name)[position, 0])),
        }
        return f"{name}: row {row + shift} for row {row}", facts

    return describe


def _shown(item: Item, value: float) -> str:
    """Return a value with its unit; what is counted has no decimal places."""
    is_counted = not item.unit.symbol and value.is_integer()
    return str(round(value)) if is_counted else with_unit(number_text(value), item.unit.symbol)


def _kelvins(wrong: WrongAnswers) -> Iterator[_Found]:
    items = wrong.board.rubric.items
    for name in _inputs(wrong):
        item = items[name]
        if item.unit.dimension == TEMPERATURE and not item.unit.offset:
            for shift in ZERO_CELSIUS:
                yield KELVIN_WEIGHT / 2, _value(wrong, {name: wrong.needed(name) + shift}), _kelvin_words(wrong, name)


def _sums(wrong: WrongAnswers) -> Iterator[_Found]:
    """Yield the sum of repeated readings for their mean, which stands on the page."""
    items = wrong.board.rubric.items
    for name in _inputs(wrong):
        item = items[name]
        tree = item.formula.tree if item.formula is not None else None
        if isinstance(tree, Call) and tree.function == "mean" and tree.is_along_row and item.table is None:
            readings = [one.name for one in tree.arguments if isinstance(one, Name)]
            total = np.sum([wrong.needed(one) for one in readings], axis=0)
            facts = {
                "used_quantity": f"sum of the {len(readings)} values of the {item.quantity}",
                "used_value": "",
                "right_quantity": f"mean of the {len(readings)} values",
                "right_value": "",
            }
            description = (f"sum for {name}", facts)
            yield SUM_WEIGHT, _value(wrong, {name: total}), _same_words(description)


def _same_words(description: Description) -> Callable[[int], Description]:
    return lambda _: description


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


def _kelvin_words(wrong: WrongAnswers, name: str) -> Callable[[int], Description]:
    item = wrong.board.rubric.items[name]

    def describe(position: int) -> Description:
        change = with_unit(number_text(float(wrong.needed(name)[position, 0])), item.unit.symbol)
        facts = {
            "used_quantity": f"{item.quantity} with 273 added",
            "used_value": "",
            "right_quantity": item.quantity,
            "right_value": change,
        }
        return f"{name} + 273 for {name}", facts

    return describe


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
