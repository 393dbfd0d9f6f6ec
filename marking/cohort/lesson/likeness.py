"""How like the rest of the class a sheet is: each reading and each answer that follows from it, on a log scale.

What the other sheets show is smoothed (a kernel density), mixed with what the rubric alone says: the limits of
sound apparatus, the band of the result. A class whose benches have different parts has several peaks, and a
sheet on any of them is as good as on another.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from marking.cohort.lesson.sheets import Readings, Sheet, numbers_of, worked_out
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]

LEAST_WIDTH, MOST_WIDTH = 0.10, 0.40
"""Width of the kernel, in natural logarithms."""
LEAST_WIDTH_OF_RANGE = 0.03
"""The same for a temperature, as a share of the limits' range."""
RUBRIC_WEIGHT = 1.0
"""What the rubric alone says counts as much as so many sheets."""
BROAD = 14.0
"""Six powers of ten: where a quantity without limits may lie, in natural logarithms."""
BEYOND = -8.0
"""Logarithm of how rarely sound apparatus gives a reading outside the rubric's limits."""
IN_BAND = 0.9
"""Share of sound results within the rubric's outer band."""
NORMAL_OF_MEDIAN = 1.4826


def features(rubric: Rubric, readings: Readings) -> Values:
    """Return what a class is compared by, shape (variants, features); NaN where there is nothing.

    A single value is one feature; a column is two, its smallest and its largest size.
    """
    values = worked_out(rubric, readings)
    found = []
    with np.errstate(all="ignore"):
        for item in compared(rubric):
            column = values[item.name]
            if is_on_scale(item):
                found.append(((column - item.unit.offset) / item.unit.factor)[:, :1])
                continue
            size = np.log(np.where(column != 0, np.abs(column), np.nan) / item.unit.factor)
            size = np.where(np.isfinite(size), size, np.nan)
            found += [size] if item.table is None else [_least(size), -_least(-size)]
    return np.concatenate(found, axis=1)


def signs(rubric: Rubric, readings: Readings) -> Values:
    """Return the sign of every single answer, shape (variants, answers); NaN where there is none."""
    values = worked_out(rubric, readings)
    columns = [values[item.name][:, :1] for item in compared(rubric) if item.role is Role.ANSWER and item.table is None]
    if not columns:
        return np.zeros((max(len(column) for column in readings.values()), 0))
    joined = np.concatenate(columns, axis=1)
    return np.where(np.isfinite(joined) & (joined != 0), np.sign(joined), np.nan)


def compared(rubric: Rubric) -> tuple[Item, ...]:
    """Return the readings and answers that sheets are compared by."""
    answers = [item for item in rubric.answers if item.formula is not None]
    return (*numbers_of(rubric), *answers)


def is_on_scale(item: Item) -> bool:
    """Tell whether a reading is a point on a scale, such as a temperature, and not an amount."""
    return item.table is None and item.role is Role.READING and bool(item.unit.offset)


def _least(size: Values) -> Values:
    return np.asarray(np.where(np.isfinite(size), size, np.inf).min(axis=1, keepdims=True) + 0.0)


def likeness(sheet: Sheet, others: Sequence[Sheet], readings: Readings) -> Values:
    """Return the logarithm of how usual each variant of a sheet is beside the *others*, shape (variants,)."""
    rubric = sheet.rubric
    found = features(rubric, readings)
    reference = np.concatenate([features(rubric, one.readings) for one in others]) if others else found[:0]
    total = np.zeros(len(found))
    for number, (item, is_result) in enumerate(_feature_items(rubric)):
        total += _log_density(rubric, item, is_result, found[:, number], reference[:, number])
    total += _sign_likeness(rubric, sheet, others, readings)
    return total + beyond_limits(rubric, readings)


def _feature_items(rubric: Rubric) -> list[tuple[Item, bool]]:
    result = rubric.result.answer if rubric.result is not None else ""
    found = []
    for item in compared(rubric):
        times = 1 if item.table is None or is_on_scale(item) else 2
        found += [(item, item.name == result)] * times
    return found


def _log_density(rubric: Rubric, item: Item, is_result: bool, at: Values, reference: Values) -> Values:
    reference = reference[np.isfinite(reference)]
    present = np.isfinite(at)
    width = _width(item, reference)
    away = (at[:, None] - reference[None, :]) / width
    # Student's t with three degrees of freedom: a sheet in the tail is rare, not impossible.
    kernel = (0.3675525969 / width / (1.0 + away * away / 3.0) ** 2).sum(axis=1)
    alone = _alone(rubric, item, at, is_result=is_result)
    density = (kernel + RUBRIC_WEIGHT * alone) / (reference.size + RUBRIC_WEIGHT)
    return np.where(present, np.log(np.where(present, density, 1.0)), 0.0)


