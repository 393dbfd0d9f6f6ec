"""What is read off a curve: between which two of the student's own points it lies, and another such place."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

from msgspec import Struct

from marking.write_up import WriteUp
from reports.next_step.drawing_lots import draw
from reports.next_step.own_numbers import given_of
from reports.next_step.setting_out import changed, number_shown
from reports.wording import symbol_words
from rubrics.formulas import Call, Name, Node, Number, Operation, plain_value, printed, rounded
from rubrics.model import Item, Rubric

_FACTORS = (("1.2", "0.7"), ("0.8", "1.3"), ("1.4", "0.9"), ("0.6", "1.1"))
"""Of the values on either side: unequal, so that the place moves."""
_ON = ("0.88", "1.13", "1.24", "0.81")
_LATER = (1, 2, 3)
_FIGURES = 3


class Between(Struct, frozen=True, kw_only=True):
    """Two neighbouring points with the value asked for between them; numbers in the units of their items."""

    found: Item
    """What is read off."""
    known: Item
    at: Decimal
    low: tuple[Decimal, Decimal]
    """Of the first point what is read off, and what is known there."""
    high: tuple[Decimal, Decimal]

    def valued(self, number: Decimal, *, is_known: bool = False) -> str:
        """Return a number with its unit."""
        return f"{number_shown(number)} {(self.known if is_known else self.found).unit.symbol}".strip()

    @property
    def holds(self) -> bool:
        """Tell whether the value lies between the two points, or at one of them."""
        (x1, y1), (x2, y2) = self.low, self.high
        return x1 < x2 and y1 != y2 and min(y1, y2) <= self.at <= max(y1, y2)

    @property
    def is_at_point(self) -> bool:
        """Tell whether one of the two points has the value itself."""
        return self.at in (self.low[1], self.high[1])

    @property
    def read_off(self) -> float:
        """Return where a straight line between the two points has the known value."""
        (x1, y1), (x2, y2) = self.low, self.high
        return float(x1 + (self.at - y1) / (y2 - y1) * (x2 - x1))

    @property
    def slots(self) -> dict[str, str]:
        """Return what a sentence about it may quote."""
        return {
            "found": symbol_words(self.found), "known": symbol_words(self.known),
            "at": self.valued(self.at, is_known=True), "low": self.valued(self.low[0]),
            "high": self.valued(self.high[0]), "low_known": self.valued(self.low[1], is_known=True),
            "high_known": self.valued(self.high[1], is_known=True),
        }  # fmt: skip


def between(rubric: Rubric, write_up: WriteUp, item: Item) -> Between | None:
    """Return where among the student's own points *item* is read off; None for any other item, or without such points.

    Formulas of this kind are 'the value of one column where another has this value'.
    """
    call = item.formula.tree if item.formula else None
    if not (isinstance(call, Call) and call.function == "at"):
        return None
    names = [column.name for column in call.columns if isinstance(column, Name)]
    if len(names) != 2:
        return None
    found, known = (rubric.items[name] for name in names)
    at = _place(rubric, write_up, call.arguments[2])
    columns = [write_up.columns.get(name, {}) for name in names]
    points = []
    for row in sorted(columns[0]):
        x, y = (given_of(one, column.get(row)) for one, column in zip((found, known), columns, strict=True))
        if x is not None and y is not None:
            points.append((_short(changed(x, found.unit)), _short(changed(y, known.unit))))
    if at is None:
        return None
    places = [Between(found=found, known=known, at=at, low=low, high=high) for low, high in pairwise(sorted(points))]
    return next((place for place in places if place.holds), None)


def _short(number: Decimal) -> Decimal:
    """Return a number with no more figures than anybody reads off an axis."""
    return rounded(number, _FIGURES) if len(number.as_tuple().digits) > _FIGURES else number


def _place(rubric: Rubric, write_up: WriteUp, node: Node) -> Decimal | None:
    """Return the known value: a number, an entry, or a part of the first reading of a column."""
    numbers: dict[str, float] = {}
    tree = _with_first(rubric, write_up, node)
    for name in [name for name in rubric.items if tree is not None]:
        one = given_of(rubric.items[name], write_up.singles.get(name))
        if one is not None:
            numbers[name] = float(changed(one, rubric.items[name].unit))
    value = plain_value(tree, numbers) if tree is not None else float("nan")
    return Decimal(f"{value:.6g}").normalize() + 0 if value == value else None  # NaN is not equal to itself


def _with_first(rubric: Rubric, write_up: WriteUp, node: Node) -> Node | None:
    if isinstance(node, Operation):
        left, right = (_with_first(rubric, write_up, side) for side in (node.left, node.right))
        return None if left is None or right is None else Operation(node.sign, left, right)
    if not isinstance(node, Call):
        return node
    name = node.arguments[0].name if isinstance(node.arguments[0], Name) else ""
    column = write_up.columns.get(name, {})
    one = given_of(rubric.items[name], column[min(column)]) if node.function == "first" and column else None
    return None if one is None else Number(float(changed(one, rubric.items[name].unit)), str(one.value))


def another_between(own: Between, seed: str) -> Between:
    """Return another place of the kind: other values on either side of nought, else other places for them."""
    if own.at == 0:
        factors = _FACTORS[draw(seed, len(_FACTORS))]
        ends = [(x, _like(y * Decimal(factor), y)) for (x, y), factor in zip((own.low, own.high), factors, strict=True)]
    elif _is_whole(own):
        later = _LATER[draw(seed, len(_LATER))]
        ends = [(x + later, y) for x, y in _opened(own)]
    else:
        factor = Decimal(_ON[draw(seed, len(_ON))])
        ends = [(_like(x * factor, x), y) for x, y in _opened(own)]
    return Between(found=own.found, known=own.known, at=own.at, low=ends[0], high=ends[1])


def _opened(own: Between) -> tuple[tuple[Decimal, Decimal], tuple[Decimal, Decimal]]:
    """Return the two points with the known value truly between them, where it stood at one of them."""
    (x1, y1), (x2, y2) = own.low, own.high
    if y2 == own.at:
        y2 = _beyond(y2, y1)
    elif y1 == own.at:
        y1 = _beyond(y1, y2)
    return (x1, y1), (x2, y2)


def _beyond(end: Decimal, other: Decimal) -> Decimal:
    step = Decimal(1).scaleb(min(int(end.as_tuple().exponent), 0))
    away = max(abs(other - end) / 2, step)
    return (end - away.copy_sign(other - end)).quantize(step, rounding=ROUND_HALF_UP)


def _is_whole(own: Between) -> bool:
    return all(x == x.to_integral_value() for x, _ in (own.low, own.high)) and not own.found.unit.symbol


def _like(number: Decimal, written: Decimal) -> Decimal:
    """Return *number* to the decimal place of *written*, and never nought."""
    step = Decimal(1).scaleb(min(int(written.as_tuple().exponent), 0))
    return number.quantize(step, rounding=ROUND_HALF_UP) or step.copy_sign(number)


def answer_of(place: Between) -> str:
    """Return what is read off, to two figures or three, with its symbol and unit."""
    number = printed(place.read_off, 2 if abs(place.read_off) < 10 else 3)
    return f"{symbol_words(place.found)} = {number} {place.found.unit.symbol}".strip()
