"""What people write in a formula by habit, of paper or of a spreadsheet, and what stands for it in ours."""

from __future__ import annotations

import ast
import re
from collections.abc import Collection

from rubrics.patterns import late_pattern

_SIGNS = {
    "×": "*",
    "·": "*",
    "÷": "/",
    "−": "-",
    "–": "-",
    "π": "pi",
    "²": "**2",
    "³": "**3",
    "√": "sqrt( )",
    "½": "1 / 2",
    "Σ": "sum( )",
}
_FUNCTIONS = {
    "average": "mean",
    "avg": "mean",
    "sd": "stdev",
    "std": "stdev",
    "stddev": "stdev",
    "log": "log10 (to base 10) or ln",
    "lg": "log10",
    "arcsin": "asin",
    "gradient": "slope",
    "root": "sqrt",
    "total": "sum",
    "sigma": "sum",
    "n": "count",
    "pow": "** with a whole number",
    "power": "** with a whole number",
    "var": "stdev(x)**2",
    "variance": "stdev(x)**2",
    "range": "max(x) - min(x)",
    "prev": "above",
    "previous": "above",
    "offset": "above",
    "e": "exp",
    "linest": "slope and intercept",
    "round": "what is inside alone: however a student rounds is allowed for",
    "if": "two answers instead, or choices: a formula has no conditions",
}
LONGEST_SYMBOL = 2
"""Letters; a name as short before a bracket is a quantity to be multiplied."""
_WITHOUT_PERCENT = "leave the % out: it is a unit, and 38 % is 0.38"
_CONDITION = late_pattern(r"\bif *\(", re.IGNORECASE)
_TIMES = late_pattern(r"(?<=[\w)]) +[xX] +(?=[\w(])")
_OPEN_FUNCTION = late_pattern(r"\b([a-z]+[0-9]*) +[a-z0-9_]+", re.IGNORECASE)
_TWO_NAMES = late_pattern(r"\b([a-z]\w*) +([a-z]\w*)", re.IGNORECASE)
_PRODUCT = late_pattern(r"(?<![\w.])([0-9.]+) ?([a-z_(][\w(]*)", re.IGNORECASE)
_POWER_OF_TEN = late_pattern(r"e[+-]?[0-9]*", re.IGNORECASE)


def sign_for(odd: str) -> str:
    """Return how to write a sign that formulas do not know; empty where nothing stands for it."""
    return f"write {_SIGNS[odd]} for it" if odd in _SIGNS else ""


def function_for(name: str, known: Collection[str] = ()) -> str:
    """Return how to write a function that formulas do not know by this name; empty where nothing stands for it.

    *known* are the functions that there are: LN is ln, and STDEV.S of a spreadsheet is stdev.
    """
    plain = name.casefold()
    for one in (plain, plain.partition(".")[0]):
        if one in known or one == "pi":
            return f"write {one}"
        if one in _FUNCTIONS:
            return f"write {_FUNCTIONS[one]}"
    return ""


def unread_for(text: str, known: Collection[str]) -> str:
    """Return how to write a formula that cannot be read at all, by the first habit seen in it; empty where none is."""
    if _CONDITION.search(text):
        return f"write {_FUNCTIONS['if']}"
    if ";" in text:
        return "write a comma between what a function takes"
    if _TIMES.search(text):
        return "write * for x"
    if "%" in text:
        return _WITHOUT_PERCENT
    if (found := _OPEN_FUNCTION.search(text)) and (name := function_for(found[1], known)):
        return f"{name}( ) with brackets"
    if text.count("(") != text.count(")"):
        return "a bracket is missing, or one is too many"
    if found := _TWO_NAMES.search(text):
        return f"write {found[1]} * {found[2]}"
    return ""


def part_for(node: ast.expr, segment: str, known: Collection[str]) -> str:
    """Return how to write a part that Python reads and formulas do not; empty where no habit is seen in it."""
    match node:
        case ast.Call(func=ast.Attribute()):  # STDEV.S(x)
            return function_for(segment.partition("(")[0], known)
        case ast.Tuple():
            return "write a decimal point, not a comma"
        case ast.BinOp(op=ast.Mod()):
            return _WITHOUT_PERCENT
        case _:
            return ""


def name_for(name: str, known: Collection[str]) -> str:
    """Return what may be meant by a function that stands for nothing: a product, or one of *known*."""
    if len(name) <= LONGEST_SYMBOL:
        return f"write {name} * (...) for a product"
    return f"use {', '.join(one for one in known if '_' not in one)} or a fit"


def call_for(name: str, columns: int, values: int) -> str:
    """Return how a function is written that takes *columns* and, behind them, *values*: ``at(y, x, value)``."""
    arguments = ("y", "x", "u_y", "u_x")[:columns] if columns > 1 else ("x",)
    return f"{name}({', '.join((*arguments, *('value',) * values))})"


def power_for(base: str) -> str:
    """Return how to write a power that is no whole number, of *base*."""
    return "write exp( ) for it" if base.strip() == "e" else "write sqrt( ) for 0.5, else exp(n * ln(x))"


def product_for(text: str) -> str:
    """Return how to write the first product without a sign in *text*, such as 2x; empty where there is none."""
    for found in _PRODUCT.finditer(text):
        if not _POWER_OF_TEN.fullmatch(found[2]):
            return f"write {found[1]} * {found[2]}"
    return ""
