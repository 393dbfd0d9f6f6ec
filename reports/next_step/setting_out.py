"""A step set out in a student's own numbers: formula, each value with its change of unit, the sum without its answer.

Every line is worked out by the program before it may be printed. A step whose printed figures do not come to the value
that was expected is not set out at all, and the sheet uses other words.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from marking.write_up import Entry, State, WriteUp
from reports.next_step.working_units import WorkingUnits, as_put_in, is_angle, names_of, uses_columns, working_units
from reports.wording import symbol_words
from rubrics.formulas import (
    Call,
    Formula,
    Name,
    Node,
    Number,
    Operation,
    plain_text,
    plain_value,
    printed,
    printed_text,
    replace_name,
    rounded,
    walk,
)
from rubrics.model import Item, Rubric
from rubrics.units import Unit

NEAR_ENOUGH = 0.025
"""By how much the printed figures may miss the value that was expected: g as 9.8 or 10 lies inside."""
LEAST_FIGURES = 3
"""Figures of a reading that is changed by a factor that is no power of ten, such as minutes to seconds."""
_LONG_COLUMN = 6
"""Values of a mean that are written out; of more, the first two and the last."""
_SAME = 1e-9
_MOST_STEPS_BACK = 3
_LONGEST = 25
"""Digits before or behind the point beyond which a number is left as it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A number that goes into a step, in the unit it was written in."""

    value: Decimal
    """With the zeros that were written."""
    unit: Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOut:
    """A step ready to print; every number in it has been worked out."""

    formula: str
    """'c = E ÷ (m × ΔT)'; empty where the working says it all."""
    values: tuple[str, ...]
    """'m = 998 g = 0.998 kg', one for each value; a value that needs no change stands here too."""
    working: str
    """'c = 24 600 ÷ (0.998 × 25.0)', stopped before the answer."""
    unit: str
    """Of the number that the sum gives."""
    last_unit: str
    """Unit that this number is then changed to; empty where it needs no change."""
    value: float
    """What the printed figures come to, in the unit asked for."""

    def answer(self, figures: int = LEAST_FIGURES) -> str:
        """Return what the step comes to, with its unit."""
        return f"{printed(self.value, figures)} {self.last_unit or self.unit}".strip()


def set_out(
    rubric: Rubric, item: Item, given: Mapping[str, Given | Sequence[Given]], wanted: Unit, expected: float | None
) -> SetOut | None:
    """Return the step to *item* in numbers, or None where they do not come to *expected*.

    Args:
        rubric: The practical.
        item: An answer with a formula that uses no gradient.
        given: Name of an item to its number, or to those of a whole column.
        wanted: Unit of the answer.
        expected: In *wanted*; None where nothing is known, as for a task with numbers of its own.
    """
    if item.formula is None:
        return None
    tree, numbers = _with_means(item.formula.tree, given)
    if tree is None or uses_columns(tree) or not _all_there(tree, numbers, rubric):
        return None
    numbers |= {name: _constant(rubric, name) for name in names_of(tree) if name in rubric.constants}
    names = names_of(tree)
    usual = {name: rubric.items[_plain(name)].recorded_in for name in names if _plain(name) in rubric.items}
    units = working_units(
        tree, {name: numbers[name].unit for name in names}, usual, wanted, (item.unit, *item.recorded_in)
    )
    return None if units is None else _put(rubric, item, tree, numbers, units, wanted, expected)


def _put(
    rubric: Rubric,
    item: Item,
    tree: Node,
    numbers: Mapping[str, Given],
    units: WorkingUnits,
    wanted: Unit,
    expected: float | None,
) -> SetOut | None:
    texts, values, lines = {}, {}, []
    for name, unit in units.inputs.items():
        number = numbers[name]
        put_in = changed(number, unit)
        text, mark = number_shown(put_in), "°" if is_angle(unit) else ""
        texts[name], values[name] = f"{text}{mark}", as_put_in(float(put_in), unit)
        as_written = _valued(number_shown(number.value), number.unit.symbol)
        now = _valued(text, unit.symbol)
        symbol = _symbol(rubric, name)
        lines.append(f"{symbol} = {as_written}" + ("" if unit.factor == number.unit.factor else f" = {now}"))
    came_out = plain_value(tree, values)
    value = came_out * units.answer.factor / wanted.factor
    if not math.isfinite(value) or (expected is not None and not _near(value, expected)):
        return None
    symbol = symbol_words(item)
    is_changed = units.answer.factor != wanted.factor
    if isinstance(tree, Name):  # only the unit changes, and that is the answer
        before = numbers[tree.name]
        shown = _valued(number_shown(before.value), before.unit.symbol)
        last = f"{shown} ="
        return SetOut(formula="", values=(), working=last, unit=wanted.symbol, last_unit="", value=value)
    symbols = {name: _symbol(rubric, name) for name in texts}
    return SetOut(
        formula=f"{symbol} = {printed_text(tree, symbols)}" if not _is_mean(item) else "",
        values=tuple(lines) if not _is_mean(item) else (),
        working=f"{symbol} = {_short_sum(printed_text(tree, texts)) if _is_mean(item) else printed_text(tree, texts)}",
        unit=units.answer.symbol,
        last_unit=wanted.symbol if is_changed else "",
        value=value,
    )


def _near(value: float, expected: float) -> bool:
    return math.isclose(value, expected, rel_tol=NEAR_ENOUGH, abs_tol=_SAME * abs(expected))


# ---- numbers --------------------------------------------------------------------------------------------------


def number_shown(value: Decimal) -> str:
    """Return a number with the digits it has, grouped, or as a power of ten where it is very long or small."""
    return printed(value)


def changed(number: Given, unit: Unit) -> Decimal:
    """Return *number* in *unit*: the point moves and the figures stay, or three figures and more are kept."""
    if number.unit.factor == unit.factor:
        return number.value
    ratio = number.unit.factor / unit.factor
    power = round(math.log10(ratio))
    if math.isclose(ratio, 10.0**power, rel_tol=_SAME):
        return number.value.scaleb(power)
    exact = Decimal(repr(float(number.value) * ratio))
    least = max(LEAST_FIGURES + 1, len(number.value.as_tuple().digits))
    short = (rounded(exact, least) if exact else exact).normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral_value() else short


def given_of(item: Item, entry: Entry | None) -> Given | None:
    """Return what stands in *entry*, with its zeros and its unit; None where there is no number."""
    if entry is None or entry.state is not State.NUMBER or entry.value is None or not math.isfinite(entry.value):
        return None
    reading = entry.unit
    is_its_own = reading is not None and reading.unit is not None and reading.unit.dimension == item.unit.dimension
    unit = reading.unit if is_its_own and reading is not None and reading.unit is not None else item.unit
    exact = Decimal(repr(entry.value)).normalize()
    place = min(entry.last_place[0] if entry.last_place else 0, int(exact.as_tuple().exponent))
    if entry.zeros_unknown:
        place = min(0, int(exact.as_tuple().exponent))
    is_usual = abs(place) < _LONGEST and abs(exact.adjusted()) < _LONGEST
    value = exact.quantize(Decimal(1).scaleb(min(place, 0))) if is_usual else exact
    return Given(value=value, unit=unit)


def given_numbers(rubric: Rubric, write_up: WriteUp, item: Item, row: int | None) -> dict[str, Given | list[Given]]:
    """Return the student's own numbers that the step to *item* takes."""
    found: dict[str, Given | list[Given]] = {}
    for name in item.formula.names if item.formula else ():
        source = rubric.items.get(name)
        if source is None:
            continue
        column = write_up.columns.get(name, {})
        if source.table is not None and _is_whole_column(item, name):
            all_rows = [given_of(source, entry) for _, entry in sorted(column.items())]
            found[name] = [one for one in all_rows if one is not None]
            continue
        entry = column.get(row or 1) if source.table is not None else write_up.singles.get(name)
        one = given_of(source, entry) or _worked_before(rubric, write_up, source, row)
        if one is not None:
            found[name] = one
    return found


