"""The formula language of rubrics: a small whitelist on Python's own expression grammar.

Numbers, item names, ``+ - * / **``, brackets and a few functions; nothing else parses. A formula is
a tree of small frozen records, so that it can be evaluated over a whole class, printed with a
student's own numbers, checked for dimensions, and changed step by step to find out what a student did.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from msgspec import Struct

from rubrics.faults import FormulaError
from rubrics.formulas.usual_signs import (
    call_for,
    function_for,
    name_for,
    part_for,
    power_for,
    product_for,
    sign_for,
    unread_for,
)

MAX_TEXT = 500
"""Python's own parser falls over on far longer texts; no school formula comes near this."""
MAX_DEPTH = 40
"""Brackets and signs within one another; keeps every walk over a tree far from Python's own limit."""
MAX_EXPONENT = 9
MAX_NUMBER_TEXT = 40

POINT_FUNCTIONS = ("sqrt", "sin", "cos", "tan", "asin", "ln", "log10", "exp", "kelvin", "abs")
"""Functions of one value; kelvin turns a temperature on a scale into an amount."""
COLUMN_FUNCTIONS = {
    "mean": 1,
    "sum": 1,
    "slope": 2,
    "intercept": 2,
    "min": 1,
    "max": 1,
    "count": 1,
    "first": 1,
    "last": 1,
    "median": 1,
    "stdev": 1,
    "rank": 1,
    "above": 1,
    "concordant": 1,
    "at": 2,
    "slope_through_origin": 2,
    "weighted_slope": 4,
    "weighted_intercept": 4,
    "parabola_constant": 2,
    "parabola_linear": 2,
    "parabola_square": 2,
}
"""Functions of whole columns, with the number of columns they take."""
VALUES_BEHIND = {"concordant": 1, "at": 1}
"""Functions of columns that take plain values behind their columns: how close, where on the curve."""
ROW_FUNCTIONS = ("mean", "min", "max")
"""Functions that, given several names, work along one row of a table and pass over blanks."""
PI = "pi"
_KNOWN = frozenset((*POINT_FUNCTIONS, *COLUMN_FUNCTIONS))


class Number(Struct, frozen=True):
    """A number written in the formula."""

    value: float
    text: str


class Name(Struct, frozen=True):
    """An item, a constant of the rubric, or pi."""

    name: str


class Minus(Struct, frozen=True):
    """A term with its sign turned."""

    term: Node


class Operation(Struct, frozen=True):
    """Two terms and one of ``+ - * /``."""

    sign: str
    left: Node
    right: Node


class Power(Struct, frozen=True):
    """A term raised to a whole number."""

    base: Node
    exponent: int


class Call(Struct, frozen=True):
    """A function and its arguments."""

    function: str
    arguments: tuple[Node, ...]

    @property
    def columns(self) -> tuple[Node, ...]:
        """Return the arguments that are whole columns; none for a function of one value or of one row."""
        return () if self.is_along_row else self.arguments[: COLUMN_FUNCTIONS.get(self.function, 0)]

    @property
    def is_along_row(self) -> bool:
        """Tell whether it works on several values of one row: mean(t_1, t_2, t_3)."""
        return self.function in ROW_FUNCTIONS and len(self.arguments) > 1


