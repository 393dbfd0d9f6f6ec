"""A step set out in a student's own numbers: formula, each value with its change of unit, the sum without its answer.

Every line is worked out by the program before it may be printed. A step whose printed figures do not come to the value
that was expected is not set out at all, and the sheet uses other words.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal

from msgspec import Struct

from reports.next_step.working_units import (
    WorkingUnits,
    as_put_in,
    is_angle,
    names_of,
    uses_columns,
    usual_symbol,
    working_units,
)
from reports.wording import symbol_words
from rubrics.formulas import (
    Call,
    Name,
    Node,
    Number,
    Operation,
    plain_value,
    printed,
    printed_text,
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


class Given(Struct, frozen=True, kw_only=True):
    """A number that goes into a step, in the unit it was written in."""

    value: Decimal
    """With the zeros that were written."""
    unit: Unit


class SetOut(Struct, frozen=True, kw_only=True):
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
    places: int | None = None
    """Decimal places of a sum or a difference: as many as the number with the fewest has."""

    def number(self, figures: int = LEAST_FIGURES) -> str:
        """Return what the step comes to, without its unit."""
        if self.places is None:
            return printed(self.value, figures)
        exact = Decimal(repr(self.value))
        return printed(exact.quantize(Decimal(1).scaleb(-self.places), rounding=ROUND_HALF_UP))

    def answer(self, figures: int = LEAST_FIGURES) -> str:
        """Return what the step comes to, with its unit."""
        return f"{self.number(figures)} {self.last_unit or self.unit}".strip()


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
    told, tree = tree, _taken(tree, numbers)
    names = names_of(tree)
    usual = {name: rubric.items[_plain(name)].recorded_in for name in names if _plain(name) in rubric.items}
    units = working_units(
        tree, {name: numbers[name].unit for name in names}, usual, wanted, (item.unit, *item.recorded_in)
    )
    return None if units is None else _put(rubric, item, (told, tree), numbers, units, wanted, expected)


def _put(
    rubric: Rubric,
    item: Item,
    trees: tuple[Node, Node],
    numbers: Mapping[str, Given],
    units: WorkingUnits,
    wanted: Unit,
    expected: float | None,
) -> SetOut | None:
    told, tree = trees
    texts, values, lines, put_in_all = {}, {}, [], []
    for name, unit in units.inputs.items():
        number = numbers[name]
        put_in = changed(number, unit)
        put_in_all.append(put_in)
        text, mark = number_shown(put_in), "°" if is_angle(unit) else ""
        texts[name], values[name] = f"{text}{mark}", as_put_in(float(put_in), unit)
        as_written = _valued(number_shown(number.value), number.unit.symbol)
        now = _valued(text, usual_symbol(unit.symbol))
        symbol = _symbol(rubric, name)
        is_as_written = unit.factor == number.unit.factor and usual_symbol(unit.symbol) == unit.symbol
        lines.append(f"{symbol} = {as_written}" + ("" if is_as_written else f" = {now}"))
    came_out = plain_value(tree, values)
    value = came_out * units.answer.factor / wanted.factor
    if not math.isfinite(value) or (expected is not None and not _near(value, expected)):
        return None
    symbol = name_words(item)
    is_changed = units.answer.factor != wanted.factor
    if isinstance(tree, Name):  # only the unit changes, and that is the answer
        before = numbers[tree.name]
        shown = _valued(number_shown(before.value), before.unit.symbol)
        last = f"{shown} ="
        return SetOut(formula="", values=(), working=last, unit=wanted.symbol, last_unit="", value=value)
    formula = printed_text(told, {name: _symbol(rubric, name) for name in names_of(told)})
    says_something = not is_mean(item) and _letters(formula) != _letters(symbol)
    return SetOut(
        formula=f"{symbol} = {formula}" if says_something else "",
        values=tuple(lines) if not is_mean(item) else (),
        working=f"{symbol} = {_short_sum(printed_text(tree, texts)) if is_mean(item) else printed_text(tree, texts)}",
        unit=units.answer.symbol if is_changed else wanted.symbol,
        last_unit=wanted.symbol if is_changed else "",
        value=value,
        places=None if is_changed else _places(tree, put_in_all),
    )


def _places(tree: Node, put_in: Sequence[Decimal]) -> int | None:
    """Return the decimal places of a sum or a difference of readings; None where something is multiplied."""
    operations = [node for node in walk(tree) if not isinstance(node, Name)]
    if not operations or not all(isinstance(node, Operation) and node.sign in "+-" for node in operations):
        return None
    return max(0, -max(int(number.as_tuple().exponent) for number in put_in))


def _letters(text: str) -> str:
    return "".join(sign for sign in text if sign not in "() ")


def _taken(tree: Node, numbers: Mapping[str, Given]) -> Node:
    """Return the part of a formula that decides: of the smallest of several, the one that is so with these numbers."""
    if not (isinstance(tree, Call) and tree.is_along_row and tree.function in ("min", "max")):
        return tree
    in_si = {name: float(number.value) * number.unit.factor for name, number in numbers.items()}
    return (min if tree.function == "min" else max)(tree.arguments, key=lambda one: plain_value(one, in_si))


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


def is_mean(item: Item) -> bool:
    """Tell whether an answer is the mean of readings."""
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


def name_words(item: Item) -> str:
    """Return the symbol as it stands before '=': what is called 'ρ in kg/m³' is ρ there."""
    return symbol_words(item).removesuffix(f" in {item.unit.symbol}")


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
