"""What a student may have put into a formula for what belongs there: a reading or a constant of the same kind."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np
from msgspec import Struct

from marking.checking.case import number_text, with_unit, written
from marking.checking.causes.wrong import Description, Values, WrongAnswers
from rubrics.formulas import Call, Name, factors, printed
from rubrics.model import Item
from rubrics.units import NO_DIMENSION, TEMPERATURE

TWIN_WEIGHT = 2.0
ROW_WEIGHT = 1.0
FIXED_WEIGHT = 0.3
KELVIN_WEIGHT = 0.7
SUM_WEIGHT = 1.0
PART_WEIGHT = 0.15
CUBE_WEIGHT = 0.3
ZERO_CELSIUS = (273.0, 273.15)
"""What is added to a temperature in °C to have it in kelvin; never right for a change."""


class OtherReading(Struct, frozen=True, kw_only=True):
    """Numbers that stand in a formula in the place of its own."""

    changed: Mapping[str, Values]
    """By the name of what should have stood there, in that item's own unit, (answers, 1); NaN where there is none."""
    weight: float
    """How often it is met, beside the others; judged."""
    describe: Callable[[int], Description]
    """Detail and facts for the answer at one position."""


def other_readings(wrong: WrongAnswers) -> list[OtherReading]:
    """Return every other reading that may have gone into the formula; none where there is no formula.

    They hold the answers that they are of, which do not keep them: in a ring both would be left to the collector.
    """
    return [
        *_twins(wrong),
        *_rows(wrong),
        *_kelvins(wrong),
        *_sums(wrong),
        *_constants(wrong),
        *_parts(wrong),
        *_one_for_all(wrong),
    ]


def _inputs(wrong: WrongAnswers) -> list[str]:
    formula = wrong.item.formula
    return [n for n in formula.names if n in wrong.board.rubric.items] if formula else []


def _twins(wrong: WrongAnswers) -> Iterator[OtherReading]:
    items = wrong.board.rubric.items
    for name in _inputs(wrong):
        for twin in wrong.twins(name):
            if items[twin].table != items[name].table:
                continue
            if wrong.item.table is None and items[name].table is not None:
                continue  # a whole column for another: no slip that was ever seen
            used = [wrong.needed(twin)]
            if items[twin].unit.offset and not items[name].unit.offset:
                # Read in kelvin, a temperature is another number than in °C, and that number was used.
                used.append(_if_other(wrong, twin))
            for values in used:
                yield OtherReading(changed={name: values}, weight=TWIN_WEIGHT, describe=_twin_words(wrong, name, twin))


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


def _rows(wrong: WrongAnswers) -> Iterator[OtherReading]:
    tree = wrong.item.formula.tree if wrong.item.formula is not None else None
    if wrong.item.table is None or (isinstance(tree, Call) and tree.function == "rank"):  # nobody ranks another row
        return
    items = wrong.board.rubric.items
    every = [name for name in _inputs(wrong) if items[name].table is not None]
    for shift in (-1, 1):
        for name in every:
            changed = {name: _neighbour(wrong, name, shift)}
            yield OtherReading(changed=changed, weight=ROW_WEIGHT, describe=_row_words(wrong, name, shift))
        changed = {name: _neighbour(wrong, name, shift) for name in every}
        yield OtherReading(changed=changed, weight=ROW_WEIGHT, describe=_row_words(wrong, every[0], shift))
    for name in every:  # a formula filled down with the cell held fast
        changed = {name: _first_row(wrong, name)}
        yield OtherReading(changed=changed, weight=FIXED_WEIGHT, describe=_first_row_words(wrong, name))


def _first_row(wrong: WrongAnswers, name: str) -> Values:
    """Return the reading in the first row, NaN where that is the row itself or the one above; (answers, 1)."""
    first = wrong.column(name)[wrong.students, 0]
    return np.where(wrong.rows > 1, first, np.nan)[:, None]


def _neighbour(wrong: WrongAnswers, name: str, shift: int) -> Values:
    """Return the reading *shift* rows further down the column of *name*, NaN beyond its ends; (answers, 1)."""
    values = wrong.column(name)
    row = wrong.rows + shift
    inside = (row >= 0) & (row < values.shape[1])
    found = values[wrong.students, np.clip(row, 0, values.shape[1] - 1)]
    return np.where(inside, found, np.nan)[:, None]


def _row_words(wrong: WrongAnswers, name: str, shift: int) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        return _of_row(wrong, name, position, int(wrong.rows[position]) + 1 + shift, _neighbour(wrong, name, shift))

    return describe


