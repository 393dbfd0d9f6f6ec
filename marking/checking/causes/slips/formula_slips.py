"""Slips of the formula: worked on the numbers that the student held, in every unit they may have held them in."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import nearly
from marking.checking.causes.slips.formulas import WrongFormula, wrong_formulas
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers
from rubrics.units import NO_DIMENSION, Dimension

NEEDED_SHARE = 0.7
"""Of those who use a wrong formula, so many still convert their readings as the formula needs them."""
LEFT_ALONE_SHARE = 0.2
"""Or they convert some and leave one as it was recorded."""
SI_SHARE = 0.5
"""Of those who answer in SI units where the sheet works in others, those who convert every reading first."""
SYSTEM_SHARE = 0.7
"""Of those who write another unit of the quantity, those who first put their readings into the units it is made of."""
MOST_INPUTS = 4
SAME, NOISE = 1e-6, 1e-8
"""How near two numbers are that are one: relative, and where both are next to nothing."""
CONVERTED_LABEL_SHARE = 0.5
"""Where another unit of the quantity was written: as a conversion, or only as a name for the number."""
LAST_STEP_SHARE = 0.8
"""Of those who use a wrong formula, those who still put in the last factor, such as 100 for a percentage."""
WRITTEN_SHARE = 0.05
"""What is left of something left out inside an earlier answer that stands on the page."""


def formula_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield every wrong formula, worked out for all the answers."""
    formulas = wrong_formulas(wrong.board.rubric, wrong.item)
    if formulas:
        yield from _Held(wrong, formulas).hypotheses()


class _Way(Struct, frozen=True):
    """The numbers that a student may have put into a wrong formula."""

    values: Mapping[str, Values]
    weight: Values | None = None
    """How often they are, shape (answers,); None where that depends on the formula."""
    is_in_unit_written: bool = False
    """Whether what comes out is in the unit that was written, and not in that of the item."""