def _worked_before(rubric: Rubric, write_up: WriteUp, source: Item, row: int | None) -> Given | None:
    """Return an earlier value that was not written down, from the readings it is the mean of."""
    if not _is_mean(source):
        return None
    step = set_out(rubric, source, given_numbers(rubric, write_up, source, row), source.unit, None)
    if step is None:
        return None
    exact = Decimal(repr(step.value))
    return Given(value=rounded(exact, LEAST_FIGURES + 1).normalize(), unit=source.unit)


def with_what_is_there(rubric: Rubric, write_up: WriteUp, item: Item, row: int | None) -> tuple[Item, int | None]:
    """Return *item* with its formula traced back to what was written down, and the row to take it from.

    Where an earlier answer is missing, its own formula stands in its place: ρ = m ÷ (l × w × h). A mean of a column
    that is missing is set out by the first row of what the column follows from.
    """
    if item.formula is None:
        return item, row
    tree = item.formula.tree
    if isinstance(tree, Call) and tree.function == "mean" and isinstance(tree.arguments[0], Name):
        column = rubric.items.get(tree.arguments[0].name)
        if column is None or column.formula is None:
            return item, row
        if any(given_of(column, entry) is not None for entry in write_up.columns.get(column.name, {}).values()):
            return item, row
        tree, row = column.formula.tree, 1
    for _ in range(_MOST_STEPS_BACK):
        missing = [name for name in names_of(tree) if _is_missing(rubric, write_up, name, row)]
        if not missing:
            break
        for name in missing:
            formula = rubric.items[name].formula
            if formula is not None:
                tree = replace_name(tree, name, formula.tree)
    return replace(item, formula=Formula(text=plain_text(tree), tree=tree)), row


