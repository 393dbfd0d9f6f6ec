"""The numbers that slips of units are made of: readings as needed, as recorded and in SI units, for all the answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import nearly
from marking.checking.causes.slips.units.unit_words import UnitWords
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers
from rubrics.units import NO_DIMENSION

FAR_PLACES = 1.5
"""A point moves by one place much more often than by several."""
NOTHING_SHARE = 2e-3
"""How near an answer is to one without a term, for nothing of the term to be seen."""


class Raw(Struct, frozen=True):
    """A hypothesis before its share is settled."""

    weight: Values
    predicted: Values
    describe: Callable[[int], Description]


class UnitValues:
    """One item's wrong answers, and what its formula comes to with readings in other units."""

    def __init__(self, wrong: WrongAnswers) -> None:
        """Work out what all slips share."""
        formula = wrong.item.formula
        assert formula is not None
        self.wrong, self.tree = wrong, formula.tree
        items = wrong.board.rubric.items
        self.names = [n for n in formula.names if n in items and items[n].unit.dimension != NO_DIMENSION]
        self.needed = {name: wrong.needed(name) for name in formula.names if name in items} | wrong.constants()
        self.recorded = {name: wrong.recorded(name) for name in self.names}
        self.differs = {name: differ(self.recorded[name], self.needed[name]) for name in self.names}
        self.count = len(wrong)
        base = self.value({})
        # How far the formula's own number lies from the item's unit: 1000 for kg/m³ out of g/cm³.
        self.last_step = wrong.last_step()
        self.base = base
        self.words = UnitWords(wrong, self.names)
        whole = self.value(self.recorded)
        # Millimetres to cubic millimetres: nothing was there to be converted.
        self.as_it_stands = np.isclose(whole, wrong.right() / wrong.scale, rtol=1e-6) if self.names else self._never()
        self.needs_last_step = not 0.5 < self.last_step < 2.0
        # The 100 of a percentage is left out, and is never another number.
        self.has_last_unit = self.needs_last_step and bool(self.words.own_unit)
        # Millimetres and g/cm³ to pascal seconds: no last change of unit has a name, so each reading is changed first.
        is_pure = wrong.item.unit.dimension == NO_DIMENSION
        self.is_percentage = self.needs_last_step and is_pure
        self.is_mixed = self.needs_last_step and not is_pure and not self.words.own_unit
        items = wrong.board.rubric.items
        self.si = {name: self.needed[name] * items[name].unit.factor for name in self.names}
        self.in_si = self._in_si()
        self.differs_from_si = {
            name: self.in_si & differ(self.recorded[name], self.si[name]) for name in self.names if self.in_si.any()
        }
        self.plain = self._in_unit_written(base)
        self.without = self._without_a_term()

    def _never(self) -> NDArray[np.bool_]:
        return np.zeros(self.count, np.bool_)

    def may_be_changed_back(self) -> NDArray[np.bool_]:
        """Tell where the sheet's way goes through other units than those that were recorded and written."""
        differs = self.differs_from_si if self.is_mixed else self.differs
        changed = np.logical_or.reduce([self._never(), *differs.values()])
        return np.asarray(self.as_it_stands & changed & ~nearly(self.wrong.scale, 1.0, 1e-9))

    def is_far(self, slip: Hypothesis) -> NDArray[np.bool_]:
        """Tell where a slip leads farther away than a point slips by one place."""
        with np.errstate(all="ignore"):
            power = np.abs(np.log10(np.abs(slip.predicted * self.wrong.scale / self.wrong.right())))
        return np.asarray(power > FAR_PLACES)

    def value(self, changed: Mapping[str, Values]) -> Values:
        """Return the formula's own number with some readings *changed*, shape (answers,)."""
        values = self.wrong.evaluated(self.tree, {**self.needed, **changed})
        return np.broadcast_to(values, (self.count, values.shape[1]))[:, 0]

    def converted(self, changed: Mapping[str, Values]) -> Values:
        """Return the answer with some readings *changed*, in the unit that was written, shape (answers,)."""
        return self._in_unit_written(self.value(changed))

    def converted_each(self, changes: Sequence[Mapping[str, Values]]) -> Values:
        """Return the same for each of several *changes*, shape (changes, answers)."""
        return self._in_unit_written(self.wrong.value_each(self.tree, changes))

    def _in_unit_written(self, value: Values) -> Values:
        step = self.last_step if self.needs_last_step else 1.0
        return np.asarray(value * step / self.wrong.scale)

    def told_apart(self, raws: list[Raw]) -> list[Raw]:
        """Return *raws* without those that leave a term next to nothing: such an answer shows a term left out."""
        if not self.without or not raws:
            return raws
        predicted = np.array([raw.predicted for raw in raws])
        shows = ~np.any([self._hides(predicted, one) for one in self.without], axis=0)
        return [replace(raw, weight=raw.weight * own) for raw, own in zip(raws, shows, strict=True)]

    def _without_a_term(self) -> list[Values]:
        """Return what the formula gives without one of its readings, where that is anything, each (answers,).

        A term of a sum is gone at 0; the smaller of two, or a way beside another, where it is without bounds.
        """
        with np.errstate(all="ignore"):
            without = self.converted_each(
                [{name: gone * self.needed[name]} for name in self.names for gone in (0.0, np.inf)]
            )
            is_any = (np.isfinite(without) & (without != 0.0)).any(axis=1)
        return list(without[is_any])

    def _hides(self, predicted: Values, without: Values) -> NDArray[np.bool_]:
        """Tell where an answer does not tell what is *predicted* from what comes out *without* a term."""
        low, high = self.wrong.rounded()
        return np.asarray(nearly_without(predicted, without) & (low <= without) & (without <= high))

    def in_si_units(self, changed: dict[str, Values]) -> Values:
        """Return what comes out of the readings in SI units, some of them *changed*, in the unit that was written."""
        return self.value({**self.si, **changed}) / (self.wrong.scale * self.wrong.item.unit.factor)

    def _in_si(self) -> NDArray[np.bool_]:
        """Return who answered in SI units where the sheet works in others; all where its units do not fit together."""
        if self.is_mixed:
            return ~self._never()
        in_si = nearly(self.wrong.scale * self.wrong.item.unit.factor, 1.0, 1e-9)
        return np.asarray(in_si & (self.needs_last_step | ~nearly(self.wrong.scale, 1.0, 1e-9)))


def nearly_without(predicted: Values, without: Values) -> NDArray[np.bool_]:
    """Tell where a number is hardly another than the one *without* a term."""
    with np.errstate(all="ignore"):
        return np.asarray((without != 0.0) & nearly(predicted, without, NOTHING_SHARE))


def differ(recorded: Values, needed: Values) -> NDArray[np.bool_]:
    """Tell for each answer whether an input was recorded in another unit than the formula needs."""
    with np.errstate(all="ignore"):
        there = np.isfinite(recorded) & np.isfinite(needed)
        return np.asarray((there & ~nearly(recorded, needed, 1e-9)).any(axis=1))
