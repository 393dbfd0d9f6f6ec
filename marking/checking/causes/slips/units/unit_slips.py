"""Slips of unit: a number left as it was recorded, converted wrongly, or called by the name of another unit.

A unit slip needs a unit that could slip. Where everything was recorded in the unit that the formula
needs, only a small share is left for one, and a bare power of ten is the better word.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import nearly
from marking.checking.causes.slips.units.unit_values import NOTHING_SHARE, Raw, UnitValues, nearly_without
from marking.checking.causes.slips.units.unit_words import si_unit
from marking.checking.causes.wrong import Hypothesis, Values, WrongAnswers, count_steps
from marking.findings import Cause

LEFT_SHARE = 0.70
"""Of slips where a unit had to be changed: left as it was."""
WRONG_WAY_SHARE = 0.08
WRONG_FACTOR_SHARE = 0.18
UNRECORDED_SHARE = 0.015
"""Of all unit slips: a reading in a unit that does not stand on the sheet."""
UNNEEDED_SHARE = 0.06
"""What is left of slips of units where the numbers as recorded lead straight to the unit that was written."""
CHANGED_BACK_SHARE = 0.4
"""The same where the item's own unit asks for a change there and another back: grams left as they are, and the answer
turned from J/(kg °C) into the J/(g °C) that it stands in already. Not where a point moves by one place; judged."""
ONE_KIND_WEIGHT = 2.0
"""All inputs of one quantity left as they were, beside one of them alone."""
LABEL_WEIGHT = 2.0
CALLED_SHARE = 0.1
"""Of slips of units: the right number in the unit of the sheet or in SI units, with the name of another beside it."""
SEVERAL_WEIGHT = 0.3
MOST_INPUTS = 4
WRONG_FACTORS = (0.1, 10.0, 0.01, 100.0)
HUNDRED_WEIGHT = 0.25
"""A factor that is wrong by a hundred, beside one that is wrong by ten."""
TWICE_WEIGHT = 0.5
"""A last change of unit that was done twice: times a million for a thousand."""
NO_PERCENT_SHARE = 1.0
"""Of percentages with a factor left out, those without their × 100, as often as all others together; judged."""


_SAME = 1e-6
"""Two factors are one, relative."""


def unit_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield every slip of unit, worked out for all the answers."""
    formula = wrong.item.formula
    if formula is None:
        return
    work = _Work(wrong)
    on_sheet = ((LEFT_SHARE, work.left), (WRONG_WAY_SHARE, work.wrong_way()))
    others = ((WRONG_FACTOR_SHARE, work.wrong_factor()), (UNRECORDED_SHARE, work.unrecorded()))
    short = work.short_of_last_step()
    steps = count_steps(formula.tree)
    back = work.may_be_changed_back()
    needed = np.where(work.as_it_stands, UNNEEDED_SHARE, 1.0)
    for share, raws in on_sheet:
        for slip in _settled(share * needed, work.told_apart(raws), steps):
            far = back & work.is_far(slip)
            own = slip.share * np.where(far, CHANGED_BACK_SHARE / UNNEEDED_SHARE, 1.0)
            # A point that slipped as far is not ruled out: a mark may hang on which of the two is certain.
            yield replace(slip, share=own, is_on_the_sheet=~work.as_it_stands, is_of_listed=far)
    for share, raws in others:
        found = _settled(share * needed, work.told_apart(raws), steps)
        yield from (replace(slip, is_by_factor=~work.as_it_stands) for slip in found)
    # A point may have slipped to the same number: the unit in which it is right comes first.
    for slip in _settled(CALLED_SHARE, work.called(), steps):
        yield replace(slip, is_on_the_sheet=slip.share > 0)
    for slip in _settled(CALLED_SHARE, work.called_by_listed(), steps):
        yield replace(slip, is_of_listed=slip.share > 0)
    # The same number as a point that slipped: a change of unit that had to be done comes first.
    found = _settled(WRONG_FACTOR_SHARE * needed, short, steps)
    yield from (replace(slip, is_on_the_sheet=~work.as_it_stands) for slip in found)
    if work.is_percentage:
        yield work.no_percentage(steps)


def _settled(share: Values | float, raws: list[Raw], steps: int) -> Iterator[Hypothesis]:
    if not raws:
        return
    total = np.sum([raw.weight for raw in raws], axis=0)
    for raw in raws:
        if raw.weight.any():
            part = share * raw.weight / np.where(total > 0, total, 1.0)
            yield Hypothesis(
                cause=Cause.UNIT_CONVERSION, share=part, predicted=raw.predicted, describe=raw.describe, steps=steps
            )


