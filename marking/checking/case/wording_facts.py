"""What a sentence may quote from one finding: the student's own figures, ready to print.

Only facts are made here; every sentence stands in ``reports/wording``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache

from marking.checking.answers import entry_at, unit_used
from marking.write_up import Entry, State, WriteUp
from rubrics.formulas import Call, Formula, grouped, listed, printed, printed_equation, printed_text, walk
from rubrics.model import Item, Rubric

SHOWN_FIGURES = 3
"""Figures of a value that we work out and print; a school answer has two or three."""
MOST_PLACES = 6
"""Decimal places of a student's number beyond which a power of ten is easier to read."""
EXPECTED, READINGS, WORKING = "expected", "readings", "working"
WORKED_FACTS = frozenset({EXPECTED, READINGS, WORKING})
"""Facts of a formula that are worked out from one student's figures."""
LEAST_CONVERTED = 4
"""Figures of a reading that we convert by a factor that is no power of ten, such as kWh to J."""


def number_text(value: float, figures: int = SHOWN_FIGURES) -> str:
    """Return *value* to *figures* significant figures, halves away from zero, as a person would write it."""
    return printed(value, figures)


def with_unit(number: str, unit: str) -> str:
    """Return a number and its unit, with the space that a unit takes."""
    return f"{number} {unit}" if unit else number


def written(item: Item, entry: Entry) -> str:
    """Return what stands in *entry*, exactly as written, with the unit beside it where it had a cell of its own."""
    raw = entry.raw.strip()
    beside = entry.unit_raw.strip()
    if item.is_words or not beside or raw.endswith(beside):
        return raw
    return with_unit(raw, beside)


def symbols(rubric: Rubric) -> Mapping[str, str]:
    """Return the printed symbol of every item and constant."""
    return {name: item.symbol for name, item in rubric.items.items()} | {
        name: constant.symbol for name, constant in rubric.constants.items()
    }


def place_name(item: Item, row: int | None) -> str:
    """Return the quantity, with its row where it stands in a table: 'resistance, row 3'."""
    return item.quantity if row is None else f"{item.quantity}, row {row}"


def basic_facts(item: Item, row: int | None, entry: Entry | None) -> dict[str, str]:
    """Return the facts that every sentence about one item may quote."""
    facts = {"quantity": place_name(item, row), "symbol": item.symbol, "unit": item.unit.symbol}
    if entry is not None and entry.raw.strip():
        facts["wrote"] = written(item, entry)
    return facts


def equation_fact(rubric: Rubric, item: Item) -> dict[str, str]:
    """Return the formula of an answer as it is printed; nothing where it has none."""
    if item.formula is None:
        return {}
    known = ((name, rubric.constants.get(name) or rubric.items.get(name)) for name in item.formula.names)
    names = tuple((name, one.symbol) for name, one in known if one is not None)
    return {"formula": _equation(item.symbol, item.formula, names)}


@lru_cache(maxsize=1024)  # a practical has a handful
def _equation(symbol: str, formula: Formula, names: tuple[tuple[str, str], ...]) -> str:
    return printed_equation(symbol, formula, dict(names))


def formula_facts(
    rubric: Rubric,
    write_up: WriteUp,
    item: Item,
    row: int | None,
    expected: float | None,
    unit: str,
    worked_out: Mapping[str, float],
) -> dict[str, str]:
    """Return formula, readings, working and the value they lead to, where they can be told.

    Args:
        rubric: The practical.
        write_up: The student's.
        item: An answer with a formula.
        row: Its row, None for a single item.
        expected: What the figures lead to, in *unit*.
        unit: Symbol of the unit that the student wrote (or of the item).
        worked_out: Earlier answers that the value does not follow from, as they should be, in their own units.
    """
    made = {
        name: formula_fact(name, rubric, write_up, item, row, expected, unit, worked_out)
        for name in (EXPECTED, READINGS, WORKING)
    }
    return equation_fact(rubric, item) | {name: fact for name, fact in made.items() if fact}


def formula_fact(
    name: str,
    rubric: Rubric,
    write_up: WriteUp,
    item: Item,
    row: int | None,
    expected: float | None,
    unit: str,
    worked_out: Mapping[str, float],
) -> str:
    """Return one of WORKED_FACTS, empty where it cannot be told; the arguments are those of ``formula_facts``."""
    if item.formula is None:
        return ""
    if name == EXPECTED:
        return "" if expected is None else with_unit(number_text(expected), unit)
    make = _readings if name == READINGS else _working
    return make(rubric, item.formula, _inputs(rubric, write_up, item.formula, row, worked_out), worked_out)


def _inputs(
    rubric: Rubric, write_up: WriteUp, formula: Formula, row: int | None, worked_out: Mapping[str, float]
) -> dict[str, Entry | None]:
    """Return what stands written for each name of a formula, None for what is not, or is worked out here."""
    names = [name for name in formula.names if name in rubric.items]
    return {name: None if name in worked_out else _entry(rubric, write_up, name, row) for name in names}


def _readings(
    rubric: Rubric, formula: Formula, entries: Mapping[str, Entry | None], worked_out: Mapping[str, float]
) -> str:
    if _uses_columns(formula):
        return f"your columns {' and '.join(rubric.items[name].symbol for name in entries)}"
    texts = {name: written(rubric.items[name], entry) for name, entry in entries.items() if entry is not None}
    texts |= {name: with_unit(number_text(value), rubric.items[name].unit.symbol) for name, value in worked_out.items()}
    used = [f"{rubric.items[name].symbol} = {texts[name]}" for name in entries if texts.get(name)]
    return listed(used) if used else ""


def _working(
    rubric: Rubric, formula: Formula, entries: Mapping[str, Entry | None], worked_out: Mapping[str, float]
) -> str:
    if _uses_columns(formula):
        return ""
    numbers = {name: _number_in_item_unit(rubric.items[name], entry) for name, entry in entries.items()}
    numbers |= {name: number_text(value) for name, value in worked_out.items()}
    numbers |= {name: _constant_text(c.values[0]) for name, c in rubric.constants.items() if name in formula.names}
    if not all(numbers.values()):
        return ""
    return printed_text(formula.tree, {name: text for name, text in numbers.items() if text})


@lru_cache(maxsize=1024)
def _uses_columns(formula: Formula) -> bool:
    return any(isinstance(node, Call) and node.columns for node in walk(formula.tree))


def _entry(rubric: Rubric, write_up: WriteUp, name: str, row: int | None) -> Entry | None:
    item = rubric.items[name]
    return entry_at(item, write_up, row or 1 if item.table is not None else 1)


def _constant_text(value: float) -> str:
    """Return a constant with the figures that the rubric gives it: 4184, 9.8, 3 × 10⁸."""
    digits = len(Decimal(repr(float(value))).normalize().as_tuple().digits)
    return number_text(value, min(digits, MOST_PLACES))


def _number_in_item_unit(item: Item, entry: Entry | None) -> str | None:
    """Return the number as it goes into the formula: as written, or converted to the item's unit."""
    if entry is None or entry.state is not State.NUMBER or entry.value is None:
        return None
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
