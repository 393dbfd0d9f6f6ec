"""The wrong ways to an answer that are met in any class, and those that the rubric's author knows of.

A wrong value that lies close to the right one is not planted: it would be within what careful rounding or
drawing gives.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from msgspec import Struct, field

from rubrics.formulas import Call, Formula, Name, Node, Operation, walk
from rubrics.model import Item, Role
from samples.arithmetic import work_out
from samples.desk import Desk
from samples.habits import Habits, number_of

FAR = 0.10
"""A wrong value differs from the right one by at least this share of it."""
DRAWN_FAR = 0.25
"""The same where the points make a line."""
SHARES = {"unit": 30.0, "inverted": 10.0, "multiplied": 8.0, "named": 20.0, "sum": 10.0, "instead": 10.0}
SHARES |= {"point": 6.0, "swapped": 5.0, "misread": 8.0}
_LOOK_ALIKE = {"1": "7", "7": "1", "4": "9", "9": "4", "0": "6", "6": "0", "3": "8", "8": "3", "5": "6", "2": "5"}
Values = dict[int | None, float]


class Wrong(Struct, frozen=True, kw_only=True):
    """One slip in an answer."""

    cause: str
    detail: str
    share: float
    values: Values
    """By row, in the unit of the rubric; the rows that are not here are right."""
    texts: Mapping[int | None, str] = field(default_factory=dict)
    """As written, where figures themselves were mixed up."""


def wrong_ways(desk: Desk, item: Item, formula: Formula, right: Values) -> Wrong | None:
    """Return a slip in an answer whose *right* values are given in the unit of the rubric; None if none fits."""
    far = DRAWN_FAR if desk.rubric.graph and desk.rubric.graph.fit == "line" and item.table is None else FAR
    before = {one.cause for one in desk.work.planted}  # a point moved there and back is no mistake
    offered = [
        one
        for one in (*_of_formulas(desk, item, formula, right), *_of_figures(desk, item, formula, right))
        if one.cause not in before
        and one.values
        and all(_is_far(value, right[row], far) for row, value in one.values.items())
    ]
    return desk.chance.choices(offered, [one.share for one in offered])[0] if offered else None


def _is_far(value: float, right: float, far: float) -> bool:
    return math.isfinite(value) and 1e-40 < abs(value) < 1e15 and right != 0 and abs(value - right) > far * abs(right)


def _of_formulas(desk: Desk, item: Item, formula: Formula, right: Values) -> Iterator[Wrong]:
    """Yield what goes wrong in the working, the same in every row."""
    scale = _conversion(desk, formula, right)
    named = [slip for slip in desk.rubric.slips if slip.answer == item.name]
    for slip in named:
        yield _worked(desk, slip.formula.tree, right, slip.cause, slip.detail, SHARES["named"] / len(named))
    for cause, detail, kind, tree in _changed(formula.tree):
        yield _worked(desk, tree, right, cause, detail, SHARES[kind], scale=scale)
    if not math.isclose(scale, 1.0, rel_tol=1e-6):
        detail = "numbers as they stand, nothing converted"
        yield _worked(desk, formula.tree, right, "unit-conversion", detail, SHARES["unit"])
    for name in formula.names:
        other = desk.rubric.items.get(name)
        if other is not None and name in desk.ways and desk.ways[name].factor != 1.0 and other.role is Role.READING:
            detail = f"{name}: as recorded"
            shown = frozenset({name})
            yield _worked(
                desk, formula.tree, right, "unit-conversion", detail, SHARES["unit"], scale=scale, noted=shown
            )


def _changed(node: Node) -> Iterator[tuple[str, str, str, Node]]:
    """Yield (cause, detail, kind, tree) for the usual ways to get a formula wrong."""
    match node:
        case Operation("/", left, right):
            yield "rearrangement", "upside down", "inverted", Operation("/", right, left)
            yield "rearrangement", "multiplied", "multiplied", Operation("*", left, right)
        case Operation("-", left, right):
            yield "sign", "added for subtracted", "sum", Operation("+", left, right)
            if isinstance(left, Name):
                yield "wrong-quantity", f"{left.name} for the difference", "instead", left
        case Operation("*", left, right):
            yield "rearrangement", "divided", "multiplied", Operation("/", left, right)
        case Call("slope", (y, x)):
            yield "gradient-inverted", "run over rise", "inverted", Call("slope", (x, y))


def _worked(
    desk: Desk,
    tree: Node,
    right: Values,
    cause: str,
    detail: str,
    share: float,
    *,
    scale: float = 1.0,
    noted: frozenset[str] = frozenset(),
) -> Wrong:
    values: Values = {}
    for row in right:
        try:
            values[row] = work_out(tree, desk.numbers(row, noted=noted, si=False)) * scale
        except (KeyError, ValueError, ZeroDivisionError):
            return Wrong(cause=cause, detail=detail, share=share, values={})
    return Wrong(cause=cause, detail=detail, share=share, values=values)


def _conversion(desk: Desk, formula: Formula, right: Values) -> float:
    """Return the factor by which the formula, worked on the rubric's numbers, misses the rubric's unit."""
    for row, value in right.items():
        try:
            plain = work_out(formula.tree, desk.numbers(row, si=False))
        except (KeyError, ValueError, ZeroDivisionError):
            continue
        if plain and value:
            power = math.log10(abs(value / plain))
            # A whole power of ten, or minutes and seconds; all else is the rounding of steps.
            return 10.0 ** round(power) if abs(power - round(power)) < 0.05 else value / plain
    return 1.0


def _of_figures(desk: Desk, item: Item, formula: Formula, right: Values) -> Iterator[Wrong]:
    """Yield what goes wrong in copying, in one row only."""
    sound = [row for row, value in right.items() if value]
    if not sound:
        return
    row = desk.chance.choice(sound)
    for power in (1, -1):
        yield Wrong(
            cause="power-of-ten",
            detail=f"point moved by {power}",
            share=SHARES["point"],
            values={row: right[row] * 10.0**power},
        )
    text = Habits().text(right[row], 3)
    head, tail = text[:2], text[2:]
    if head.isdigit() and head[0] != head[1] and "x" not in text and "e" not in text:
        swapped = head[::-1] + tail
        yield Wrong(
            cause="digits-swapped",
            detail=f"{swapped} for {text}",
            share=SHARES["swapped"],
            values={row: number_of(swapped)},
            texts={row: swapped},
        )
    names = [n.name for n in walk(formula.tree) if isinstance(n, Name) and n.name in desk.ways]
    for name in names[:1] if item.table is None or row is None else names:
        yield from _misread(desk, formula, name, row, right)


def _misread(desk: Desk, formula: Formula, name: str, row: int | None, right: Values) -> Iterator[Wrong]:
    """Yield the answer with one figure of a reading taken for one that looks like it."""
    cell = desk.work.cells.get(name)
    if cell is None or (isinstance(cell, dict) and row is None):
        return
    text = cell[0] if isinstance(cell, tuple) else cell[(row or 0) + 1][0] if (row or 0) + 1 in cell else ""
    for place, figure in enumerate(text[:2]):
        if figure in _LOOK_ALIKE:
            other = f"{text[:place]}{_LOOK_ALIKE[figure]}{text[place + 1 :]}"
            if not float(text) or not float(other):
                continue
            numbers = desk.numbers(row, si=True)
            unit = desk.rubric.items[name].unit
            changed = float(other) / desk.ways[name].factor * unit.factor + unit.offset
            single = {**numbers.single, name: changed}
            try:
                value = work_out(formula.tree, type(numbers)(single=single, columns=numbers.columns))
                before = work_out(formula.tree, numbers)
            except (KeyError, ValueError, ZeroDivisionError):
                return
            if before:
                yield Wrong(
                    cause="copying",
                    detail=f"{name}: {other} for {text}",
                    share=SHARES["misread"] / 2,
                    values={row: right[row] * value / before},
                )
