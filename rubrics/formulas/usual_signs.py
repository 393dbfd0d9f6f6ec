"""What people write in a formula by habit, of paper or of a spreadsheet, and what stands for it in ours."""

from __future__ import annotations

import re

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
    "sum": "mean(x) * count(x)",
    "total": "mean(x) * count(x)",
    "n": "count",
    "pow": "** with a whole number",
    "power": "** with a whole number",
}
_PRODUCT = re.compile(r"(?<![\w.])([0-9.]+) ?([a-z_(][\w(]*)", re.IGNORECASE)
_POWER_OF_TEN = re.compile(r"e[+-]?[0-9]*", re.IGNORECASE)


def sign_for(odd: str) -> str:
    """Return how to write a sign that formulas do not know; empty where nothing stands for it."""
    return f"write {_SIGNS[odd]} for it" if odd in _SIGNS else ""


def function_for(name: str) -> str:
    """Return how to write a function that formulas do not know by this name; empty where nothing stands for it."""
    known = _FUNCTIONS.get(name.casefold())
    return f"write {known}" if known else ""


def product_for(text: str) -> str:
    """Return how to write the first product without a sign in *text*, such as 2x; empty where there is none."""
    for found in _PRODUCT.finditer(text):
        if not _POWER_OF_TEN.fullmatch(found[2]):
            return f"write {found[1]} * {found[2]}"
    return ""
