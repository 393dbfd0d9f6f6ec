"""Formulas as people read them: with symbols, or with a student's own numbers in their places."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from rubrics.formulas.formula import PI, Call, Formula, Minus, Name, Node, Number, Operation, Power
from rubrics.formulas.printed_numbers import listed

_RANK = {"+": 1, "-": 1, "*": 2, "/": 2}
_TAKEN_OFF = {
    "slope": "gradient",
    "intercept": "intercept",
    "weighted_slope": "gradient by weights",
    "weighted_intercept": "intercept by weights",
    "slope_through_origin": "gradient through zero",
    "parabola_constant": "constant term",
    "parabola_linear": "linear term",
    "parabola_square": "square term",
}
_IN_WORDS = {
    "mean": "mean of",
    "sum": "sum of",
    "min": "smallest of",
    "max": "largest of",
    "first": "first",
    "last": "last",
    "count": "number of",
}
_UNARY_RANK = 3
_POWER_RANK = 4
_LEAF_RANK = 5
_SUPERSCRIPTS = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_PRINTED_SIGNS = {"+": " + ", "-": " − ", "*": " × ", "/": " ÷ "}
_PLAIN_SIGNS = {"+": " + ", "-": " - ", "*": " * ", "/": " / "}


def plain_text(node: Node) -> str:
    """Return *node* in the formula language itself, with the fewest brackets: ``E / (m * dT)``."""
    return _text(node, lambda name: name, _PLAIN_SIGNS, lambda exponent: f"**{exponent}")


def printed_text(node: Node, names: Mapping[str, str]) -> str:
    """Return *node* as it is printed, each name replaced by its text in *names*: ``E ÷ (m × ΔT)``.

    With symbols in *names* it is the formula; with a student's entries it is the working.
    """
    return _text(
        node,
        lambda name: "π" if name == PI else names.get(name, name),
        _PRINTED_SIGNS,
        lambda exponent: str(exponent).translate(_SUPERSCRIPTS),
    )


def printed_equation(symbol: str, formula: Formula, names: Mapping[str, str]) -> str:
    """Return ``symbol = formula`` as it is printed."""
    return f"{symbol} = {printed_text(formula.tree, names)}"


def _text(
    node: Node, name_text: Callable[[str], str], signs: Mapping[str, str], power_text: Callable[[int], str]
) -> str:
    def bracketed(inner: Node, least: int) -> str:
        text = show(inner)
        rank = _text_rank(text) if isinstance(inner, Name) else _rank(inner)
        return text if rank >= least else f"({text})"

    def show(inner: Node) -> str:
        match inner:
            case Number(_, text):
                return text
            case Name(name):
                return name_text(name)
            case Minus(term):
                return (
                    f"−{bracketed(term, _UNARY_RANK)}"
                    if signs is _PRINTED_SIGNS
                    else f"-{bracketed(term, _UNARY_RANK)}"
                )
            case Operation(sign, left, right):
                # A right-hand term of the same rank needs its brackets: a - (b - c), a / (b * c).
                least = _RANK[sign] + (0 if sign in "+*" and _sign_of(right) == sign else 1)
                # A negative entry that comes first reads well without them: −3.0 ÷ (−0.40).
                first = show(left) if isinstance(left, Name) else bracketed(left, _RANK[sign])
                return f"{first}{signs[sign]}{bracketed(right, least)}"
            case Power(base, exponent):
                return f"{bracketed(base, _LEAF_RANK)}{power_text(exponent)}"
            case Call(function, arguments):
                return _call_text(function, [show(argument) for argument in arguments], signs)

    return show(node)


def _call_text(function: str, arguments: list[str], signs: Mapping[str, str]) -> str:
    if signs is _PRINTED_SIGNS and function in _TAKEN_OFF:
        return f"{_TAKEN_OFF[function]} of {arguments[0]} against {arguments[1]}"
    if signs is _PRINTED_SIGNS and function in _IN_WORDS:
        return f"{_IN_WORDS[function]} {listed(arguments)}"
    if signs is _PRINTED_SIGNS and function == "sqrt":
        (inner,) = arguments
        return f"√({inner})" if " " in inner else f"√{inner}"
    if signs is _PRINTED_SIGNS and function == "at":
        return f"value of {arguments[0]} where {arguments[1]} is {arguments[2]}"
    return f"{function}({', '.join(arguments)})"


def _sign_of(node: Node) -> str:
    return node.sign if isinstance(node, Operation) else ""


def _rank(node: Node) -> int:
    match node:
        case Operation(sign, _, _):
            return _RANK[sign]
        case Minus():
            return _UNARY_RANK
        case Power():
            return _POWER_RANK
        case _:
            return _LEAF_RANK


def _text_rank(text: str) -> int:
    # A student's entry may be negative, or hold a power of ten: 18 − (−5), 3.0 ÷ (1.2 × 10⁻⁴).
    if text.startswith(("-", "−")):
        return _RANK["-"]
    return _RANK["*"] if _PRINTED_SIGNS["*"] in text else _LEAF_RANK
