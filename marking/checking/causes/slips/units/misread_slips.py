"""Slips in what a reading stands for: 10:30 taken for 10.30 minutes, nanometres taken for micrometres."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import nearly
from marking.checking.case import number_text, with_unit, written
from marking.checking.causes.slips.units.unit_words import si_unit, size_text
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers, count_steps, stacked
from marking.findings import Cause
from rubrics.formulas import times_ten_to
from rubrics.model import Item
from rubrics.units import NO_DIMENSION, Unit, define_unit

CLOCK_SHARE = 0.5
"""Of slips of units where a time was written as minutes and seconds; judged."""
SECONDS = 60.0
_CLOCK = re.compile(r"\s*(\d+) ?(?::|m|mins?|minutes?|['′]) ?([0-5]?\d)(?!\d)")
PREFIXES = {-12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M", 9: "G"}
"""SI Brochure, 9th edition, table 7: the prefixes that schools use, by their power of ten."""
NEIGHBOUR_SHARE = 0.06
"""Of slips of units: the prefix of a reading taken for its neighbour; judged."""
ALONE = 0.3
"""What is left of it in one answer by itself: a point that slipped by three places prints the same; judged."""
FEWEST_ROWS = 3
MOST = 0.75
"""A column of which nearly all rows are off by the same thousand was worked out by one rule: no point has moved."""
_SAME = 1e-6
_AS_PRINTED = 0.03
"""How near a thousand times the right answer is, relative, to be told as that of a whole column."""


def clock_slips(wrong: WrongAnswers) -> Iterator[Hypothesis]:
    """Yield every time that was written as minutes and seconds, its seconds taken for decimals of a minute."""
    formula, items = wrong.item.formula, wrong.board.rubric.items
    for name in formula.names if formula is not None else ():
        item = items.get(name)
        if formula is None or item is None or item.unit.dimension != define_unit("s").dimension:
            continue
        if wrong.needed(name).shape[1] != 1:
            continue  # a whole column for one answer
        used = _taken_as_decimals(wrong, item)
        if np.isfinite(used).any():
            predicted = wrong.worked(formula.tree, {name: used})
            yield Hypothesis(
                cause=Cause.UNIT_CONVERSION,
                share=np.where(np.isfinite(used[:, 0]), CLOCK_SHARE, 0.0),
                predicted=predicted,
                describe=_words_of_clock(wrong, item, used),
                steps=count_steps(formula.tree),
            )


def _taken_as_decimals(wrong: WrongAnswers, item: Item) -> Values:
    """Return 10.30 minutes for 10:30 as a number in the unit of *item*, NaN elsewhere; shape (answers, 1).

    Where the answer is one for each minute, for 630 s too.
    """
    used = np.full((len(wrong), 1), np.nan)
    for position in range(len(wrong)):
        entry = wrong.entry(position, item.name)
        match = _CLOCK.match(entry.raw) if entry is not None else None
        if match is not None:
            used[position, 0] = (int(match[1]) + int(match[2]) / 100.0) * SECONDS / item.unit.factor
    if math.isclose(wrong.item.unit.factor * SECONDS, 1.0):
        seconds = wrong.needed(item.name) * item.unit.factor
        minutes, left = np.divmod(seconds, SECONDS)
        is_split = (wrong.recorded(item.name) == seconds) & (minutes > 0) & (left > 0) & (left == np.round(left))
        used = np.where(np.isnan(used) & is_split, (minutes + left / 100.0) * SECONDS / item.unit.factor, used)
    return used


def _words_of_clock(wrong: WrongAnswers, item: Item, used: Values) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        entry = wrong.entry(position, item.name)
        minutes = with_unit(number_text(float(used[position, 0]) * item.unit.factor / SECONDS), "min")
        given = written(item, entry) if entry is not None else ""
        given_unit = "min and s" if _CLOCK.match(given) else "s"
        facts = {"changed": item.quantity, "given_unit": given_unit, "needed_unit": item.unit.symbol, "size": ""}
        return f"{item.name}: {minutes} for {given}", facts

    return describe


def prefix_slips(wrong: WrongAnswers, units: Sequence[Hypothesis]) -> Iterator[Hypothesis]:
    """Yield what comes out where a prefix was taken for the next, unless one of the slips of *units* comes to the same.

    A reading that was to be changed from its prefix, and whose unit is nothing else beside it, may be taken so.
    """
    formula = wrong.item.formula
    if formula is None:
        return
    items = wrong.board.rubric.items
    inputs = [items[name] for name in formula.names if name in items and items[name].unit.dimension != NO_DIMENSION]
    kinds = Counter(item.unit.dimension for item in inputs)
    # Of several lengths nobody takes one alone for something else.
    single = [item for item in inputs if kinds[item.unit.dimension] == 1 and _prefixed(item)]
    found = [(item, power, _is_written_with_prefix(wrong, item, power)) for item in single for power in (-3, 3)]
    found = [one for one in found if one[2].any()]
    if not found:
        return
    whole = wrong.value(formula.tree, {item.name: wrong.recorded(item.name) for item in inputs})
    # Millivolts by milliamperes: nothing had to be changed.
    has_to_be_changed = ~nearly(whole, wrong.right() / wrong.scale, _SAME)
    share = stacked([one.share for one in units], len(wrong))
    others = stacked([one.predicted for one in units], len(wrong))
    for item, power, is_prefixed in found:
        predicted = wrong.worked(formula.tree, {item.name: wrong.needed(item.name) * 10.0**power})
        is_told = (nearly(predicted, others, _SAME) & (share > 0)).any(axis=0)
        may = has_to_be_changed & is_prefixed & np.isfinite(predicted) & ~is_told
        if not may.any():
            continue
        by_one_rule = _is_whole_column(wrong, predicted)
        yield Hypothesis(
            cause=Cause.UNIT_CONVERSION,
            share=np.where(may, NEIGHBOUR_SHARE / len(inputs), 0.0) * np.where(by_one_rule, 1.0, ALONE),
            predicted=predicted,
            describe=_words_of_prefix(wrong, item, power),
            steps=count_steps(formula.tree),
            is_on_the_sheet=may & by_one_rule,
        )


def _prefixed(item: Item) -> dict[float, str]:
    """Return the units in which an item may be recorded that are a prefix and a plain unit: factor to symbol."""
    return {unit.factor: unit.symbol for unit in (item.unit, *item.recorded_in) if _power(unit)}


def _power(unit: Unit) -> int:
    """Return the power of ten of a unit's prefix; 0 where it has none, or is more than a prefix and a plain unit."""
    power = round(math.log10(unit.factor)) if unit.factor > 0 else 0
    is_prefix = power in PREFIXES and math.isclose(unit.factor, 10.0**power, rel_tol=_SAME)
    return power if is_prefix and unit.symbol.isalpha() and unit.symbol.startswith(PREFIXES[power] or " ") else 0


