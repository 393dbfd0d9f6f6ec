"""What the sheets of a class are compared by: each reading and each answer that follows from it, on a log scale.

A single value is one feature; a column is two, its smallest and its largest size. Quantities of one kind that
keep a steady ratio over the class, such as a resistance measured and predicted, give that ratio too.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.lesson.neighbours import contradicted
from marking.cohort.lesson.reading_sets import Readings, Sheet, is_reading, numbers_of, worked_out
from marking.distributions import median
from rubrics.formulas import Name, Operation
from rubrics.model import Item, ResultInfo, Role, Rubric

Values = NDArray[np.float64]
Bools = NDArray[np.bool_]

NOTHING = 0.1
"""Share of an instrument's step that a reading of zero counts as."""
FEWEST_FOR_RATIO = 6
"""Sheets from which a steady ratio can be seen."""
MOST_SOUND = 0.5
"""From this share of a class on, sheets that make sense speak for it, and the others do not."""
NARROW = float(np.log(10.0))
"""A band this wide, in natural logarithms, is one of many materials, and others that are not listed may be about."""
NEAR_A_TEN = 0.15
"""A result so near (natural logarithm) to a power of ten times what the class has, and of no accepted material, has a
point that was moved; another material is hardly ever there."""
OF_A_MATERIAL = 0.3
"""Results of school classes lie within a third of the accepted values, natural logarithm; judged."""
STEADY = 0.6
"""A ratio must spread by less than this share of what its two quantities do alone."""
NORMAL_OF_MEDIAN = 1.4826
"""Standard deviation of a normal distribution over its median absolute deviation."""


class Reference(Struct, frozen=True, kw_only=True):
    """What a class shows, one line a sheet."""

    features: Values
    """Shape (sheets, features), in the order of :func:`feature_items`; NaN where there is nothing."""
    ratios: tuple[tuple[int, int], ...]
    """Pairs of features that keep a steady ratio."""
    signs: Values
    """Shape (sheets, answers that have a sign)."""

    def without(self, position: int) -> Reference:
        """Return what all other sheets show."""
        return Reference(
            features=np.delete(self.features, position, 0),
            ratios=self.ratios,
            signs=np.delete(self.signs, position, 0),
        )


def reference_of(rubric: Rubric, sheets: Sequence[Sheet]) -> Reference:
    """Return what the sheets of a class show, in their order.

    Sheets whose result nature does not know vouch for nothing while most results are possible: a slip that a third of
    the class shares is still one.
    """
    found = np.concatenate([features(rubric, one.readings) for one in sheets])
    sense = _makes_sense(rubric, sheets)
    alone = [item.role is Role.ANSWER and item.table is None for item in feature_items(rubric)]
    sense &= ~contradicted([one.bench for one in sheets], found[:, alone])
    found = np.where(sense[:, None], found, np.nan)
    return Reference(
        features=found,
        ratios=_steady_ratios(feature_items(rubric), found),
        signs=np.where(sense[:, None], np.concatenate([signs(rubric, one.readings) for one in sheets]), np.nan),
    )


def _makes_sense(rubric: Rubric, sheets: Sequence[Sheet]) -> NDArray[np.bool_]:
    """Return for each sheet whether it may speak for the class, shape (sheets,)."""
    band = result_band(rubric)
    if rubric.result is None or band is None:
        return np.ones(len(sheets), np.bool_)
    answer = rubric.items[rubric.result.answer]
    if answer.formula is None:  # read off a curve, which is no matter of one sheet's sums
        return np.ones(len(sheets), np.bool_)
    with np.errstate(all="ignore"):
        results = np.concatenate([worked_out(rubric, one.readings)[answer.name][:, :1] for one in sheets])[:, 0]
        size = np.log(answer.unit.from_si(results))
    known = np.isfinite(results)
    if band[1] - band[0] > NARROW:  # of whatever material: above zero, and no power of ten from what the class has
        possible = known & (results > 0) & ~_has_moved_point(size, rubric.result)
    else:
        possible = (size >= band[0]) & (size <= band[1])
    if not known.any() or possible[known].mean() < MOST_SOUND:
        return np.ones(len(sheets), np.bool_)
    return np.asarray(possible | ~known)


def _has_moved_point(size: Values, result: ResultInfo) -> NDArray[np.bool_]:
    """Tell which results are a power of ten from what most of the class has, and no accepted value's, (sheets,).

    Args:
        size: Natural logarithms of the results, in the unit of the accepted values.
        result: With the accepted values, which most of the class has to be near.
    """
    accepted = np.log([one.value for one in result.accepted])
    band = accepted.min() - OF_A_MATERIAL, accepted.max() + OF_A_MATERIAL
    inside = size[(size >= band[0]) & (size <= band[1])]
    if inside.size < MOST_SOUND * np.isfinite(size).sum():
        return np.zeros(size.shape, np.bool_)
    tens = (size - median(inside)) / NARROW
    off_a_ten = np.abs(tens - np.round(tens)) * NARROW
    return np.asarray((np.round(tens) != 0) & (off_a_ten < NEAR_A_TEN) & ((size < band[0]) | (size > band[1])))


