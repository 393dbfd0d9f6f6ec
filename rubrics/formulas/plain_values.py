"""What a formula comes to on plain numbers: for lines of working that are checked before they are printed."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping
from typing import Any

from rubrics.formulas.formula import PI, Call, Minus, Name, Node, Number, Operation, Power

OPERATIONS: Mapping[str, Callable[[Any, Any], Any]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
}
"""What each sign of a formula does to what stands on either side, numbers or arrays."""
_OF_ONE: Mapping[str, Callable[[float], float]] = {
    "sqrt": math.sqrt,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "asin": math.asin,
    "ln": math.log,
    "log10": math.log10,
    "exp": math.exp,
}


def plain_value(node: Node, numbers: Mapping[str, float]) -> float:
    """Return *node* worked out on *numbers*; NaN where it has no value or asks for whole columns.

    Args:
        node: A formula's tree.
        numbers: Name to number, as it goes into the formula; angles in radians.
    """
    try:
        return _worked(node, numbers)
    except (ArithmeticError, KeyError, ValueError):
        return math.nan


def _worked(node: Node, numbers: Mapping[str, float]) -> float:
    match node:
        case Number(value, _):
            return value
        case Name(name):
            return math.pi if name == PI else numbers[name]
        case Minus(term):
            return -_worked(term, numbers)
        case Operation(sign, left, right):
            return float(OPERATIONS[sign](_worked(left, numbers), _worked(right, numbers)))
        case Power(base, exponent):
            return float(_worked(base, numbers) ** exponent)
        case Call(function, arguments) if function in _OF_ONE:
            return _OF_ONE[function](_worked(arguments[0], numbers))
        case _:
            return math.nan