def _first_row_words(wrong: WrongAnswers, name: str) -> Callable[[int], Description]:
    return lambda position: _of_row(wrong, name, position, 1, _first_row(wrong, name))


def _of_row(wrong: WrongAnswers, name: str, position: int, used_row: int, used: Values) -> Description:
    item, row = wrong.board.rubric.items[name], int(wrong.rows[position]) + 1
    facts = {
        "used_quantity": f"{item.quantity} of row {used_row}",
        "used_value": _shown(item, float(used[position, 0])),
        "right_quantity": f"{item.quantity} of row {row}",
        "right_value": _shown(item, float(wrong.needed(name)[position, 0])),
    }
    return f"{name}: row {used_row} for row {row}", facts


def _shown(item: Item, value: float) -> str:
    """Return a value with its unit; what is counted has no decimal places."""
    is_counted = not item.unit.symbol and value.is_integer()
    return str(round(value)) if is_counted else with_unit(number_text(value), item.unit.symbol)


def _kelvins(wrong: WrongAnswers) -> Iterator[OtherReading]:
    items = wrong.board.rubric.items
    for name in _inputs(wrong):
        item = items[name]
        if item.unit.dimension == TEMPERATURE and not item.unit.offset:
            for shift in ZERO_CELSIUS:
                changed = {name: wrong.needed(name) + shift}
                yield OtherReading(changed=changed, weight=KELVIN_WEIGHT / 2, describe=_kelvin_words(wrong, name))


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


def _sums(wrong: WrongAnswers) -> Iterator[OtherReading]:
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
            words = same_words((f"sum for {name}", facts))
            yield OtherReading(changed={name: total}, weight=SUM_WEIGHT, describe=words)


def _constants(wrong: WrongAnswers) -> Iterator[OtherReading]:
    """Yield a constant of the rubric put in for another of the same unit: one molar mass for the other."""
    formula, known = wrong.item.formula, wrong.board.rubric.constants
    for name in formula.names if formula is not None else ():
        for other in known.values() if name in known else ():
            right = known[name]
            if other.name == name or other.unit.symbol != right.unit.symbol or other.values[0] in right.values:
                continue
            facts = {
                "used_quantity": other.quantity,
                "used_value": with_unit(printed(other.values[0]), other.unit.symbol),
                "right_quantity": right.quantity,
                "right_value": with_unit(printed(right.values[0]), right.unit.symbol),
            }
            changed, words = {name: np.full((1, 1), other.values[0])}, same_words((f"{other.name} for {name}", facts))
            yield OtherReading(changed=changed, weight=TWIN_WEIGHT, describe=words)


def _parts(wrong: WrongAnswers) -> Iterator[OtherReading]:
    """Yield a factor put in for the product that was worked out from it: the length for the volume."""
    items, formula = wrong.board.rubric.items, wrong.item.formula
    if formula is None or wrong.item.table is not None:
        return
    names = [part.name for part, _ in factors(formula.tree) if isinstance(part, Name)]
    for name in names:
        step = items[name].formula if name in items else None
        for part, side in factors(step.tree) if step is not None else ():
            one = items.get(part.name) if isinstance(part, Name) and side > 0 else None
            if one is None or one.table is not None or one.unit.dimension in (items[name].unit.dimension, NO_DIMENSION):
                continue
            words = _twin_words(wrong, name, one.name)
            yield OtherReading(changed={name: wrong.needed(one.name)}, weight=PART_WEIGHT, describe=words)


def _one_for_all(wrong: WrongAnswers) -> Iterator[OtherReading]:
    """Yield one factor of three alike put in for all of them: the cube of the length."""
    items, formula = wrong.board.rubric.items, wrong.item.formula
    parts = factors(formula.tree) if formula is not None else []
    names = [part.name for part, side in parts if isinstance(part, Name) and side > 0 and part.name in items]
    if len(names) < 3 or len(names) < len(parts) or len({items[name].unit.dimension for name in names}) > 1:
        return
    if any(items[name].table != wrong.item.table for name in names):
        return
    quantities = [items[name].quantity for name in names]
    every = f"{', '.join(quantities[:-1])} and {quantities[-1]}"
    for name in names:
        facts = {
            "used_quantity": f"{items[name].quantity} in every place",
            "used_value": "",
            "right_quantity": every,
            "right_value": "",
        }
        others = [other for other in names if other != name]
        changed, words = (
            dict.fromkeys(others, wrong.needed(name)),
            same_words((f"{name} for {' and '.join(others)}", facts)),
        )
        yield OtherReading(changed=changed, weight=CUBE_WEIGHT, describe=words)


def same_words(description: Description) -> Callable[[int], Description]:
    """Return the same words for every answer."""
    return lambda _: description
