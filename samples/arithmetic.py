"""What a formula comes to by hand: one student, one step after the other, each kept as this student keeps steps.

On purpose not the arithmetic that marks: plain numbers, one at a time.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct, field

from rubrics.formulas import OPERATIONS, PI, Call, Minus, Name, Node, Number, Operation, Power

_OF_ONE: Mapping[str, Callable[[float], float]] = {
    "sqrt": math.sqrt,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "asin": math.asin,
    "ln": math.log,
    "log10": math.log10,
    "exp": math.exp,
    "kelvin": float,  # a temperature in coherent SI units is one already
}


def as_it_is(value: float) -> float:
    """Return *value*: a student who keeps all that the calculator shows."""
    return value


class Numbers(Struct, frozen=True, kw_only=True):
    """What the student has in front of them, all in one system of units."""

    single: Mapping[str, float]
    """Single items, constants, and the row's own figures."""
    columns: Mapping[str, Sequence[float]] = field(default_factory=dict)
    """Whole columns; NaN where a row has no figure."""
    keep: Callable[[float], float] = as_it_is
    """How a step on the way is shortened."""
    tilt: float = 0.0
    """How much steeper the drawn line is than the fitted one, as a share."""
    odd: frozenset[int] = frozenset()
    """Rows that the line is drawn without."""
    axes: tuple[str, str] = ("", "")
    """What stands along and up the graph; its one line serves whichever way a formula takes the gradient."""


def work_out(node: Node, numbers: Numbers) -> float:
    """Return what *node* comes to; its last step is not shortened.

    Raises:
        KeyError: A number is missing.
        ValueError, ZeroDivisionError: It has no value.
    """
    match node:
        case Number(value, _):
            return value
        case Name(name):
            return math.pi if name == PI else numbers.single[name]
        case Minus(term):
            return -work_out(term, numbers)
        case Operation(sign, left, right):
            return OPERATIONS[sign](_step(left, numbers), _step(right, numbers))
        case Power(base, exponent):
            return float(_step(base, numbers) ** exponent)
        case Call(function, (argument,)) if function in _OF_ONE:
            return _OF_ONE[function](_step(argument, numbers))
        case Call("mean" | "min" | "max" as function, (_, _, *_) as arguments):  # along a row, blanks passed over
            return _of_columns(function, [[_there(one, numbers) for one in arguments]], numbers)
        case Call(function, arguments):
            return _of_table(function, arguments, numbers)


def _of_table(function: str, arguments: tuple[Node, ...], numbers: Numbers) -> float:
    match function, arguments:
        case "concordant", (Name(name), _):  # these students choose the ones that agree before they write
            return _of_columns("mean", [numbers.columns[name]], numbers)
        case "at", (Name(wanted), Name(given), value):
            known = work_out(value, numbers)
            return _read_off(numbers.columns[wanted], numbers.columns[given], known) * (1 + numbers.tilt)
        case "slope", (Name(y), Name(x)) if (y, x) == numbers.axes:
            return 1 / _of_table("slope", (Name(x), Name(y)), numbers)
        case "intercept", (Name(y), Name(x)) if (
            y,
            x,
        ) == numbers.axes:  # where the same drawn line meets the other axis
            other = (Name(x), Name(y))
            return -_of_table("intercept", other, numbers) / _of_table("slope", other, numbers)
        case _:
            names = [one.name for one in arguments if isinstance(one, Name)]
            return _of_columns(function, [numbers.columns[name] for name in names], numbers)


def _there(node: Node, numbers: Numbers) -> float:
    try:
        return work_out(node, numbers)
    except KeyError:
        return math.nan


def _step(node: Node, numbers: Numbers) -> float:
    value = work_out(node, numbers)
    return value if isinstance(node, Name | Number) else numbers.keep(value)


def _of_columns(function: str, columns: list[Sequence[float]], numbers: Numbers) -> float:
    odd = numbers.odd if function in ("slope", "intercept") else frozenset()
    rows = [
        row
        for number, row in enumerate(zip(*columns, strict=True))
        if number not in odd and all(math.isfinite(one) for one in row)
    ]
    first = [row[0] for row in rows]
    match function:
        case "count":
            return float(len(first))
        case "mean":
            return math.fsum(first) / len(first)
        case "min":
            return min(first)
        case "max":
            return max(first)
        case "first":
            return first[0]
        case "last":
            return first[-1]
        case "slope" | "intercept":
            return _line(function, [row[1] for row in rows], first, numbers.tilt)
        case _:
            raise KeyError(function)


def _line(function: str, x: list[float], y: list[float], tilt: float) -> float:
    # The line that was drawn balances the points, so it goes through their middle, however steep it is.
    middle_x, middle_y = math.fsum(x) / len(x), math.fsum(y) / len(y)
    spread = math.fsum((one - middle_x) ** 2 for one in x)
    gradient = math.fsum((a - middle_x) * (b - middle_y) for a, b in zip(x, y, strict=True)) / spread * (1 + tilt)
    return gradient if function == "slope" else middle_y - gradient * middle_x


def _read_off(wanted: Sequence[float], given: Sequence[float], value: float) -> float:
    """Return *wanted* where *given* is *value*: the middle of all places where the points pass it."""
    points = sorted(point for point in zip(wanted, given, strict=True) if all(math.isfinite(one) for one in point))
    found = [
        a + (b - a) * (value - before) / (after - before)
        for (a, before), (b, after) in itertools.pairwise(points)
        if before != after and min(before, after) <= value <= max(before, after)
    ]
    if not found:
        raise ValueError("the points do not reach this value")
    return (min(found) + max(found)) / 2