def _is_written_with_prefix(wrong: WrongAnswers, item: Item, power: int) -> NDArray[np.bool_]:
    """Tell where a reading stands on the page in a unit that has a neighbour by *power*, shape (answers,)."""
    cells = wrong.board.cells[item.name]
    has_neighbour = [one for one, symbol in _prefixed(item).items() if _neighbour(one, symbol, power)]
    rows = wrong.rows if item.table is not None and wrong.item.table is not None else np.zeros_like(wrong.rows)
    factor = cells.factor[wrong.students, rows]
    near = [nearly(factor, one, _SAME) for one in has_neighbour]
    return np.asarray(np.any(near, axis=0) if near else np.zeros(len(wrong), np.bool_))


def _neighbour(factor: float, symbol: str, power: int) -> str:
    """Return the symbol with the prefix beside its own, '' where it has no prefix there."""
    own = round(math.log10(factor))
    other = PREFIXES.get(own + power)
    return "" if other is None else other + symbol.removeprefix(PREFIXES[own])


def _is_whole_column(wrong: WrongAnswers, predicted: Values) -> NDArray[np.bool_]:
    """Tell for whom nearly all that is written of a column is off as *predicted*, shape (answers,)."""
    cells = wrong.board.cells[wrong.item.name]
    count = np.isfinite(cells.number).sum(axis=1)
    so = np.bincount(wrong.students, weights=nearly(wrong.number, predicted, _AS_PRINTED), minlength=count.size)
    return np.asarray((so >= FEWEST_ROWS) & (so >= MOST * count))[wrong.students]


def _words_of_prefix(wrong: WrongAnswers, item: Item, power: int) -> Callable[[int], Description]:
    symbols = _prefixed(item)

    def describe(position: int) -> Description:
        entry = wrong.entry(position, item.name)
        row = int(wrong.rows[position]) if item.table is not None and wrong.item.table is not None else 0
        factor = float(wrong.board.cells[item.name].factor[int(wrong.students[position]), row])
        symbol = next(own for one, own in symbols.items() if math.isclose(one, factor, rel_tol=_SAME))
        taken, own = _neighbour(factor, symbol, power), round(math.log10(factor))
        given = written(item, entry) if entry is not None else ""
        facts = {
            "changed": item.quantity,
            "given": given,
            "taken": given.removesuffix(symbol) + taken if given.endswith(symbol) else "",
            "prefix": f"1 {symbol} is {times_ten_to(own).removeprefix(' × ')} {symbol.removeprefix(PREFIXES[own])}",
            "given_unit": symbol,
            "needed_unit": _wanted(wrong, item, factor).symbol,
            "size": size_text(float(wrong.number[position]), float(wrong.right()[position] / wrong.scale[position])),
        }
        return f"{item.name}: {taken} for {symbol}", facts

    return describe


def _wanted(wrong: WrongAnswers, item: Item, factor: float) -> Unit:
    """Return the unit into which a reading was to be changed: that of the sheet, or the SI unit."""
    is_own = math.isclose(item.unit.factor, factor, rel_tol=_SAME)
    return si_unit(wrong.board.rubric, item) if is_own else item.unit
