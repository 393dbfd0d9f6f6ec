"""What a slip of unit is called, and the facts its sentence quotes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from functools import lru_cache

import numpy as np

from marking.checking.answers import unit_used
from marking.checking.case import number_text, with_unit, written
from marking.checking.causes.wrong import Description, WrongAnswers
from rubrics.faults import UnitError
from rubrics.formulas import PI, Name, Node, Number, Power, factors, listed, printed
from rubrics.model import Item, Rubric
from rubrics.units import NO_DIMENSION, Dimension, Unit, define_unit

COHERENT = (
    "m", "m²", "m³", "kg", "s", "A", "K", "mol", "N", "Pa", "J", "W", "C", "V", "Ω", "Hz", "m/s", "m/s²", "kg/m³",
    "N/m", "mol/m³", "m³/s", "kg/s", "1/m",
)  # fmt: skip
"""Units that fit together without a factor, as schools write them; SI Brochure, 9th edition, tables 2, 4 and 5."""


class UnitWords:
    """Words for the slips of unit in one batch of wrong answers."""

    def __init__(self, wrong: WrongAnswers, names: list[str]) -> None:
        """Take the batch, and the *names* of the formula's inputs that have a unit."""
        self.wrong, self.names = wrong, names
        self.own_unit = unit_of_formula(wrong.board.rubric, wrong.item, names, wrong.last_step())

    def left(self, names: tuple[str, ...], *, to_si: bool = False) -> Callable[[int], Description]:
        """Return the words for readings used in the units they were recorded in.

        Args:
            names: Of the readings.
            to_si: They had to be in SI units, not in those that the sheet works in.
        """
        items = self.wrong.board.rubric.items
        wanted = {name: self._wanted(items[name], to_si=to_si) for name in names}

        def describe(position: int) -> Description:
            details, given, needed = [], [], []
            for name in names:
                item, entry = items[name], self.wrong.entry(position, name)
                details.append(f"{name}: {self._recorded_unit(position, name)} for {wanted[name].symbol}")
                is_on_page = entry is not None and self.wrong.is_as_written(name)[position]
                given.append(written(item, entry) if entry is not None and is_on_page else "")
                value = self.wrong.needed(name)[position]
                value = value[np.isfinite(value)]
                if value.size:
                    number = float(value[0]) * item.unit.factor / wanted[name].factor
                    needed.append(with_unit(_plain(number), wanted[name].symbol))
            facts = {
                "input": " and ".join(items[name].quantity for name in names),
                "input_symbol": " and ".join(items[name].symbol for name in names),
                "given": listed(given) if all(given) else "",
                "needed": listed(needed) if all(given) else "",
                "given_unit": self._recorded_unit(position, names[0]),
                "needed_unit": wanted[names[0]].symbol,
                "size": self._size(position),
            }
            if len(needed) == len(given) and len({unit.symbol for unit in wanted.values()}) == 1 and all(given):
                facts["change"] = listed([f"{one} = {other}" for one, other in zip(given, needed, strict=True)])
            return "; ".join(details), facts

        return describe

    def wrongly(self, name: str, *, to_si: bool = False) -> Callable[[int], Description]:
        """Return the words for a reading that was changed into the needed unit, but wrongly."""
        item = self.wrong.board.rubric.items[name]
        wanted = self._wanted(item, to_si=to_si)

        def describe(position: int) -> Description:
            facts = {
                "changed": item.quantity,
                "given_unit": self._recorded_unit(position, name),
                "needed_unit": wanted.symbol,
                "size": self._size(position),
            }
            return f"{name}: {facts['given_unit']} to {wanted.symbol}", facts

        return describe

    def _recorded_unit(self, position: int, name: str) -> str:
        item, entry = self.wrong.board.rubric.items[name], self.wrong.entry(position, name)
        return (item.unit if entry is None else unit_used(item, entry)).symbol

    def _wanted(self, item: Item, *, to_si: bool) -> Unit:
        return si_unit(self.wrong.board.rubric, item) if to_si else item.unit

    def label(self, own: Unit | None = None) -> Callable[[int], Description]:
        """Return the words for an answer in its *own* unit, that of the item or another, with the name of a third."""
        item = self.wrong.item
        right = item.unit if own is None else own

        def describe(position: int) -> Description:
            entry = self.wrong.entry(position, item.name)
            unit = item.unit if entry is None else unit_used(item, entry)
            facts = {
                "input": item.quantity,
                "input_symbol": item.symbol,
                "given_unit": unit.symbol,
                "needed_unit": right.symbol,
                "size": self._size(position),
            }
            return f"{item.name}: {right.symbol} called {unit.symbol}", facts

        return describe

    def step(self) -> Callable[[int], Description]:
        """Return the words for a last change of unit that was left out or done wrongly."""
        item = self.wrong.item
        source = self.own_unit
        facts = {
            "input": item.quantity,
            "input_symbol": item.symbol,
            "given_unit": source,
            "needed_unit": item.unit.symbol,
        }

        def describe(position: int) -> Description:
            return f"{item.name}: {source} to {item.unit.symbol}", facts | {"size": self._size(position)}

        return describe

    def other_unit(self, item: Item, unit: Unit) -> Callable[[int], Description]:
        """Return the words for *item* in *unit*, which does not stand on the sheet."""

        def describe(position: int) -> Description:
            facts = {
                "input": item.quantity,
                "input_symbol": item.symbol,
                "given_unit": unit.symbol,
                "needed_unit": item.unit.symbol,
                "size": self._size(position),
            }
            return f"{item.name}: {unit.symbol} for {item.unit.symbol}", facts

        return describe

    def changed_in_vain(self, item: Item, unit: Unit) -> Callable[[int], Description]:
        """Return the words for *item* changed as if it stood in *unit*, though it stands in its own."""

        def describe(position: int) -> Description:
            entry = self.wrong.entry(position, item.name)
            used = float(self.wrong.recorded(item.name)[position, 0]) * unit.factor / item.unit.factor
            facts = {
                "given": with_unit(number_text(used), item.unit.symbol),
                "needed": written(item, entry) if entry is not None else "",
            }
            return f"{item.name}: {item.unit.symbol} changed as {unit.symbol}", facts

        return describe

    def _size(self, position: int) -> str:
        return size_text(
            float(self.wrong.number[position]), float(self.wrong.right()[position] / self.wrong.scale[position])
        )