def _width(item: Item, reference: Values) -> float:
    least, most = LEAST_WIDTH, MOST_WIDTH
    if is_on_scale(item):
        low, high = item.limits or (0.0, 100.0)
        least, most = LEAST_WIDTH_OF_RANGE * (high - low), 0.2 * (high - low)
    if reference.size < 2:
        return most
    spread = NORMAL_OF_MEDIAN * float(np.median(np.abs(reference - np.median(reference))))
    return float(np.clip(spread * reference.size**-0.2, least, most))


def _alone(rubric: Rubric, item: Item, at: Values, *, is_result: bool) -> Values:
    """Return the density by the rubric alone: even over the limits, or mostly within the band of the result."""
    broad = np.full(at.shape, 1.0 / BROAD)
    if is_on_scale(item):
        low, high = item.limits or (0.0, 100.0)
        return np.full(at.shape, 1.0 / (high - low))
    band = _band(rubric) if is_result else None
    if band is not None:
        inside = (at >= band[0]) & (at <= band[1])
        return np.where(inside, IN_BAND / (band[1] - band[0]), 0.0) + (1 - IN_BAND) * broad
    if item.limits is not None and item.limits[0] > 0:
        low, high = np.log(item.limits)
        return np.full(at.shape, 1.0 / float(high - low))
    return broad


def _band(rubric: Rubric) -> tuple[float, float] | None:
    """Return where results are not yet past believing, over all accepted values, in natural logarithms."""
    info = rubric.result
    if info is None or not info.accepted or info.stop is None:
        return None
    low = min(one.value * (1 + info.stop[0]) for one in info.accepted)
    high = max(one.value * (1 + info.stop[1]) for one in info.accepted)
    return (float(np.log(low)), float(np.log(high))) if low > 0 else None


def _sign_likeness(rubric: Rubric, sheet: Sheet, others: Sequence[Sheet], readings: Readings) -> Values:
    own = signs(rubric, readings)
    names = [item.name for item in compared(rubric) if item.role is Role.ANSWER and item.table is None]
    reference = np.concatenate([signs(rubric, one.readings) for one in others]) if others else own[:0]
    total = np.zeros(len(own))
    for number, name in enumerate(names):
        up, down = (reference[:, number] > 0).sum() + 0.5, (reference[:, number] < 0).sum() + 0.5
        if rubric.result is not None and name == rubric.result.answer and rubric.result.accepted:
            up += 10.0  # no accepted value is below zero
        share = np.where(own[:, number] > 0, up, down) / (up + down)
        # What came to nothing at all, or to a division by zero, is as odd as a wrong sign.
        nothing = np.isnan(own[:, number]) & _has_inputs(rubric, sheet, name)
        total += np.where(np.isnan(own[:, number]), np.where(nothing, np.log(0.5 / (up + down)), 0.0), np.log(share))
    return total


def _has_inputs(rubric: Rubric, sheet: Sheet, name: str) -> bool:
    formula = rubric.items[name].formula
    names = formula.names if formula is not None else ()
    for one in names:
        item = rubric.items.get(one)
        if item is not None and item.role is Role.ANSWER and not _has_inputs(rubric, sheet, one):
            return False
        if one in sheet.readings and not np.isfinite(sheet.readings[one]).any():
            return False
    return True


def beyond_limits(rubric: Rubric, readings: Readings) -> Values:
    """Return what readings outside the rubric's limits cost, shape (variants,): once for every reading or column."""
    total: Values = np.zeros(max(len(column) for column in readings.values()))
    for item in numbers_of(rubric):
        if item.limits is None:
            continue
        total = total + np.where(is_beyond(item, readings[item.name]).any(axis=1), BEYOND, 0.0)
    return total


def is_beyond(item: Item, values: Values) -> NDArray[np.bool_]:
    """Tell which values, in SI units, sound apparatus of this practical cannot give."""
    if item.limits is None:
        return np.zeros(values.shape, np.bool_)
    numbers = (values - item.unit.offset) / item.unit.factor
    low, high = item.limits
    room = 1e-9 * max(abs(low), abs(high))
    return np.asarray(np.isfinite(numbers) & ((numbers < low - room) | (numbers > high + room)))


