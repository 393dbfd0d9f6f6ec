"""What sentences quote of a formula: as it is printed, with the student's own readings, and worked out with them.

What is the same for every student is made once; the rest when a sentence asks for it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal

from marking.cells import unplaced_at
from marking.checking.answers import is_counted, unit_used, unplaced_entry
from marking.checking.case.wording_facts import MOST_PLACES, number_text, with_unit, written
from marking.write_up import Entry, State, WriteUp
from rubrics.formulas import (
    Call,
    Minus,
    Name,
    Node,
    Operation,
    grouped,
    listed,
    printed,
    printed_equation,
    printed_text,
    walk,
)
from rubrics.model import Item, Rubric

LEAST_CONVERTED = 4
"""Figures of a reading that we convert by a factor that is no power of ten, such as kWh to J."""
_NOTHING: Mapping[int, Entry] = {}
WHOLE = ("rank", "count")
"""Functions that give a place in a row or a number of things, which has no decimal places."""


class FormulaWords:
    """What sentences quote of one answer's formula, for any student of a practical."""

    __slots__ = ("_column_text", "_constants", "_quoted", "_tree", "equation", "inputs", "is_sum", "is_whole")

    def __init__(self, rubric: Rubric, item: Item) -> None:
        """Make ready what does not depend on the student."""
        formula = item.formula
        names = () if formula is None else formula.names
        self.inputs = tuple(rubric.items[name] for name in names if name in rubric.items)
        """The items in the formula."""
        known = ((name, rubric.constants.get(name) or rubric.items.get(name)) for name in names)
        symbols = {name: one.symbol for name, one in known if one is not None}
        self._quoted = [(one.name, one.table is not None, f"{one.symbol} = ", one) for one in self.inputs]
        self.equation = "" if formula is None else printed_equation(item.symbol, formula, symbols)
        """The formula as it is printed; empty where there is none."""
        self._tree = None if formula is None else formula.tree
        nodes = [] if self._tree is None else walk(self._tree)
        uses_columns = any(isinstance(node, Call) and node.columns for node in nodes)
        counts = isinstance(self._tree, Call) and self._tree.function in WHOLE
        self.is_whole = counts or is_counted(rubric, item)
        """Whether what it gives is counted, and printed as it stands: 3, and 2.5 of two that share a rank."""
        self.is_sum = isinstance(self._tree, Operation | Minus) and _is_sum(self._tree)
        """Whether it adds and subtracts and nothing else: what it gives has no more places than what went in."""
        self._column_text = _columns([one.symbol for one in self.inputs]) if uses_columns else ""
        self._constants = {n: _constant_text(c.values[0]) for n, c in rubric.constants.items() if n in names}

    def readings(self, write_up: WriteUp, row: int | None, worked_out: Mapping[str, float]) -> str:
        """Return what goes into the formula, as it was written: 'V = 1.2 V and I = 0.40 A'; empty where nothing was.

        Args:
            write_up: The student's.
            row: The row of the answer, None for a single item.
            worked_out: Earlier answers that the value does not follow from, as they should be, in their own units.
        """
        if self._column_text or self._tree is None:
            return self._column_text
        found, columns, at = [], write_up.columns, row or 1
        for name, is_column, start, item in self._quoted:
            if worked_out and name in worked_out:
                text = with_unit(number_text(worked_out[name]), item.unit.symbol)
            else:
                entry = (
                    unplaced_at(columns.get(name, _NOTHING), at) if is_column else unplaced_at(write_up.singles, name)
                )
                text = "" if entry is None else written(item, entry)
            if text:
                found.append(start + text)
        return listed(found)

    def working(self, write_up: WriteUp, row: int | None, worked_out: Mapping[str, float]) -> str:
        """Return the formula with the student's numbers in it; empty where one of them is not there.

        The arguments are those of ``readings``.
        """
        if self._column_text or self._tree is None:
            return ""
        numbers = dict(self._constants)
        for item in self.inputs:
            value = worked_out.get(item.name)
            text = _number_in_item_unit(item, _entry(item, write_up, row)) if value is None else number_text(value)
            if not text:
                return ""
            numbers[item.name] = text
        return printed_text(self._tree, numbers) if all(numbers.values()) else ""


def _is_sum(tree: Node) -> bool:
    match tree:
        case Name():
            return True
        case Minus(term):
            return _is_sum(term)
        case Operation("+" | "-", left, right):
            return _is_sum(left) and _is_sum(right)
        case _:
            return False


def _columns(symbols: list[str]) -> str:
    """Return whole columns as a sentence names them; of one column its values, so that a verb behind it stays."""
    return f"your columns {listed(symbols)}" if len(symbols) > 1 else f"your values of {''.join(symbols)}"


def _entry(item: Item, write_up: WriteUp, row: int | None) -> Entry | None:
    return unplaced_entry(item, write_up, row or 1 if item.table is not None else 1)


def _constant_text(value: float) -> str:
    """Return a constant with the figures that the rubric gives it: 4184, 9.8, 3 × 10⁸."""
    digits = len(Decimal(repr(float(value))).normalize().as_tuple().digits)
    return number_text(value, min(digits, MOST_PLACES))


def _number_in_item_unit(item: Item, entry: Entry | None) -> str:
    """Return the number as it goes into the formula: as written, or converted to the item's unit; empty for none."""
    if entry is None or entry.state is not State.NUMBER or entry.value is None:
        return ""
    unit = unit_used(item, entry)
    finest = (entry.last_place or (0, 0))[0]
    figures = max(1, Decimal(repr(entry.value)).adjusted() - finest + 1)
    value = item.unit.from_si(unit.to_si(entry.value))
    ratio = unit.factor / item.unit.factor
    if math.isclose(ratio, 1.0):
        if -finest > MOST_PLACES:
            return number_text(value, figures)
        return grouped(f"{value:.{max(0, -finest)}f}".replace("-", "−"))
    if math.isclose(ratio, 10.0 ** round(math.log10(ratio))):  # the point moves, the figures stay: 500 mA is 0.500 A
        return number_text(value, figures)
    return printed(float(f"{value:.{max(figures, LEAST_CONVERTED)}g}"))