def result_band(rubric: Rubric) -> tuple[float, float] | None:
    """Return where results are not yet past believing, over all accepted values, in natural logarithms."""
    info = rubric.result
    if info is None or not info.accepted or info.stop is None:
        return None
    low = min(one.value * (1 + info.stop[0]) for one in info.accepted)
    high = max(one.value * (1 + info.stop[1]) for one in info.accepted)
    return (float(np.log(low)), float(np.log(high))) if low > 0 else None


def features(rubric: Rubric, readings: Readings) -> Values:
    """Return the features of each variant of a sheet, shape (variants, features); NaN where there is nothing."""
    values = worked_out(rubric, readings)
    found = []
    with np.errstate(all="ignore"):
        for item in compared(rubric):
            number = item.unit.from_si(values[item.name])
            if is_on_scale(item):
                found.append(number[:, :1])
                continue
            size = np.log(np.where(number != 0, np.abs(number), np.nan))
            size = np.where(np.isfinite(size), size, np.nan)
            if item.table is not None:
                size = np.concatenate((_least(size), -_least(-size)), axis=1)
            found.append(np.where(_is_nothing(number), _nothing(item), size))
    return np.concatenate(found, axis=1)


def signs(rubric: Rubric, readings: Readings) -> Values:
    """Return the sign of each answer that has one, shape (variants, answers); NaN where there is none."""
    values = worked_out(rubric, readings)
    columns = [_sign(values[item.name]) for item in signed_answers(rubric)]
    return np.stack(columns, axis=1) if columns else np.zeros((max(len(column) for column in readings.values()), 0))


def _sign(values: Values) -> Values:
    """Return the sign of an answer, or the one that most rows of a column have; shape (variants,)."""
    balance = np.nansum(np.sign(values), axis=1)
    return np.where(balance != 0, np.sign(balance), np.nan)


def compared(rubric: Rubric) -> tuple[Item, ...]:
    """Return the readings and answers that sheets are compared by."""
    answers = [item for item in rubric.answers if item.formula is not None and not item.repeats]
    return (*numbers_of(rubric), *answers)


def signed_answers(rubric: Rubric) -> tuple[Item, ...]:
    """Return the answers that have a sign: those that stand once on a sheet, and columns of differences."""
    answers = [item for item in compared(rubric) if item.role is Role.ANSWER]
    return tuple(item for item in answers if item.table is None or is_difference(rubric, item))


def is_difference(rubric: Rubric, item: Item) -> bool:
    """Tell whether an answer is one reading less another: a rise, a fall, a titre, what is left.

    Authors set these out so that they come out above zero; the other way round, the two were exchanged.
    """
    tree = item.formula.tree if item.formula is not None else None
    if not isinstance(tree, Operation) or tree.sign != "-":
        return False
    sides = [rubric.items.get(side.name) for side in (tree.left, tree.right) if isinstance(side, Name)]
    return len(sides) == 2 and all(side is not None and is_reading(side) for side in sides)


def feature_items(rubric: Rubric) -> tuple[Item, ...]:
    """Return for each feature the item that it belongs to."""
    return tuple(item for item in compared(rubric) for _ in range(1 if item.table is None or is_on_scale(item) else 2))


def is_on_scale(item: Item) -> bool:
    """Tell whether a reading is a point on a scale, such as a temperature, and not an amount."""
    return item.table is None and item.role is Role.READING and bool(item.unit.offset)


def _is_nothing(number: Values) -> Bools:
    """Tell whether all that is there is zero, shape (variants, 1): a zero among others says nothing."""
    known = np.isfinite(number)
    return np.asarray(known.any(axis=1) & ~(known & (number != 0)).any(axis=1))[:, None]


def _nothing(item: Item) -> float:
    """Return the size that stands for zero: well below what the instrument can show; NaN for what has none."""
    return float(np.log(NOTHING * item.resolution)) if item.resolution is not None else np.nan


def _least(size: Values) -> Values:
    least = np.where(np.isfinite(size), size, np.inf).min(axis=1, keepdims=True)
    return np.asarray(np.where(np.isfinite(least), least, np.nan))


def spread_of(values: Values) -> float:
    """Return a robust standard deviation, infinite for fewer than two values."""
    values = values[np.isfinite(values)]
    return float(NORMAL_OF_MEDIAN * median(np.abs(values - median(values)))) if values.size > 1 else np.inf


def _steady_ratios(items: Sequence[Item], found: Values) -> tuple[tuple[int, int], ...]:
    """Return for each feature the other one, of the same kind of quantity, to which its ratio is steadiest."""
    if len(found) < FEWEST_FOR_RATIO:
        return ()
    alone = [spread_of(found[:, number]) for number in range(len(items))]
    best: dict[int, tuple[float, int]] = {}
    for one, other in itertools.combinations(range(len(items)), 2):
        first, second = items[one], items[other]
        if (
            first is second
            or is_on_scale(first)
            or is_on_scale(second)
            or first.unit.dimension != second.unit.dimension
        ):
            continue
        spread = spread_of(found[:, one] - found[:, other])
        if spread < STEADY * min(alone[one], alone[other]):
            for a, b in ((one, other), (other, one)):
                best[a] = min(best.get(a, (np.inf, b)), (spread, b))
    return tuple(sorted({(min(a, b), max(a, b)) for a, (_, b) in best.items()}))