def _is_missing(rubric: Rubric, write_up: WriteUp, name: str, row: int | None) -> bool:
    source = rubric.items.get(name)
    if source is None or source.formula is None or uses_columns(source.formula.tree) or _is_mean(source):
        return False
    column = write_up.columns.get(name, {})
    entry = column.get(row or 1) if source.table is not None else write_up.singles.get(name)
    return given_of(source, entry) is None


def _is_whole_column(item: Item, name: str) -> bool:
    calls = [node for node in walk(item.formula.tree) if isinstance(node, Call)] if item.formula else []
    return any(argument == Name(name) for call in calls for argument in call.columns)


# ---- means ----------------------------------------------------------------------------------------------------


def _with_means(tree: Node, given: Mapping[str, Given | Sequence[Given]]) -> tuple[Node | None, dict[str, Given]]:
    """Return the formula with each mean written out as a sum over a count, and the single numbers it then takes."""
    numbers = {name: one for name, one in given.items() if isinstance(one, Given)}
    if not (isinstance(tree, Call) and tree.function == "mean"):
        return tree, numbers
    if tree.is_along_row:
        names = [argument.name for argument in tree.arguments if isinstance(argument, Name)]
        names = [name for name in names if name in numbers]
    else:
        name = tree.arguments[0].name if isinstance(tree.arguments[0], Name) else ""
        column = given.get(name, ())
        rows = [column] if isinstance(column, Given) else list(column)
        names = [f"{name}:{place}" for place in range(len(rows))]
        numbers |= dict(zip(names, rows, strict=True))
    if len(names) < 2 or len({numbers[name].unit.factor for name in names}) > 1:
        return None, numbers
    total: Node = Name(names[0])
    for name in names[1:]:
        total = Operation("+", total, Name(name))
    return Operation("/", total, Number(float(len(names)), str(len(names)))), numbers


def _is_mean(item: Item) -> bool:
    tree = item.formula.tree if item.formula else None
    return isinstance(tree, Call) and tree.function == "mean"


def _short_sum(text: str) -> str:
    """Return a sum of many values with the first two and the last of them."""
    inside, closing, rest = text.partition(")")
    terms = inside.lstrip("(").split(" + ")
    if len(terms) <= _LONG_COLUMN:
        return text
    return f"({terms[0]} + {terms[1]} + … + {terms[-1]}{closing}{rest}"


# ---- names ----------------------------------------------------------------------------------------------------


def _plain(name: str) -> str:
    return name.partition(":")[0]


def _symbol(rubric: Rubric, name: str) -> str:
    plain = _plain(name)
    return rubric.constants[plain].symbol if plain in rubric.constants else symbol_words(rubric.items[plain])


def _constant(rubric: Rubric, name: str) -> Given:
    constant = rubric.constants[name]
    return Given(value=Decimal(repr(constant.values[0])).normalize(), unit=constant.unit)


def _all_there(tree: Node, numbers: Mapping[str, Given], rubric: Rubric) -> bool:
    return all(name in numbers or name in rubric.constants for name in names_of(tree))


def _valued(number: str, unit: str) -> str:
    return number if not unit else f"{number}{unit}" if unit == "°" else f"{number} {unit}"
