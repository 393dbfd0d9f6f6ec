"""How answers get onto the sheet from a student's own readings, by the formulas of the rubric."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rubrics.formulas import Formula, Name, Node, Operation, walk
from rubrics.model import Blank, Item, Role
from samples.arithmetic import work_out
from samples.bench_slips import Wrong, wrong_ways
from samples.desk import Desk, note, spellings, unit_factor
from samples.habits import PLAIN, number_of, places_for

SHARE_OTHER_UNIT = 0.15
SHARE_BLANK = 0.02
SHARE_UNIT_WRONG = 0.02
TOO_MANY = 5
"""An answer with so many figures has too many of them."""


def answer_all(desk: Desk, slip_rate: float, *, uses_other_ways: bool = False) -> None:
    """Work every answer out that can be worked out, and write most of them down."""
    for item in desk.rubric.answers:
        formula = item.formula
        if formula is None or not _is_asked(desk, item):
            continue
        if uses_other_ways and item.also:
            formula = desk.chance.choice((formula, *item.also))
        rows: list[int | None] = [None]
        if item.table is not None:
            rows = list(range(max((len(c) for c in desk.si.values() if isinstance(c, list)), default=0)))
        right = {row: value for row in rows if (value := _value(desk, formula, row)) is not None}
        if right:
            _answer(desk, item, formula, right, slip_rate)


def _is_asked(desk: Desk, item: Item) -> bool:
    """Tell whether the answer is one of this student's kind."""
    criteria = [one for one in desk.rubric.criteria if item.name in one.items]
    return not criteria or any(not one.when or desk.kind in one.when for one in criteria)


def _is_optional(desk: Desk, item: Item) -> bool:
    has_marks = any(item.name in one.items and desk.kind in one.when for one in desk.rubric.criteria)
    return item.blank is Blank.TEACHER and not has_marks


def _value(desk: Desk, formula: Formula, row: int | None) -> float | None:
    try:
        value = work_out(formula.tree, desk.numbers(row))
    except (KeyError, ValueError, ZeroDivisionError):
        return None
    return value if math.isfinite(value) else None


def _answer(desk: Desk, item: Item, formula: Formula, right: dict[int | None, float], slip_rate: float) -> None:
    chance, habits = desk.chance, desk.habits
    in_unit = {row: value / item.unit.factor for row, value in right.items()}
    share_blank = habits.leaves_out if _is_optional(desk, item) else SHARE_BLANK if slip_rate else 0.0
    left_out = chance.random() < share_blank
    wrong = wrong_ways(desk, item, formula, in_unit) if not left_out and chance.random() < slip_rate else None
    symbol = item.unit.symbol if wrong else _unit_of(desk, item, formula)
    factor = unit_factor(item, symbol)
    values = {row: (wrong.values.get(row, value) if wrong else value) for row, value in in_unit.items()}
    texts = _texts(desk, item, formula, symbol, {row: value * factor for row, value in values.items()}, wrong)
    spelt = _unit_text(desk, item, symbol, slip_rate=0.0 if wrong or left_out else slip_rate)
    if wrong:
        row = next(iter(wrong.values)) if len(wrong.values) == 1 else None
        desk.work.plant(item.name, "value", wrong.cause, wrong.detail, None if row is None else row + 1)
        if row is not None:
            desk.odd |= {row}
    elif not left_out and any(len(_digits(text)) >= TOO_MANY for text in texts.values()):
        desk.work.plant(item.name, "figures", "significant-figures", "as many as the calculator shows")
        if len({len(text.partition(".")[2]) for text in texts.values()}) > 1:
            desk.work.plant(item.name, "places", "significant-figures", "zeros that the calculator does not show")
    for row, text in texts.items():
        written, value = number_of(text) / factor, right[row] / item.unit.factor
        is_wrong = wrong is not None and row in wrong.values
        goes_on = written if is_wrong or (habits.carries_written and not left_out) else value
        unit = "" if desk.unit_once and row else spelt
        note(desk, item, row, (text, unit), goes_on, number_of(text))
    if left_out:
        del desk.work.cells[item.name]


def _unit_of(desk: Desk, item: Item, formula: Formula) -> str:
    """Return the unit of a right answer: that of the readings for a difference, else most often the usual one."""
    shared = _difference_unit(desk, item, formula.tree)
    if shared is not None:
        return shared
    offered = desk.data.given.get(item.name, (item.unit.symbol,))
    is_other = len(offered) > 1 and desk.chance.random() < SHARE_OTHER_UNIT
    return desk.chance.choice(offered[1:]) if is_other else offered[0]


def _difference_unit(desk: Desk, item: Item, node: Node) -> str | None:
    match node:
        case Operation("-" | "+", Name(first), Name(second)):
            items = [desk.rubric.items.get(name) for name in (first, second)]
            if any(one is None or one.role is not Role.READING for one in items):
                return None
            factors = {desk.ways[name].factor for name in (first, second)}
            known = [one.symbol for one in (item.unit, *item.recorded_in)]
            own = [one for one in known if len(factors) == 1 and unit_factor(item, one) in factors]
            return own[0] if own else None
        case _:
            return None


def _texts(
    desk: Desk, item: Item, formula: Formula, symbol: str, values: dict[int | None, float], wrong: Wrong | None
) -> dict[int | None, str]:
    """Return the answers as they are written: a difference with the places of its readings, all else with figures."""
    if wrong is not None and wrong.texts:
        return {row: wrong.texts.get(row, desk.habits.text(value, 3)) for row, value in values.items()}
    if _difference_unit(desk, item, formula.tree) == symbol:
        first = next(node.name for node in walk(formula.tree) if isinstance(node, Name))
        return {row: desk.habits.to_places(value, desk.ways[first].decimals) for row, value in values.items()}
    is_display = desk.chance.random() < desk.habits.copies_display and wrong is None
    figures = None if is_display else desk.habits.figures
    is_plain = all(value == 0 or abs(value) > PLAIN[0] for value in values.values())
    if desk.habits.has_places and figures is not None and item.table is not None and is_plain:
        places = places_for(list(values.values()), figures)
        return {row: desk.habits.to_places(value, places) for row, value in values.items()}
    return {row: desk.habits.text(value, figures) for row, value in values.items()}


def _unit_text(desk: Desk, item: Item, symbol: str, *, slip_rate: float) -> str:
    if not symbol:
        return ""
    chance = desk.chance
    # Without its unit, or with a wrong one, a value in another unit than the usual one would be wrong as well.
    is_usual = slip_rate > 0 and symbol == item.unit.symbol
    if is_usual and chance.random() < desk.habits.forgets_units:
        desk.work.plant(item.name, "unit", "unit-missing", "")
        return ""
    if is_usual and chance.random() < SHARE_UNIT_WRONG:
        other = chance.choice(sorted(_other_units(desk, item)))
        desk.work.plant(item.name, "unit", "unit-wrong", other)
        return other
    return chance.choice(spellings(symbol))


def _other_units(desk: Desk, item: Item) -> Iterator[str]:
    """Yield units of other quantities of this practical."""
    for other in desk.rubric.items.values():
        if other.unit.symbol and other.unit.dimension != item.unit.dimension:
            yield other.unit.symbol


def _digits(text: str) -> str:
    """Return the figures that certainly count: zeros at the end of a whole number may only hold places."""
    number = text.split(" x ")[0].split("e")[0].lstrip("-0.")
    return number.replace(".", "").lstrip("0") if "." in text else number.rstrip("0")
