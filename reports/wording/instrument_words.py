"""Instruments, their smallest steps and units in words, as they stand on paper before the lesson."""

from __future__ import annotations

import re

from reports.wording.templates import fill, wording
from rubrics.formulas import printed
from rubrics.model import Item, Rubric
from rubrics.units import Unit

_BLANK_SIGNS = 11
"""Of a gap for a number."""
_WORD = re.compile(r"\w+")
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
    """Return quantity and symbol, 'resistance, R'; the quantity alone where it holds the words of the symbol."""
    symbol = symbol_words(item)
    letters = set(_WORD.findall(symbol.lower()))
    if symbol in item.quantity.split() or (letters and letters <= set(_WORD.findall(item.quantity.lower()))):
        symbol = ""
    return fill(wording("results_sheet")["labels"]["item"], {"quantity": item.quantity, "symbol": symbol})


def graph_lines(rubric: Rubric) -> list[str]:
    """Return a line to finish by hand for each axis and for the two points that are read off the drawn line."""
    if rubric.graph is None:
        return []
    words, blank = wording("results_sheet")["graph"], "_" * _BLANK_SIGNS
    x, y = rubric.items[rubric.graph.x], rubric.items[rubric.graph.y]
    slots = {"x": symbol_words(x), "y": symbol_words(y), "blank": blank}
    lines = []
    if rubric.graph.axes:
        for one, end in ((x, 0), (y, 3)):
            start, square = (rubric.items[rubric.graph.axes[end + place]] for place in (0, 2))
            units = {"unit": start.unit.symbol, "square": square.unit.symbol}
            lines.append(fill(words["axis"], slots | {"symbol": symbol_words(one)} | units))
    if rubric.graph.read_off:
        lines.append(fill(words["points"], slots))
    return lines


def is_on_graph(rubric: Rubric, item: Item) -> bool:
    """Tell whether an item is written down in one of the `graph_lines`."""
    return rubric.graph is not None and item.name in (*rubric.graph.axes, *rubric.graph.read_off)
