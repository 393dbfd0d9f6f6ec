"""Whether the dimensions of a formula fit; asked once, when a rubric loads.

A temperature *reading* is a point on a scale, not an amount: two may be subtracted (a change comes
out), a change may be added to one, and nothing else may be done with it. That keeps 40 °C apart from
a rise of 40 °C in every rubric at once. Source of the distinction: SI Brochure, 9th edition, 2.3.1.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from rubrics.faults import FormulaError
from rubrics.formulas.formula import COLUMN_FUNCTIONS, PI, Call, Minus, Name, Node, Number, Operation, Power
from rubrics.formulas.printing import plain_text
from rubrics.units import NO_DIMENSION, Dimension


class Kind(Struct, frozen=True):
    """What a node stands for: its dimension, and whether it is a point on a scale."""

    dimension: Dimension
    is_point: bool = False


_PURE = Kind(NO_DIMENSION)
_LIKE_ITS_COLUMN = ("median", "above", "mean", "min", "max", "first", "last", "concordant")


def kind_of(node: Node, kinds: Mapping[str, Kind]) -> Kind:
    """Return the kind of *node*, given those of the names in it.

    Raises:
        FormulaError: Two terms do not fit, a reading of temperature is used as an amount, or a
            function is given something with a unit; the text names the part of the formula.
    """
    match node:
        case Number():
            return _PURE
        case Name(name):
            return _PURE if name == PI else kinds[name]
        case Minus(term):
            return _amount(kind_of(term, kinds), term)
        case Operation(sign, left, right) if sign in "+-":
            return _sum(node, kind_of(left, kinds), kind_of(right, kinds))
        case Operation(sign, left, right):
            first, second = _amount(kind_of(left, kinds), left), _amount(kind_of(right, kinds), right)
            return Kind(_combine(first.dimension, second.dimension, 1 if sign == "*" else -1))
        case Power(base, exponent):
            inner = _amount(kind_of(base, kinds), base)
            return Kind(_scaled(inner.dimension, exponent))
        case Call(function, arguments):
            return _call(function, arguments, kinds)


def _sum(node: Operation, left: Kind, right: Kind) -> Kind:
    if left.dimension != right.dimension:
        raise FormulaError(f"{plain_text(node)} adds or subtracts two different quantities")
    if node.sign == "+" and left.is_point and right.is_point:
        raise FormulaError(f"{plain_text(node)} adds two temperatures: only a change can be added")
    if node.sign == "-" and right.is_point and not left.is_point:
        raise FormulaError(f"{plain_text(node)} takes a temperature from a change")
    both_points = left.is_point and right.is_point
    return Kind(left.dimension, is_point=(left.is_point or right.is_point) and not both_points)


def _amount(kind: Kind, node: Node) -> Kind:
    if kind.is_point:
        raise FormulaError(f"{plain_text(node)} is a temperature, not a change: subtract two temperatures first")
    return kind


def _call(function: str, arguments: tuple[Node, ...], kinds: Mapping[str, Kind]) -> Kind:
    inner = [kind_of(argument, kinds) for argument in arguments]
    if function in _LIKE_ITS_COLUMN:
        return _like_first(function, arguments, inner)
    if function in COLUMN_FUNCTIONS:
        return _of_columns(function, arguments, inner)
    if function == "kelvin":
        if not inner[0].is_point:
            raise FormulaError(f"kelvin needs a temperature in °C, and {plain_text(arguments[0])} is none")
        return Kind(inner[0].dimension)
    amount = _amount(inner[0], arguments[0]).dimension
    if function == "abs":
        return Kind(amount)
    if function == "sqrt":
        if any(power % 2 for power in amount):
            raise FormulaError(f"the root of {plain_text(arguments[0])} has no unit")
        return Kind(_scaled(amount, 1, 2))
    if amount != NO_DIMENSION:
        raise FormulaError(f"{function} needs a pure number, and {plain_text(arguments[0])} has a unit")
    return _PURE


def _of_columns(function: str, arguments: tuple[Node, ...], inner: list[Kind]) -> Kind:
    if function in ("count", "rank"):
        return _PURE
    if function == "stdev":
        return Kind(inner[0].dimension)  # a spread of temperatures is a change
    if function == "sum":
        return Kind(_amount(inner[0], arguments[0]).dimension)
    if function.startswith("weighted_"):
        _check_errors(function, arguments, inner)
    if function in ("slope", "weighted_slope", "parabola_linear"):
        # A gradient needs only differences, so points on a scale will do.
        return Kind(_combine(inner[0].dimension, inner[1].dimension, -1))
    if function == "slope_through_origin":
        rise, run = (_amount(one, argument) for one, argument in zip(inner, arguments, strict=True))
        return Kind(_combine(rise.dimension, run.dimension, -1))
    if function == "parabola_square":
        return Kind(_combine(_combine(inner[0].dimension, inner[1].dimension, -1), inner[1].dimension, -1))
    # A bare 0 has every dimension: where a change is nothing.
    if function == "at" and inner[2] != inner[1] and arguments[2] != Number(0.0, "0"):
        x, value = plain_text(arguments[1]), plain_text(arguments[2])
        raise FormulaError(f"at reads a curve where {x} has a value, and {value} is of another quantity")
    return Kind(inner[0].dimension, inner[0].is_point)


def _check_errors(function: str, arguments: tuple[Node, ...], inner: list[Kind]) -> None:
    for value, error in ((0, 2), (1, 3)):
        if inner[value].dimension != inner[error].dimension:
            first, other = plain_text(arguments[value]), plain_text(arguments[error])
            raise FormulaError(f"{function} needs the uncertainty of {first} in its unit, and {other} is in another")


def _like_first(function: str, arguments: tuple[Node, ...], inner: list[Kind]) -> Kind:
    for argument, kind in zip(arguments[1:], inner[1:], strict=True):
        # How close two titres are is a difference, so a column of points is compared with an amount.
        if kind.dimension != inner[0].dimension or (function != "concordant" and kind != inner[0]):
            first, other = plain_text(arguments[0]), plain_text(argument)
            raise FormulaError(f"{function} needs one quantity, and {first} and {other} are two")
    return inner[0]


def _combine(first: Dimension, second: Dimension, sign: int) -> Dimension:
    a = [one + sign * two for one, two in zip(first, second, strict=True)]
    return (a[0], a[1], a[2], a[3], a[4], a[5], a[6])


def _scaled(dimension: Dimension, times: int, over: int = 1) -> Dimension:
    a = [power * times // over for power in dimension]
    return (a[0], a[1], a[2], a[3], a[4], a[5], a[6])