class _Work(UnitValues):
    def __init__(self, wrong: WrongAnswers) -> None:
        super().__init__(wrong)
        self.left = self._left()

    def _left(self) -> list[Raw]:
        """Return the slips in which one or more readings were used as they were recorded."""
        groups = list(self._groups({} if self.is_mixed else self.differs))
        worked = self.converted_each([{name: self.recorded[name] for name in chosen} for chosen, _ in groups])
        found = [
            Raw(weight, predicted, self.words.left(chosen))
            for (chosen, weight), predicted in zip(groups, worked, strict=True)
        ]
        other_label = ~nearly(self.wrong.scale, 1.0, 1e-9)
        if other_label.any():
            found.append(
                Raw(
                    other_label.astype(np.float64) * LABEL_WEIGHT,
                    self.plain * self.wrong.scale,
                    self.words.label(),
                )
            )
        if self.needs_last_step and not self.is_mixed and not self.is_percentage:
            found.append(Raw(np.ones(self.count), self.base / self.wrong.scale, self.words.step()))
        return found + self._left_beside_si()

    def no_percentage(self, steps: int) -> Hypothesis:
        """Return the plain number for a percentage: a factor was left out, and no point has moved."""
        description = (f"{self.wrong.item.name}: × 100 left out", {"missing": "the × 100"})
        return Hypothesis(
            cause=Cause.MISSING_FACTOR,
            share=np.full(self.count, NO_PERCENT_SHARE),
            predicted=self.base / self.wrong.scale,
            describe=lambda _: description,
            steps=steps,
            is_on_the_sheet=np.ones(self.count, np.bool_),
        )

    def called(self) -> list[Raw]:
        """Return the right number in the item's own unit, or in the SI unit, where another unit stands beside it."""
        wrong, found = self.wrong, []
        to_si = wrong.item.unit.factor
        for unit, factor in ((wrong.item.unit, 1.0), (si_unit(wrong.board.rubric, wrong.item), to_si)):
            other = ~nearly(wrong.scale * factor, 1.0, 1e-9)
            is_other = unit.factor != wrong.item.unit.factor and not self.is_percentage
            if other.any() and (unit is wrong.item.unit or is_other):
                predicted = self.plain * wrong.scale * factor
                found.append(Raw(other.astype(np.float64), predicted, self.words.label(unit)))
        return found

    def called_by_listed(self) -> list[Raw]:
        """Return the right number in another unit that the rubric lists for the answer: mmol called mol."""
        wrong, found = self.wrong, []
        for unit in wrong.item.recorded_in:
            ratio = wrong.item.unit.factor / unit.factor
            # What the formula gives without its last change of unit stands among the others.
            is_known = math.isclose(ratio, 1.0) or (self.has_last_unit and _is_one(self.last_step * ratio))
            other = ~nearly(wrong.scale, 1.0 / ratio, 1e-9) & (not is_known)
            if other.any():
                predicted = self.plain * wrong.scale * ratio
                # Readings that had to be changed and were left come first.
                left = [(raw.weight > 0) & nearly_without(predicted, raw.predicted) for raw in self.left]
                other &= ~np.any(left, axis=0) if left else True
                found.append(Raw(other.astype(np.float64), predicted, self.words.other_unit(wrong.item, unit)))
        return found

    def _left_beside_si(self) -> list[Raw]:
        """Return readings left as recorded by those who worked in SI units throughout: g with m³, called kg/m³."""
        found = []
        for chosen, weight in self._groups(self.differs_from_si):
            predicted = self.in_si_units({name: self.recorded[name] for name in chosen})
            # All of them left are what stands beside the last change of unit already.
            known = [self.base * self.last_step, self.base / self.wrong.scale] if not self.is_mixed else []
            is_new = ~np.any([nearly_without(predicted, one) for one in known], axis=0) if known else ~self._never()
            found.append(Raw(weight * is_new, predicted, self.words.left(chosen, to_si=True)))
        return found

    def _groups(self, differs: dict[str, NDArray[np.bool_]]) -> Iterator[tuple[tuple[str, ...], Values]]:
        """Yield readings that may have been left as recorded together, with their weights, shape (answers,)."""
        names = [name for name, differ in differs.items() if differ.any()][:MOST_INPUTS]
        for size in range(1, len(names) + 1):
            for chosen in itertools.combinations(names, size):
                mask = np.logical_and.reduce([differs[name] for name in chosen])
                if mask.any():
                    yield chosen, mask * (1.0 if size == 1 else self._group_weight(chosen, differs))

    def _group_weight(self, chosen: tuple[str, ...], differs: dict[str, NDArray[np.bool_]]) -> Values:
        """Return how likely it is that just these were left, beside one alone, shape (answers,)."""
        dimensions = {self.wrong.dimension(name) for name in chosen}
        others = [name for name in differs if name not in chosen and self.wrong.dimension(name) in dimensions]
        all_of_them = ~np.logical_or.reduce([differs[name] for name in others]) if others else ~self._never()
        return np.where(all_of_them & (len(dimensions) == 1), ONE_KIND_WEIGHT, SEVERAL_WEIGHT)

    def wrong_way(self) -> list[Raw]:
        """Return the slips in which a conversion was multiplied for divided."""
        found = []
        with np.errstate(all="ignore"):
            for name, mask in self._changed_singly():
                value = self.recorded[name] * (self.recorded[name] / self.needed[name])
                found.append(Raw(mask, self.converted({name: value}), self.words.wrongly(name)))
            for names, mask in self._changed_together():
                values = {one: self.recorded[one] * (self.recorded[one] / self.needed[one]) for one in names}
                found.append(Raw(mask, self.converted(values), self.words.left(names)))
            for name, mask in self._changed_to_si():
                value = self.recorded[name] * (self.recorded[name] / self.si[name])
                found.append(Raw(mask, self.in_si_units({name: value}), self.words.wrongly(name, to_si=True)))
            other_label = ~nearly(self.wrong.scale, 1.0, 1e-9)
            if other_label.any():
                predicted = self.plain * self.wrong.scale**2
                found.append(Raw(other_label.astype(np.float64), predicted, self.words.label()))
            if self.has_last_unit:
                predicted = self.base / self.last_step / self.wrong.scale
                found.append(Raw(np.ones(self.count), predicted, self.words.step()))
        return found

    def _changed_singly(self) -> list[tuple[str, Values]]:
        """Return each reading that had to be changed into the unit of the sheet, and for whom, shape (answers,)."""
        differs = {} if self.is_mixed else self.differs
        return [(name, mask.astype(np.float64)) for name, mask in differs.items() if mask.any()]

    def _changed_together(self) -> list[tuple[tuple[str, ...], Values]]:
        """Return all readings of one quantity, where there are several and all had to be changed, and for whom."""
        differs = {} if self.is_mixed else self.differs
        found = []
        for dimension in dict.fromkeys(self.wrong.dimension(name) for name in differs):
            names = tuple(name for name in differs if self.wrong.dimension(name) == dimension)
            mask = np.logical_and.reduce([differs[name] for name in names])
            if len(names) > 1 and mask.any():
                found.append((names, mask.astype(np.float64)))
        return found

    def _changed_to_si(self) -> list[tuple[str, Values]]:
        """Return the same of those who worked in SI units."""
        return [(name, mask.astype(np.float64)) for name, mask in self.differs_from_si.items() if mask.any()]

    def wrong_factor(self) -> list[Raw]:
        """Return the slips in which a conversion went by 100 for 1000 and the like."""
        found = []
        by_tens = [(name, mask * self._is_by_tens(name)) for name, mask in self._changed_singly()]
        by_factors = [{name: self.needed[name] * factor} for factor in WRONG_FACTORS for name, _ in by_tens]
        worked = iter(self.converted_each(by_factors))
        for factor in WRONG_FACTORS:
            weight = 1.0 if factor in WRONG_FACTORS[:2] else HUNDRED_WEIGHT
            for name, mask in by_tens:
                found.append(Raw(mask * weight, next(worked), self.words.wrongly(name)))
            for name, mask in self._changed_to_si() if self.is_mixed else []:
                predicted = self.in_si_units({name: self.si[name] * factor})
                found.append(Raw(mask * weight, predicted, self.words.wrongly(name, to_si=True)))
        if self.has_last_unit:
            # The wrong way, and by one ten less: divided by 100 for times 1000.
            less = 10.0 if self.last_step > 1.0 else 0.1
            predicted = self.base / self.last_step * less / self.wrong.scale
            found.append(Raw(np.full(self.count, HUNDRED_WEIGHT), predicted, self.words.step()))
            # Further than it should go: by one more ten, or the whole of it once more.
            by_ten = 10.0 if self.last_step > 1.0 else 0.1
            for factor, weight in ((by_ten, 1.0), (self.last_step, TWICE_WEIGHT)):
                predicted = self.base * self.last_step * factor / self.wrong.scale
                found.append(Raw(np.full(self.count, weight), predicted, self.words.step()))
        return found + self._as_lengths() + self._answers_as_lengths()

    def _is_by_tens(self, name: str) -> Values:
        """Tell where a reading was to be changed by a power of ten, shape (answers,): nobody takes 360 for 3600."""
        with np.errstate(all="ignore"):
            power = np.log10(np.abs(self.recorded[name] / self.needed[name]))
            steady = np.where(np.isfinite(power), np.abs(power - np.rint(power)), 0.0).max(axis=1)
        return np.asarray(steady < NOTHING_SHARE, np.float64)

    def _answers_as_lengths(self) -> list[Raw]:
        """Return an area or volume out of lengths as they were recorded, changed by the factor of a length or area."""
        power = self._power_of_length(self.wrong.item.name)
        found = []
        alone = [((name,), mask) for name, mask in self._changed_singly() if len(self.differs) == 1]  # a cube of it
        for names, mask in [*self._changed_together(), *alone] if power else []:
            left, right = self.converted({name: self.recorded[name] for name in names}), self.converted({})
            with np.errstate(all="ignore"):
                ratio = np.abs(right / left)
                mask = mask * _is_whole(np.log10(ratio) / power)
                for part in range(1, power):
                    words = self.words.left(names) if len(names) > 1 else self.words.wrongly(names[0])
                    found.append(Raw(mask, left * ratio ** (part / power), words))
        return found

    def _as_lengths(self) -> list[Raw]:
        """Return areas and volumes that were changed by the factor of a length or an area: cm³ to m³ by 100."""
        found = []
        for to_si, needed, changed, value in (
            (False, self.needed, self._changed_singly(), self.converted),
            (True, self.si, self._changed_to_si(), self.in_si_units),
        ):
            for name, mask in changed:
                power = self._power_of_length(name)
                with np.errstate(all="ignore"):
                    ratio = needed[name] / self.recorded[name]
                for part in range(1, power):
                    predicted = value({name: self.recorded[name] * ratio ** (part / power)})
                    found.append(Raw(mask, predicted, self.words.wrongly(name, to_si=to_si)))
        return found

    def _power_of_length(self, name: str) -> int:
        """Return 2 for an area, 3 for a volume, else 0."""
        length, *others = self.wrong.dimension(name)
        return length if length in (2, 3) and not any(others) else 0

    def short_of_last_step(self) -> list[Raw]:
        """Return the slips in which the last change of unit went part of the way: times 100 for times 1000."""
        return [
            Raw(np.ones(self.count), self.base * self.last_step * factor / self.wrong.scale, self.words.step())
            for factor in WRONG_FACTORS
            if self.has_last_unit and self._falls_short(factor)
        ]

    def _falls_short(self, factor: float) -> bool:
        return (factor < 1.0) == (self.last_step > 1.0)

    def unrecorded(self) -> list[Raw]:
        """Return the slips into a unit that is usual for the quantity, though it does not stand on the sheet."""
        items = self.wrong.board.rubric.items
        units = [
            (items[name], unit)
            for name in self.names
            for unit in items[name].recorded_in[1:]
            if unit.offset == items[name].unit.offset and unit.factor != items[name].unit.factor
        ]
        changes = [{item.name: self.needed[item.name] * (item.unit.factor / unit.factor)} for item, unit in units]
        # Changed as if it stood in that unit, seconds by 60. By a thousand a point moves, and nobody can tell.
        known = [(item, unit) for item, unit in units if not _is_by_tens(unit.factor / item.unit.factor)]
        changes += [{item.name: self.needed[item.name] * (unit.factor / item.unit.factor)} for item, unit in known]
        words = [self.words.other_unit(item, unit) for item, unit in units]
        words += [self.words.changed_in_vain(item, unit) for item, unit in known]
        return [
            Raw((~self.differs[item.name]).astype(np.float64), predicted, describe)
            for (item, _), predicted, describe in zip(
                [*units, *known], self.converted_each(changes), words, strict=True
            )
        ]


def _is_one(ratio: float) -> bool:
    return abs(ratio - 1.0) <= _SAME


def _is_by_tens(ratio: float) -> bool:
    power = math.log10(ratio)
    return math.isclose(power, round(power), abs_tol=_SAME)


def _is_whole(power: Values) -> NDArray[np.bool_]:
    return np.asarray(np.isfinite(power) & (np.abs(power - np.rint(power)) < _SAME))
