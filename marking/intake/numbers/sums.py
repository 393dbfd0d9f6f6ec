"""Sums that a student typed in front of an equals sign: 19300/(1.002×21.5)."""

from __future__ import annotations

from rubrics.faults import FormulaError
from rubrics.formulas import Minus, Node, Number, Operation, Power, parse_formula
from rubrics.patterns import late_pattern

_SUM = late_pattern(r"[0-9.(+-][0-9.,()+*/:×÷·x^ -]*[0-9)]")
_SIGNS = str.maketrans({"×": "*", "x": "*", "·": "*", "÷": "/", ":": "/"})
_DECIMAL_COMMA = late_pattern(r"(?<=\d),(?=\d)")


def is_sum(text: str) -> bool:
    """Tell whether a plain text has the shape of a sum of numbers; a colon alone makes a time, '10:30', and no sum."""
    return bool(_SUM.fullmatch(text)) and any(sign in text for sign in "+*/×÷·x^(-")


def value_of_sum(text: str) -> float | None:
    """Return what a typed sum comes to; None where it cannot be worked out."""
    text = text if "." in text else _DECIMAL_COMMA.sub(".", text)
    try:
        return _value(parse_formula(text.translate(_SIGNS).replace("^", "**")).tree)
    except (FormulaError, ArithmeticError, ValueError):
        return None


def _value(node: Node) -> float:
    match node:
        case Number(value, _):
            return value
        case Minus(term):
            return -_value(term)
        case Power(base, exponent):
            return float(_value(base) ** exponent)
        case Operation(sign, left, right):
            a, b = _value(left), _value(right)
            return a + b if sign == "+" else a - b if sign == "-" else a * b if sign == "*" else a / b
    raise ValueError("not a sum of numbers")