Node = Number | Name | Minus | Operation | Power | Call


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula as its author wrote it, and its tree."""

    text: str
    tree: Node
    names: tuple[str, ...] = field(init=False, repr=False, compare=False)
    """The names it uses, pi left out, each once, in order of appearance."""

    def __post_init__(self) -> None:
        """Look the names up once: they are asked for with every answer."""
        names = dict.fromkeys(n.name for n in walk(self.tree) if isinstance(n, Name) and n.name != PI)
        object.__setattr__(self, "names", tuple(names))


def parse_formula(text: str) -> Formula:
    """Return *text* as a formula.

    Raises:
        FormulaError: It holds anything but the formula language; the text says what and how to mend it.
    """
    if not text.strip():
        raise FormulaError("the formula is empty: write one, such as V / I")
    if len(text) > MAX_TEXT:
        raise FormulaError(f"the formula has more than {MAX_TEXT} characters: split it over several answers")
    if not text.isascii():
        odd = next(character for character in text if not character.isascii())
        mend = sign_for(odd) or "write item names and + - * / ** only"
        raise FormulaError(f"the formula holds the sign {odd!r}: {mend}")
    try:
        tree = ast.parse(text.strip(), mode="eval").body
        formula = Formula(text=text.strip(), tree=_convert(tree, text.strip()))
    except FormulaError:
        raise
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise FormulaError(f"the formula {text[:60]!r} cannot be read: {_mend(text)}") from error
    if _is_deeper(formula.tree, MAX_DEPTH):
        raise FormulaError("the formula is nested too deeply: split it over several answers")
    return formula


def _mend(text: str) -> str:
    if "=" in text:
        return "leave out what stands before the ="
    return unread_for(text, _KNOWN) or product_for(text) or "check brackets and signs"


_OPERATORS: dict[type[ast.operator], str] = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/"}


def _convert(node: ast.expr, source: str) -> Node:
    match node:
        case ast.Constant():
            return _number(node, source)
        case ast.Name():
            return Name(node.id)
        case ast.UnaryOp(op=ast.USub()):
            return Minus(_convert(node.operand, source))
        case ast.UnaryOp(op=ast.UAdd()):
            return _convert(node.operand, source)
        case ast.BinOp(op=ast.Pow()):
            return Power(_convert(node.left, source), _exponent(node, source))
        case ast.BinOp(op=ast.BitXor()):
            raise FormulaError("'^' is not a power here: write ** for it")
        case ast.BinOp() if type(node.op) in _OPERATORS:
            return Operation(_OPERATORS[type(node.op)], _convert(node.left, source), _convert(node.right, source))
        case ast.Call(func=ast.Name()):
            return _call(node, source)
        case _:
            segment = ast.get_source_segment(source, node) or source
            mend = part_for(node, segment, _KNOWN) or product_for(segment) or "use numbers, names and + - * / **"
            raise FormulaError(f"{segment[:40]!r} is not part of the formula language: {mend}")


def _number(node: ast.Constant, source: str) -> Number:
    text = ast.get_source_segment(source, node) or ""
    value = node.value
    if isinstance(value, bool) or not isinstance(value, int | float) or len(text) > MAX_NUMBER_TEXT:
        raise FormulaError(f"{text[:40]!r} is not a number that a formula may hold")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise FormulaError(f"the number {text[:40]!r} is too large")
    return Number(number, text)


def _exponent(power: ast.BinOp, source: str) -> int:
    node, sign = power.right, 1
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        sign, node = -1, node.operand
    value = node.value if isinstance(node, ast.Constant) else None
    if isinstance(value, bool) or not isinstance(value, int) or value > MAX_EXPONENT:
        mend = power_for(ast.get_source_segment(source, power.left) or "")
        raise FormulaError(
            f"a power must be a whole number from -{MAX_EXPONENT} to {MAX_EXPONENT}, written out: {mend}"
        )
    return sign * value


def _call(node: ast.Call, source: str) -> Call:
    name = node.func.id if isinstance(node.func, ast.Name) else ""
    columns = 0 if name in POINT_FUNCTIONS else COLUMN_FUNCTIONS.get(name)
    if columns is None:
        mend = function_for(name, _KNOWN) or name_for(name, (*POINT_FUNCTIONS, *COLUMN_FUNCTIONS))
        raise FormulaError(f"{name or 'this'!r} is no function of the formula language: {mend}")
    wanted = max(columns, 1) + VALUES_BEHIND.get(name, 0)
    is_row = name in ROW_FUNCTIONS and len(node.args) > 1
    if node.keywords or (len(node.args) != wanted and not is_row) or any(isinstance(a, ast.Starred) for a in node.args):
        such_as = call_for(name, columns, VALUES_BEHIND.get(name, 0))
        raise FormulaError(f"{name} takes {wanted} plain argument{'s' if wanted > 1 else ''}: {such_as}")
    arguments = tuple(_convert(argument, source) for argument in node.args)
    if not all(isinstance(argument, Name) for argument in Call(name, arguments).columns):
        raise FormulaError(
            f"{name} takes names of columns, such as {name}(R): give the sum inside it an item of its own"
        )
    return Call(name, arguments)


def _children(node: Node) -> tuple[Node, ...]:
    match node:
        case Minus(term):
            return (term,)
        case Operation(_, left, right):
            return (left, right)
        case Power(base, _):
            return (base,)
        case Call(_, arguments):
            return arguments
        case _:
            return ()


def _is_deeper(node: Node, limit: int) -> bool:
    # Stops at the limit, for a tree of hundreds of signs would outrun Python's own stack.
    return limit == 0 or any(_is_deeper(child, limit - 1) for child in _children(node))


def walk(node: Node) -> Iterator[Node]:
    """Yield *node* and all nodes below it, from the top."""
    left = [node]
    while left:
        node = left.pop()
        yield node
        left += reversed(_children(node))


def replace_name(node: Node, name: str, new: Node) -> Node:
    """Return *node* with every use of *name* replaced by *new*."""
    match node:
        case Name(found):
            return new if found == name else node
        case Minus(term):
            return Minus(replace_name(term, name, new))
        case Operation(sign, left, right):
            return Operation(sign, replace_name(left, name, new), replace_name(right, name, new))
        case Power(base, exponent):
            return Power(replace_name(base, name, new), exponent)
        case Call(function, arguments) if isinstance(new, Name) or not _is_column_of(node, name):
            return Call(function, tuple(replace_name(argument, name, new) for argument in arguments))
        case _:
            return node


def _is_column_of(call: Call, name: str) -> bool:
    return any(isinstance(column, Name) and column.name == name for column in call.columns)


def factors(node: Node) -> tuple[tuple[Node, int], ...]:
    """Return the chain of factors that *node* is: (factor, +1 above the line or -1 below it)."""
    match node:
        case Operation("*", left, right):
            return factors(left) + factors(right)
        case Operation("/", left, right):
            return factors(left) + tuple((factor, -side) for factor, side in factors(right))
        case _:
            return ((node, 1),)


def terms(node: Node) -> tuple[tuple[Node, int], ...]:
    """Return the chain of terms that *node* is: (term, +1 or -1)."""
    match node:
        case Operation("+", left, right):
            return terms(left) + terms(right)
        case Operation("-", left, right):
            return terms(left) + tuple((term, -sign) for term, sign in terms(right))
        case Minus(term):
            return tuple((part, -sign) for part, sign in terms(term))
        case _:
            return ((node, 1),)