def si_unit(rubric: Rubric, item: Item) -> Unit:
    """Return the SI unit of the quantity of *item*; its own unit where none has a name here."""
    own = [unit for one in rubric.items.values() for unit in (one.unit, *one.recorded_in)]
    return next((unit for unit in (*own, *_coherent()) if _is_si(unit, item.unit.dimension)), item.unit)


def _is_si(unit: Unit, dimension: Dimension) -> bool:
    return unit.dimension == dimension and unit.factor == 1.0 and not unit.offset


@lru_cache(maxsize=1)
def _coherent() -> tuple[Unit, ...]:
    return tuple(define_unit(symbol) for symbol in COHERENT)


def unit_of_formula(rubric: Rubric, item: Item, names: list[str], last_step: float) -> str:
    """Return the unit of *item*'s quantity that its formula's number stands in; '' where that has no plain name.

    Args:
        rubric: Of the item.
        item: The answer, with a formula.
        names: The formula's inputs that have a unit.
        last_step: What the formula's number is multiplied by to stand in the item's unit.
    """
    if item.formula is None or item.unit.dimension == NO_DIMENSION:
        return ""
    inputs = [rubric.items[name].unit for name in names]
    made = _made_of(item.formula.tree, {name: one.unit.symbol for name, one in rubric.items.items()})
    for unit in [*inputs, *made]:
        may_be = unit.dimension == item.unit.dimension and not unit.offset
        if may_be and np.isclose(unit.factor, item.unit.factor * last_step, rtol=1e-6):
            return unit.symbol
    return ""


def _made_of(tree: Node, units: Mapping[str, str]) -> list[Unit]:
    """Return the unit of a formula that is a power of one unit, or one unit by another: mm³, g/cm³; else nothing."""
    powers: Counter[str] = Counter()
    for part, side in factors(tree):
        base, power = (part.base, part.exponent) if isinstance(part, Power) else (part, 1)
        if isinstance(base, Name) and units.get(base.name):
            powers[units[base.name]] += side * power
        elif not (isinstance(base, Number) or (isinstance(base, Name) and base.name in (PI, *units))):
            return []
    above = [(unit, power) for unit, power in powers.items() if power > 0]
    below = [(unit, -power) for unit, power in powers.items() if power < 0]
    if len(above) != 1 or len(below) > 1:
        return []
    text = "/".join(unit if power == 1 else f"{unit}^{power}" for unit, power in above + below)
    try:
        return [define_unit(text)]
    except UnitError:
        return []


def size_text(answer: float, right: float) -> str:
    """Return how far off an answer is: '1000 times too small', or '' where no whole power of ten says it."""
    if not (np.isfinite(right) and right and answer):
        return ""
    ratio = abs(answer / right)
    power = round(float(np.log10(ratio)))
    if power == 0 or abs(np.log10(ratio) - power) > 0.05:
        return ""
    times = number_text(10.0 ** abs(power), 1).removeprefix("1 × ")  # 10⁶, not 1 × 10⁶
    return f"{times} times too {'big' if power > 0 else 'small'}"


def _plain(value: float) -> str:
    return printed(float(f"{value:.5g}"))
