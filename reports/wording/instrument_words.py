"""Instruments, their smallest steps and units in words, as they stand on paper before the lesson."""

from __future__ import annotations

from reports.wording.sentences import fill, wording
from rubrics.formulas import printed
from rubrics.model import Item
from rubrics.units import Unit

_EASY_STEP = 0.01
"""A smaller step is told in the next unit: 1 g, not 0.001 kg."""


def reading_unit(item: Item) -> Unit:
    """Return the unit in which the instrument's smallest step is an easy number; the item's own where that will do."""
    if item.resolution is None or item.resolution >= _EASY_STEP:
        return item.unit
    easy = (
        unit
        for unit in item.recorded_in
        if unit.change_from_si(item.unit.change_to_si(item.resolution)) >= 0.999 * _EASY_STEP
    )
    return next(easy, item.unit)


def step_words(item: Item) -> str:
    """Return the smallest step of the instrument with its unit, '0.5 °C'; empty where none is given."""
    if item.resolution is None:
        return ""
    unit = reading_unit(item)
    step = float(f"{unit.change_from_si(item.unit.change_to_si(item.resolution)):.6g}")
    return f"{printed(step)} {unit.symbol}".strip()


def instrument_words(item: Item) -> str:
    """Return what an item is read off, 'balance, to 0.1 g'; empty where the rubric does not say."""
    return fill(wording("results_sheet")["labels"]["step"], {"instrument": item.instrument, "step": step_words(item)})


def other_unit(item: Item) -> str:
    """Return 'or g' where the instrument reads in another unit than the formulas work in; else empty."""
    unit = reading_unit(item)
    if unit.symbol == item.unit.symbol:
        return ""
    return fill([wording("results_sheet")["labels"]["other_unit"]], {"unit": unit.symbol})


def symbol_words(item: Item) -> str:
    """Return the symbol as it stands on paper: a name that nobody gave a symbol is plain words."""
    return item.symbol.replace("_", " ")


def item_words(item: Item) -> str:
    """Return quantity and symbol, 'resistance, R'; the quantity alone where it holds the symbol."""
    symbol = symbol_words(item)
    if symbol in item.quantity.split() or symbol == item.quantity:
        symbol = ""
    return fill(wording("results_sheet")["labels"]["item"], {"quantity": item.quantity, "symbol": symbol})