class _Held:
    """The numbers that the students held, in each unit they may have held them in."""

    def __init__(self, wrong: WrongAnswers, formulas: Sequence[WrongFormula]) -> None:
        self.wrong, self.formulas = wrong, formulas
        self.rubric = wrong.board.rubric
        items = sorted({name for one in formulas for name in one.names if name in self.rubric.items})
        constants = wrong.constants()
        self.needed: Mapping[str, Values] = {name: wrong.needed(name) for name in items} | constants
        self.recorded: Mapping[str, Values] = {name: wrong.recorded(name) for name in items} | constants
        self.other_label = ~nearly(wrong.scale, 1.0, 1e-9)
        self.dimension_codes: dict[Dimension, int] = {}
        self.written = np.array([self._dimension_code(one) for one in wrong.dimensions_written()], np.int64)
        self.left_alone = self._left_alone(items)
        factors = {name: self.rubric.items[name].unit.factor for name in items}
        self.si = {name: self.needed[name] * factors[name] for name in items} | constants
        # The sheet's own units may ask for a change at the end: cm³ beside mol/dm³. Or the student's did.
        is_turned = wrong.last_step() != 1.0 and wrong.item.unit.dimension != NO_DIMENSION
        self.other_system = self.other_label | is_turned
        self.systems = list(self._systems())
        self.ways = np.maximum(np.sum([mask for _, mask in self.systems], axis=0), 1) if self.systems else 1
        self.other_constants: list[Mapping[str, Values]] = [
            {**self.needed, one.name: np.full((1, 1), value)}
            for one in self.rubric.constants.values()
            for value in one.values[1:]
        ]
        self.in_si = self.other_label & nearly(wrong.scale * wrong.item.unit.factor, 1.0, 1e-9)

    def hypotheses(self) -> Iterator[Hypothesis]:
        """Yield every formula with every way of holding its numbers."""
        ways = self._ways()
        predicted, part = self._with_last_step(ways, *self._held(ways))
        for at, one in enumerate(self.formulas):
            if one.takes_either_sign:
                predicted[at] = np.copysign(predicted[at], self.wrong.number)
        converted = np.where(self.other_label, CONVERTED_LABEL_SHARE, 1.0)
        labels = [(part * converted, predicted / self.wrong.scale)]
        if (converted < 1.0).any():
            labels.append((part * (1.0 - converted), predicted))
        is_used = np.asarray(part.any(axis=2))
        for at, one in enumerate(self.formulas):
            words, agrees = _words(one.description), self._unit_agrees(one)
            for way in np.flatnonzero(is_used[at]).tolist():
                for share, value in labels:
                    yield Hypothesis(
                        cause=one.cause,
                        share=share[at, way],
                        predicted=value[at, way],
                        describe=words,
                        steps=one.steps,
                        dimension_agrees=agrees,
                    )

    def _held(self, ways: Sequence[_Way]) -> tuple[Values, Values]:
        """Return what every formula comes to and how often it is used so, each of shape (formulas, ways, answers)."""
        predicted = self._worked(ways)
        needed, recorded = predicted[:, 0], predicted[:, 1]
        differs = np.isfinite(recorded) & ~nearly(recorded, needed, 1e-9)
        share, part = self._shares(), np.empty(predicted.shape)
        part[:, 0] = np.where(differs, NEEDED_SHARE, 1.0) * share / (1 + len(self.other_constants))
        part[:, 1] = np.where(differs, 1.0 - NEEDED_SHARE, 0.0) * share
        part[:, 2:][:, : len(self.other_constants)] = part[:, :1]
        for number, way in enumerate(ways):
            if way.weight is not None:
                part[:, number] = way.weight * share
            if way.is_in_unit_written:
                predicted[:, number] *= self.wrong.scale
        return predicted, part

    def _ways(self) -> list[_Way]:
        """Return how the numbers may have been held: as needed and as recorded first, then with other constants."""
        found = [_Way(self.needed), _Way(self.recorded), *map(_Way, self.other_constants)]
        # Shared by how many readings the student may have left so, whoever stands beside.
        count = np.maximum(np.sum([mask for _, mask in self.left_alone], axis=0), 1)
        for values, mask in self.left_alone:
            found.append(_Way(values, np.where(mask, LEFT_ALONE_SHARE / count, 0.0)))
        if self.in_si.any():
            found.append(_Way(self.si, np.where(self.in_si, SI_SHARE, 0.0), is_in_unit_written=True))
        for values, mask in self.systems:
            found.append(_Way(values, np.where(mask, SYSTEM_SHARE / self.ways, 0.0), is_in_unit_written=True))
        return found

    def _worked(self, ways: Sequence[_Way]) -> Values:
        """Return every formula worked out on the numbers of all *ways*, side by side where they are no columns."""
        found, together = np.empty((len(self.formulas), len(ways), len(self.wrong))), self._side_by_side(ways)
        same = [next(at for at, other in enumerate(ways) if _are_same(other.values, way.values)) for way in ways]
        for at, one in enumerate(self.formulas):
            if together is not None and not one.takes_columns:
                found[at] = self.wrong.evaluated(one.tree, together).T
                continue
            if one.takes_columns and self.wrong.item.table is None:
                # Whole columns are gone through once: readings are mostly recorded as they are needed.
                new = sorted(set(same))
                worked = self.wrong.value_each(one.tree, [ways[number].values for number in new])
                found[at] = worked[[new.index(number) for number in same]]
                continue
            for number, way in enumerate(ways):
                is_new = same[number] == number
                found[at, number] = (
                    _flat(self.wrong.evaluated(one.tree, way.values), len(self.wrong))
                    if is_new
                    else found[at, same[number]]
                )
        return found

    def _side_by_side(self, ways: Sequence[_Way]) -> Mapping[str, Values] | None:
        """Return each name's numbers, a column a way where ways differ; None where a name stands for whole columns."""
        found = {}
        for name, first in self.needed.items():
            columns = [way.values[name] for way in ways]
            if any(column.shape[1] != 1 for column in columns):
                return None
            is_same = all(column is first for column in columns)
            whole = [np.broadcast_to(column, (len(self.wrong), 1)) for column in columns]
            found[name] = first if is_same else np.concatenate(whole, axis=1)
        return found

    def _shares(self) -> Values:
        """Return the share of each formula: hardly any where what it leaves out was done on the page."""
        share = np.tile(np.array([one.share for one in self.formulas])[:, None], len(self.wrong))
        for at, one in enumerate(self.formulas):
            if one.inside:
                share[at] *= np.where(self.wrong.is_written(one.inside), WRITTEN_SHARE, 1.0)
        return share

    def _with_last_step(self, ways: Sequence[_Way], predicted: Values, part: Values) -> tuple[Values, Values]:
        """Return the same, with the last factor (100 for a percentage) put in, and as often left out.

        Numbers that lead straight to the unit that was written need none.
        """
        step = self.wrong.last_step()
        if step == 1.0:
            return predicted, part
        both = [part * LAST_STEP_SHARE, part * (1.0 - LAST_STEP_SHARE)]
        is_last = np.array([[one.has_last_step for one in self.formulas]]).T | [way.is_in_unit_written for way in ways]
        steps = np.where(is_last, 1.0, step)[..., None]
        return np.concatenate([predicted * steps, predicted], axis=1), np.concatenate(both, axis=1)

    def _dimension_code(self, dimension: Dimension | None) -> int:
        """Return a number for the dimension of the unit beside an answer, -1 where there is none."""
        return -1 if dimension is None else self.dimension_codes.setdefault(dimension, len(self.dimension_codes))

    def _systems(self) -> Iterator[tuple[Mapping[str, Values], NDArray[np.bool_]]]:
        """Yield the numbers of those who work in the units that lead straight to the one they write: V and mA to kΩ."""
        formula, wrong = self.wrong.item.formula, self.wrong
        names = [name for name in formula.names if name in self.rubric.items] if formula else []
        if formula is None or not self.other_system.any() or len(names) > MOST_INPUTS:
            return
        if any(name not in self.needed for name in names):  # a line's columns are not put into a wrong formula
            return
        right = wrong.right() / wrong.scale
        own = [self.rubric.items[name].unit for name in names]
        for units in itertools.product(*(self.rubric.items[name].recorded_in for name in names)):
            changed = [
                (name, mine.factor / unit.factor)
                for name, mine, unit in zip(names, own, units, strict=True)
                if unit.factor != mine.factor and unit.offset == mine.offset
            ]
            if not changed:
                continue
            values = {**self.needed, **{name: self.needed[name] * factor for name, factor in changed}}
            worked = _flat(wrong.evaluated(formula.tree, values), len(wrong))
            fits = self.other_system & _leads_to(worked, right)
            if fits.any():
                yield values, fits

    def _left_alone(self, items: list[str]) -> list[tuple[Mapping[str, Values], NDArray[np.bool_]]]:
        """Return the cases in which one reading was left as recorded and others were converted."""
        differs = {name: _differ(self.recorded[name], self.needed[name]).any(axis=1) for name in items}
        several = np.sum(list(differs.values()), axis=0) > 1 if differs else np.zeros(0, np.bool_)
        return [
            ({**self.needed, name: self.recorded[name]}, mask & several)
            for name, mask in differs.items()
            if (mask & several).any()
        ]

    def _unit_agrees(self, one: WrongFormula) -> NDArray[np.bool_] | None:
        """Tell beside which answers a unit of the wrong formula's own quantity stands; None where beside none."""
        code = self.dimension_codes.get(one.dimension) if one.dimension is not None else None
        return None if code is None else self.written == code


def _words(description: Description) -> Callable[[int], Description]:
    return lambda _: description


def _leads_to(worked: Values, right: Values) -> NDArray[np.bool_]:
    """Tell where numbers are one, as ``numpy.isclose`` tells it, at a fifth of its cost."""
    with np.errstate(all="ignore"):
        near = np.abs(worked - right) <= NOISE + SAME * np.abs(right)
        return np.asarray((near & np.isfinite(right)) | (worked == right))


def _differ(recorded: Values, needed: Values) -> NDArray[np.bool_]:
    return np.asarray(~(nearly(recorded, needed, 1e-9) | (np.isnan(recorded) & np.isnan(needed))))


def _are_same(values: Mapping[str, Values], others: Mapping[str, Values]) -> bool:
    return all(
        value is others[name] or np.array_equal(value, others[name], equal_nan=True) for name, value in values.items()
    )


def _flat(values: Values, count: int) -> Values:
    return np.broadcast_to(values, (count, values.shape[1]))[:, 0]
