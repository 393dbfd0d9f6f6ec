"""What a slip of unit is called, and the facts its sentence quotes."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from marking.checking.answers import unit_used
from marking.checking.case import number_text, with_unit, written
from marking.checking.causes.wrong import Description, WrongAnswers
from rubrics.formulas import listed, printed
from rubrics.model import Item
from rubrics.units import NO_DIMENSION, Unit


class UnitWords:
    """Words for the slips of unit in one batch of wrong answers."""

    def __init__(self, wrong: WrongAnswers, names: list[str]) -> None:
        """Take the batch, and the *names* of the formula's inputs that have a unit."""
        self.wrong, self.names = wrong, names

    def left(self, names: tuple[str, ...]) -> Callable[[int], Description]:
        """Return the words for readings used in the units they were recorded in."""
        items = self.wrong.board.rubric.items

        def describe(position: int) -> Description:
            details, given, needed = [], [], []
            for name in names:
                item, entry = items[name], self.wrong.entry(position, name)
                unit = item.unit if entry is None else unit_used(item, entry)
                details.append(f"{name}: {unit.symbol} for {item.unit.symbol}")
                given.append(written(item, entry) if entry is not None else "")
                value = self.wrong.needed(name)[position]
                value = value[np.isfinite(value)]
                if value.size:
                    needed.append(with_unit(_plain(float(value[0])), item.unit.symbol))
            first = items[names[0]]
            entry = self.wrong.entry(position, names[0])
            unit = first.unit if entry is None else unit_used(first, entry)
            facts = {
                "input": " and ".join(items[name].quantity for name in names),
                "input_symbol": " and ".join(items[name].symbol for name in names),
                "given": listed(given),
                "needed": listed(needed),
                "given_unit": unit.symbol,
                "needed_unit": first.unit.symbol,
                "size": self._size(position),
            }
            if len(needed) == len(given) and len({items[name].unit.symbol for name in names}) == 1:
                facts["change"] = listed([f"{one} = {other}" for one, other in zip(given, needed, strict=True)])
            return "; ".join(details), facts

        return describe

    def label(self) -> Callable[[int], Description]:
        """Return the words for an answer in its own unit with the name of another beside it."""
        item = self.wrong.item

        def describe(position: int) -> Description:
            entry = self.wrong.entry(position, item.name)
            unit = item.unit if entry is None else unit_used(item, entry)
            facts = {
                "input": item.quantity,
                "input_symbol": item.symbol,
                "given_unit": unit.symbol,
                "needed_unit": item.unit.symbol,
                "size": self._size(position),
            }
            return f"{item.name}: {item.unit.symbol} called {unit.symbol}", facts

        return describe

    def step(self) -> Callable[[int], Description]:
        """Return the words for a last change of unit that was left out or done wrongly."""
        item = self.wrong.item
        # A percentage comes out of a plain number, whatever was divided by what.
        names = self.names if item.unit.dimension != NO_DIMENSION else []
        source = next((self.wrong.board.rubric.items[name].unit.symbol for name in names), "")
        facts = {
            "input": item.quantity,
            "input_symbol": item.symbol,
            "given_unit": source,
            "needed_unit": item.unit.symbol,
        }

        def describe(position: int) -> Description:
            return f"{item.name}: {source or 'a fraction'} to {item.unit.symbol}", facts | {
                "size": self._size(position)
            }

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

    def _size(self, position: int) -> str:
        return size_text(
            float(self.wrong.number[position]), float(self.wrong.right()[position] / self.wrong.scale[position])
        )


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
