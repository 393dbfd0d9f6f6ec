"""Formulas as people read them: with symbols, or with a student's own numbers in their places."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec import Struct

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


class _Writing(Struct, frozen=True):
    """How names, signs and powers of a formula are written.

    A record, for functions that call one another from within a function would be left to the cycle collector.
    """

    name_text: Callable[[str], str]
    signs: Mapping[str, str]
    power_text: Callable[[int], str]

    def text(self, node: Node) -> str:
        """Return *node* as it is written."""
        match node:
            case Number(_, text):
                return text
            case Name(name):
                return self.name_text(name)
            case Minus(term):
                return f"{'−' if self.signs is _PRINTED_SIGNS else '-'}{self.bracketed(term, _UNARY_RANK)}"
            case Operation(sign, left, right):
                # A right-hand term of the same rank needs its brackets: a - (b - c), a / (b * c).
                least = _RANK[sign] + (0 if sign in "+*" and _sign_of(right) == sign else 1)
                # A negative entry that comes first reads well without them: −3.0 ÷ (−0.40).
                first = self.text(left) if isinstance(left, Name) else self.bracketed(left, _RANK[sign])
                return f"{first}{self.signs[sign]}{self.bracketed(right, least)}"
            case Power(base, exponent):
                return f"{self.bracketed(base, _LEAF_RANK)}{self.power_text(exponent)}"
            case Call(function, arguments):
                return _call_text(function, [self.text(argument) for argument in arguments], self.signs)

    def bracketed(self, node: Node, least: int) -> str:
        """Return *node* as it is written, in brackets where it binds less than it has to."""
        text = self.text(node)
        rank = _text_rank(text) if isinstance(node, Name) else _rank(node)
        return text if rank >= least else f"({text})"


_PLAIN = _Writing(lambda name: name, _PLAIN_SIGNS, lambda exponent: f"**{exponent}")


def plain_text(node: Node) -> str:
    """Return *node* in the formula language itself, with the fewest brackets: ``E / (m * dT)``."""
    return _PLAIN.text(node)


def printed_text(node: Node, names: Mapping[str, str]) -> str:
    """Return *node* as it is printed, each name replaced by its text in *names*: ``E ÷ (m × ΔT)``.

    With symbols in *names* it is the formula; with a student's entries it is the working.
    """
    return _Writing(lambda name: "π" if name == PI else names.get(name, name), _PRINTED_SIGNS, _raised).text(node)


def _raised(exponent: int) -> str:
    return str(exponent).translate(_SUPERSCRIPTS)


def printed_equation(symbol: str, formula: Formula, names: Mapping[str, str]) -> str:
    """Return ``symbol = formula`` as it is printed."""
    return f"{symbol} = {printed_text(formula.tree, names)}"


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
