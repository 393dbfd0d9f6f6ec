"""Slips with minutes and seconds: 10:30 taken for 10.30 minutes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import numpy as np

from marking.checking.case import number_text, with_unit
from marking.checking.causes.wrong import Description, Hypothesis, Values, WrongAnswers, count_steps
from marking.findings import Cause
from rubrics.model import Item
from rubrics.units import define_unit

CLOCK_SHARE = 0.5
"""Of slips of units where a time was written as minutes and seconds; judged."""
SECONDS = 60.0
_CLOCK = re.compile(r"\s*(\d+):([0-5]\d)\b")


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
                describe=_words(wrong, item, used),
                steps=count_steps(formula.tree),
            )


def _taken_as_decimals(wrong: WrongAnswers, item: Item) -> Values:
    """Return 10.30 minutes for 10:30 as a number in the unit of *item*, NaN elsewhere; shape (answers, 1)."""
    used = np.full((len(wrong), 1), np.nan)
    for position in range(len(wrong)):
        entry = wrong.entry(position, item.name)
        match = _CLOCK.match(entry.raw) if entry is not None else None
        if match is not None:
            used[position, 0] = (int(match[1]) + int(match[2]) / 100.0) * SECONDS / item.unit.factor
    return used


def _words(wrong: WrongAnswers, item: Item, used: Values) -> Callable[[int], Description]:
    def describe(position: int) -> Description:
        entry = wrong.entry(position, item.name)
        minutes = with_unit(number_text(float(used[position, 0]) * item.unit.factor / SECONDS), "min")
        facts = {"changed": item.quantity, "given_unit": "min and s", "needed_unit": item.unit.symbol, "size": ""}
        return f"{item.name}: {minutes} for {entry.raw.strip() if entry is not None else ''}", facts

    return describe
