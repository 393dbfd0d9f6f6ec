"""The student's own numbers that a step takes, as they were written; and the step traced back to them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from marking.findings import Cause, Finding, Script
from marking.write_up import Entry, State, WriteUp
from reports.next_step.setting_out import LEAST_FIGURES, Given, is_mean, set_out
from reports.next_step.working_units import names_of, uses_columns
from rubrics.formulas import Call, Formula, Name, plain_text, replace_name, rounded, walk
from rubrics.model import Item, Rubric
from rubrics.units import Unit

_MOST_STEPS_BACK = 3
_LONGEST = 25
"""Digits before or behind the point beyond which a number is left as it is."""


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


def wanted_unit(script: Script, item: Item, finding: Finding) -> Unit:
    """Return the unit that the answer is asked for in: the one that was written where it fits, else the usual one."""
    column = script.write_up.columns.get(item.name, {})
    entry = column.get(finding.row or 1) if item.table is not None else script.write_up.singles.get(item.name)
    given = given_of(item, entry)
    return given.unit if given is not None else item.unit


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


class Odd(Struct, frozen=True, kw_only=True):
    """A reading that lies far from the others of a mean, and is left out of it."""

    name: str
    place: int | None
    """Among the numbers of a column; None for an item of a row."""


def odd_reading(rubric: Rubric, write_up: WriteUp, item: Item, finding: Finding) -> Odd | None:
    """Return the reading that a mean kept in though it lies far off; None for any other slip."""
    if not is_mean(item) or not finding.explanations or finding.explanations[0].cause is not Cause.ANOMALY_INCLUDED:
        return None
    name, _, row = finding.explanations[0].detail.partition(" ")
    if name not in rubric.items:
        return None
    if not _is_whole_column(item, name):
        return Odd(name=name, place=None)
    column = write_up.columns.get(name, {})
    rows = [at for at, entry in sorted(column.items()) if given_of(rubric.items[name], entry) is not None]
    return Odd(name=name, place=rows.index(int(row))) if row.isdigit() and int(row) in rows else None


def without(given: Mapping[str, Given | Sequence[Given]], odd: Odd | None) -> Mapping[str, Given | Sequence[Given]]:
    """Return the numbers of a step without the one that is left out."""
    if odd is None or odd.name not in given:
        return given
    numbers = given[odd.name]
    if isinstance(numbers, Given) or odd.place is None:
        return {name: one for name, one in given.items() if name != odd.name}
    return {**given, odd.name: [one for place, one in enumerate(numbers) if place != odd.place]}


def _worked_before(rubric: Rubric, write_up: WriteUp, source: Item, row: int | None) -> Given | None:
    """Return an earlier value that was not written down, from the readings it is the mean of."""
    if not is_mean(source):
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
    if source is None or source.formula is None or uses_columns(source.formula.tree) or is_mean(source):
        return False
    column = write_up.columns.get(name, {})
    entry = column.get(row or 1) if source.table is not None else write_up.singles.get(name)
    return given_of(source, entry) is None


def _is_whole_column(item: Item, name: str) -> bool:
    calls = [node for node in walk(item.formula.tree) if isinstance(node, Call)] if item.formula else []
    return any(argument == Name(name) for call in calls for argument in call.columns)


def missing_reading(rubric: Rubric, write_up: WriteUp, item: Item, row: int | None) -> Item | None:
    """Return the first reading that an answer needs and the student has not written down; None where all are there."""
    traced, at = with_what_is_there(rubric, write_up, item, row)
    there = given_numbers(rubric, write_up, traced, at)
    names = traced.formula.names if traced.formula else ()
    return next((rubric.items[name] for name in names if name in rubric.items and not there.get(name)), None)
