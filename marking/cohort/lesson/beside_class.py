"""How like the rest of the class a sheet is, as the logarithm of a probability density.

What the other sheets show is smoothed (a kernel density) and mixed with what the rubric alone says: the limits
of sound apparatus, the band of the result. A class whose benches have different parts has several peaks, and a
sheet on any of them is as good as on another.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from marking.cohort.lesson.features import (
    MOST_SOUND,
    NORMAL_OF_MEDIAN,
    OF_A_MATERIAL,
    Reference,
    feature_items,
    features,
    is_difference,
    is_on_scale,
    result_band,
    signed_answers,
    signs,
    spread_of,
)
from marking.cohort.lesson.nominal import as_stated, stated
from marking.cohort.lesson.reading_sets import Readings, Sheet, numbers_of
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]

LEAST_WIDTH, MOST_WIDTH = 0.10, 0.25
"""Width of the kernel, in natural logarithms."""
LEAST_WIDTH_OF_RANGE, MOST_WIDTH_OF_RANGE = 0.03, 0.2
"""The same for a temperature, as a share of the limits' range."""
RUBRIC_WEIGHT = 2.0
"""What the rubric alone says counts as much as so many sheets."""
BROAD = 14.0
"""Six powers of ten: where a quantity without limits may lie, in natural logarithms."""
BEYOND, FAR_BEYOND = -2.0, -8.0
"""Logarithms of how rarely sound apparatus gives a reading outside the rubric's limits, and far outside."""
FAR = 1.5
"""Far outside is beyond this factor of a limit, or this share of the range from its middle on a scale."""
IN_BAND = 0.9
"""Share of sound results within the rubric's outer band."""
IMPOSSIBLE = -8.0
"""Logarithm of how rarely something has a sign that it cannot have: a rise of what was heated below zero."""
OFF_ACCEPTED = -3.0
"""Logarithm of how rarely most of those who share a result are off every accepted value; judged, no source."""
COLUMN_END = 0.5
"""The smallest and the largest of a column say much the same, and count half each."""
STRAY = 0.7
"""A steady ratio this far from that of most sheets, in natural logarithms (a factor of two), is no witness."""
STUDENT_T3 = 0.3675525969
"""Height of Student's t with three degrees of freedom at its middle."""


def likeness(sheet: Sheet, others: Reference, readings: Readings) -> Values:
    """Return the logarithm of how usual each variant of a sheet is beside the *others*, shape (variants,)."""
    rubric = sheet.rubric
    found = features(rubric, readings)
    total = np.zeros(len(found))
    for number, item in enumerate(feature_items(rubric)):
        alone = _alone(rubric, item, found[:, number])
        total += _log_density(item, found[:, number], others.features[:, number], alone)
    for one, other in others.ratios:
        ratio, ratios = found[:, one] - found[:, other], _law(others.features[:, one] - others.features[:, other])
        total += _log_density(None, ratio, ratios, np.full(ratio.shape, 1.0 / BROAD))
    return total + _sign_likeness(sheet, others, readings) + beyond_limits(rubric, readings)


def sense(rubric: Rubric, readings: Readings) -> Values:
    """Return the logarithm of how much sense each variant makes by the rubric alone, whatever a class has.

    Shape (variants,); only differences between variants mean anything.
    """
    found = features(rubric, readings)
    total = beyond_limits(rubric, readings)
    for number, item in enumerate(feature_items(rubric)):
        at = found[:, number]
        present = np.isfinite(at)
        # What comes to nothing makes no more sense than what lies outside what apparatus can give.
        alone = np.where(
            present, np.log(_alone(rubric, item, np.where(present, at, 0.0))), BEYOND - np.log(breadth(item))
        )
        total += alone if item.table is None else COLUMN_END * alone
        total += _off_accepted(rubric, item, at)
    own = signs(rubric, readings)
    for number, item in enumerate(signed_answers(rubric)):
        sure = _sure_sign(rubric, item)
        total += np.where((sure != 0) & (own[:, number] == -sure), IMPOSSIBLE, 0.0)
    return total


