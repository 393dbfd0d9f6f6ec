"""What can be wrong with answers that no formula gives: uncertainties, turn-on values, read-off points."""

from __future__ import annotations

from collections.abc import Iterator

from rubrics.faults import Complaint, Key
from rubrics.model import Item, Role, Rubric


def estimate_complaints(rubric: Rubric) -> Iterator[Complaint]:
    """Yield what is wrong with the answers of *rubric* that are judged by a range instead of a formula."""
    for item in rubric.answers:
        if item.is_estimate and (item.formula is not None or item.choices):
            problem = f"{item.name} has a formula or choices and is an estimate too"
            yield Complaint(("answers", item.name), problem, "leave one of them out")
        if item.uncertainty_of is not None:
            yield from _uncertainty_complaints(rubric, item, item.uncertainty_of)
        if item.turn_on is not None:
            yield from _turn_on_complaints(rubric, item, *item.turn_on)
    yield from _read_off_complaints(rubric)


def _read_off_complaints(rubric: Rubric) -> Iterator[Complaint]:
    if rubric.graph is None:
        return
    key: Key = ("graph", "read_off")
    axes = (rubric.graph.x, rubric.graph.y) * 2
    for name, axis in zip(rubric.graph.read_off, axes, strict=False):
        item, along = rubric.items.get(name), rubric.items.get(axis)
        if item is None or item.role is not Role.ANSWER or item.table is not None or item.is_words:
            yield Complaint(key, f"{name} is no single answer with a number", "add it as an answer without a formula")
        elif along is not None and item.unit.dimension != along.unit.dimension:
            yield Complaint(("answers", name, "unit"), f"{name} has no unit of {axis}", f"use {along.unit.symbol}")


def _uncertainty_complaints(rubric: Rubric, item: Item, name: str) -> Iterator[Complaint]:
    key: Key = ("answers", item.name, "uncertainty_of")
    of = rubric.items.get(name)
    if of is None or of.is_words or of.is_estimate:
        yield Complaint(key, f"{name} is no reading and no answer with a formula", "mend the name")
        return
    if item.unit.symbol != "%" and item.unit.dimension != of.unit.dimension:
        problem = f"{item.name} is in {item.unit.symbol or 'no unit'}, which is no unit of {of.name}"
        yield Complaint(("answers", item.name, "unit"), problem, f"use % or {of.unit.symbol or 'no unit'}")
    if item.table is not None and item.table != of.table:
        problem = f"{item.name} stands in a table that {of.name} is not in"
        yield Complaint(("answers", item.name, "table"), problem, "leave the table out")


def _turn_on_complaints(rubric: Rubric, item: Item, x_name: str, y_name: str) -> Iterator[Complaint]:
    key: Key = ("answers", item.name, "turn_on")
    for name in (x_name, y_name):
        if name not in rubric.items or rubric.items[name].table is None:
            yield Complaint(key, f"{name} is no column here", "name a column of a table")
    x = rubric.items.get(x_name)
    if x is not None and x.unit.dimension != item.unit.dimension:
        yield Complaint(("answers", item.name, "unit"), f"{item.name} has no unit of {x_name}", f"use {x.unit.symbol}")
    if item.table is not None:
        yield Complaint(("answers", item.name, "table"), f"{item.name} is one value, not a column", "leave it out")