def _off_accepted(rubric: Rubric, item: Item, at: Values) -> Values:
    """Return what it costs a result to be near no accepted value, nor between two; shape (variants,)."""
    info = rubric.result
    if info is None or item.name != info.answer or not info.accepted or min(one.value for one in info.accepted) <= 0:
        return np.zeros(at.shape)
    accepted = np.log([one.value for one in info.accepted])
    off = (at < accepted.min() - OF_A_MATERIAL) | (at > accepted.max() + OF_A_MATERIAL)
    return np.where(off, OFF_ACCEPTED, 0.0)


def kernel_widths(items: Sequence[Item | None], reference: Values) -> Values:
    """Return the width of the kernel for each feature, of what sheets show in it, (sheets, features) to (features,)."""
    bounds = np.array([_bounds(item) for item in items])
    middle = _middle(reference)
    spread = NORMAL_OF_MEDIAN * _middle(np.abs(reference - middle))
    count = np.maximum(np.isfinite(reference).sum(axis=0), 1)
    width = np.where(np.isfinite(spread), spread * count**-0.2, np.inf)
    return np.asarray(np.clip(width, bounds[:, 0], bounds[:, 1]))


def _middle(values: Values) -> Values:
    """Return the median of each column, of what is known; infinite where nothing is."""
    ordered = np.sort(np.where(np.isfinite(values), values, np.inf), axis=0)
    count = np.maximum(np.isfinite(values).sum(axis=0), 1)
    across = np.arange(values.shape[1])
    return np.asarray((ordered[(count - 1) // 2, across] + ordered[count // 2, across]) / 2.0)


def _law(ratios: Values) -> Values:
    """Return the ratios that follow the law that most sheets follow; all, where most follow none."""
    near = np.abs(ratios - np.nanmedian(ratios)) <= STRAY if np.isfinite(ratios).any() else np.isfinite(ratios)
    return ratios[near] if near.sum() >= MOST_SOUND * np.isfinite(ratios).sum() else ratios


def _log_density(item: Item | None, at: Values, reference: Values, alone: Values) -> Values:
    reference = reference[np.isfinite(reference)]
    present = np.isfinite(at)
    width = _width(item, reference)
    away = (at[:, None] - reference[None, :]) / width
    # Student's t with three degrees of freedom: a sheet in the tail is rare, not impossible.
    kernel = (STUDENT_T3 / width / (1.0 + away * away / 3.0) ** 2).sum(axis=1)
    density = (kernel + RUBRIC_WEIGHT * alone) / (reference.size + RUBRIC_WEIGHT)
    return np.where(present, np.log(np.where(present, density, 1.0)), 0.0)


def _width(item: Item | None, reference: Values) -> float:
    least, most = _bounds(item)
    if reference.size < 2:
        return most
    return float(np.clip(spread_of(reference) * reference.size**-0.2, least, most))


def breadth(item: Item | None) -> float:
    """Return over how much a feature of an item may lie: six powers of ten, or the limits of a scale."""
    if item is None or not is_on_scale(item):
        return BROAD
    low, high = item.limits or (0.0, 100.0)
    return high - low


def _bounds(item: Item | None) -> tuple[float, float]:
    """Return the least and the most that a kernel is wide for a feature of an item."""
    if item is None or not is_on_scale(item):
        return LEAST_WIDTH, MOST_WIDTH
    low, high = item.limits or (0.0, 100.0)
    return LEAST_WIDTH_OF_RANGE * (high - low), MOST_WIDTH_OF_RANGE * (high - low)


def _alone(rubric: Rubric, item: Item, at: Values) -> Values:
    """Return the density by the rubric alone: even over the limits, or mostly within the band of the result."""
    broad = np.full(at.shape, 1.0 / BROAD)
    if is_on_scale(item):
        low, high = item.limits or (0.0, 100.0)
        return np.full(at.shape, 1.0 / (high - low))
    band = result_band(rubric) if rubric.result is not None and rubric.result.answer == item.name else None
    if band is not None:
        inside = (at >= band[0]) & (at <= band[1])
        return np.where(inside, IN_BAND / (band[1] - band[0]), 0.0) + (1 - IN_BAND) * broad
    if item.role is Role.READING and item.limits is not None and item.limits[0] > 0:
        low, high = np.log(item.limits)
        broad = np.full(at.shape, 1.0 / float(high - low))
    return as_stated(stated(rubric, item), at, broad)


def _sign_likeness(sheet: Sheet, others: Reference, readings: Readings) -> Values:
    rubric = sheet.rubric
    own = signs(rubric, readings)
    total = np.zeros(len(own))
    is_accepted = rubric.result is not None and bool(rubric.result.accepted)
    for number, item in enumerate(signed_answers(rubric)):
        up = float((others.signs[:, number] > 0).sum()) + 0.5
        down = float((others.signs[:, number] < 0).sum()) + 0.5
        # What comes to nothing at all, or to a division by zero, is as odd as a sign that nobody else has.
        nothing = 0.5 if _has_inputs(rubric, sheet, item) else up + down
        weight = np.where(own[:, number] > 0, up, np.where(own[:, number] < 0, down, nothing))
        usual = np.log(weight / (up + down))
        sure = _sure_sign(rubric, item)
        # Where no accepted value says so and most of a class have it the other way, they may subtract the other way.
        against = (sure != 0) & (own[:, number] == -sure) & (is_accepted | (weight <= (up + down) / 2))
        total += np.where(against, np.minimum(usual, IMPOSSIBLE), usual)
    return total


def _sure_sign(rubric: Rubric, item: Item) -> int:
    """Return the sign that an answer has whatever is measured: that of the accepted values, above zero for a rise."""
    info = rubric.result
    if info is not None and item.name == info.answer and info.accepted:
        values = [one.value for one in info.accepted]
        return 1 if min(values) > 0 else -1 if max(values) < 0 else 0
    return int(is_difference(rubric, item))


def _has_inputs(rubric: Rubric, sheet: Sheet, item: Item) -> bool:
    for name in item.formula.names if item.formula is not None else ():
        other = rubric.items.get(name)
        if other is not None and other.role is Role.ANSWER and not _has_inputs(rubric, sheet, other):
            return False
        if name in sheet.readings and not np.isfinite(sheet.readings[name]).any():
            return False
    return True


def beyond_limits(rubric: Rubric, readings: Readings) -> Values:
    """Return what readings outside the rubric's limits cost, shape (variants,): once for every reading or column."""
    total: Values = np.zeros(max(len(column) for column in readings.values()))
    for item in numbers_of(rubric):
        outside = is_beyond(item, readings[item.name], 1.0).any(axis=1)
        far = is_beyond(item, readings[item.name], FAR).any(axis=1)
        total = total + np.where(far, FAR_BEYOND, np.where(outside, BEYOND, 0.0))
    return total


def is_beyond(item: Item, values: Values, room: float = FAR) -> NDArray[np.bool_]:
    """Tell which values, in SI units, lie outside the limits by more than a factor of *room*."""
    if item.limits is None:
        return np.zeros(values.shape, np.bool_)
    numbers = item.unit.from_si(values)
    low, high = item.limits
    if low > 0 and not item.unit.offset:
        low, high = low / room, high * room
    else:
        middle, half = (low + high) / 2.0, (high - low) / 2.0 * room
        low, high = middle - half, middle + half
    slack = 1e-9 * max(abs(low), abs(high))
    return np.asarray(np.isfinite(numbers) & ((numbers < low - slack) | (numbers > high + slack)))
