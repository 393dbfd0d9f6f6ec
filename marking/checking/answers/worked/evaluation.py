"""What a formula comes to, for a whole class at once.

Every value is an array of shape (students, rows); a single item has one row and is stretched over the
rows of a table. NaN means that there is nothing to work with.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from marking.checking.fits import FITS, concordant_mean, fit_lines, fit_value, gradients, mean_of, read_off
from rubrics.formulas import OPERATIONS, PI, Call, Minus, Name, Node, Number, Operation, Power

Values = NDArray[np.float64]
"""Shape (students, rows)."""

POINT_FUNCTIONS: Mapping[str, Callable[[Values], Values]] = {
    "sqrt": np.sqrt,
    "sin": np.sin,
    "cos": np.cos,
    "tan": np.tan,
    "asin": np.arcsin,
    "ln": np.log,
    "log10": np.log10,
    "exp": np.exp,
    "abs": np.abs,
    "kelvin": np.positive,  # in SI units a temperature is in kelvin already
}


def evaluate(node: Node, values: Mapping[str, Values]) -> Values:
    """Return *node* worked out on *values*; NaN or infinite where it has no value.

    Args:
        node: A formula's tree.
        values: Name to array of shape (students, rows) or (students, 1), all in one system of units.
    """
    with np.errstate(all="ignore"):
        return _evaluate(node, values)


def _evaluate(node: Node, values: Mapping[str, Values]) -> Values:
    match node:
        case Number(value, _):
            return np.full((1, 1), value)
        case Name(name):
            return np.full((1, 1), math.pi) if name == PI else values[name]
        case Minus(term):
            return -_evaluate(term, values)
        case Operation(sign, left, right):
            return np.asarray(OPERATIONS[sign](_evaluate(left, values), _evaluate(right, values)))
        case Power(base, exponent):
            return np.asarray(_evaluate(base, values) ** float(exponent))
        case Call(function, arguments) if function in POINT_FUNCTIONS:
            return POINT_FUNCTIONS[function](_evaluate(arguments[0], values))
        case Call(function, arguments) if node.is_along_row:
            return row_value(function, [_evaluate(argument, values) for argument in arguments])
        case Call(function, arguments):
            return column_value(function, [_evaluate(argument, values) for argument in arguments])


def row_value(function: str, values: list[Values]) -> Values:
    """Return a function of several values of one row; those that are missing are passed over."""
    stacked = np.stack(np.broadcast_arrays(*values), axis=-1)
    if function == "mean":
        return np.asarray(mean_of(stacked)[..., 0])
    return np.asarray((np.fmin if function == "min" else np.fmax).reduce(stacked, axis=-1))


def column_value(function: str, columns: list[Values]) -> Values:
    """Return a function of whole columns, shape (students, 1); rows without a value are left out.

    Args:
        function: One of the formula language's functions of columns.
        columns: The columns, and the plain values behind them.
    """
    first = columns[0]
    if function in _OF_ONE:
        return _OF_ONE[function](first)
    present = np.isfinite(first)
    counts: Values = np.asarray(present.sum(axis=1, keepdims=True), dtype=np.float64)
    match function:
        case "count":
            return counts
        case "mean":
            return mean_of(first)
        case "first" | "last":
            at = np.argmax(present, axis=1) if function == "first" else -1 - np.argmax(present[:, ::-1], axis=1)
            return np.asarray(first[np.arange(first.shape[0]), at][:, np.newaxis])
        case "concordant":
            return concordant_mean(first, columns[1])
        case "at":
            return read_off(first, columns[1], columns[2])
        case "min":
            lowest = np.where(present, first, np.inf).min(axis=1, keepdims=True)
            return np.asarray(np.where(counts > 0, lowest, np.nan))
        case "max":
            highest = np.where(present, first, -np.inf).max(axis=1, keepdims=True)
            return np.asarray(np.where(counts > 0, highest, np.nan))
        case _ if function in FITS:
            return fit_value(function, columns)[0]
        case _:
            return gradients(columns[1], first) if function == "slope" else fit_lines(columns[1], first).intercept


def _median(column: Values) -> Values:
    counts = np.isfinite(column).sum(axis=1)
    ordered = np.sort(np.where(np.isfinite(column), column, np.inf), axis=1)
    rows = np.arange(column.shape[0])
    low, high = (
        ordered[rows, np.maximum(counts - 1, 0) // 2],
        ordered[rows, np.minimum(counts // 2, column.shape[1] - 1)],
    )
    return np.asarray(np.where(counts > 0, (low + high) / 2.0, np.nan)[:, np.newaxis])


def _total(column: Values) -> Values:
    """Return the sum of all rows, blanks passed over; NaN where there is none."""
    there = np.isfinite(column)
    total = np.where(there, column, 0.0).sum(axis=1, keepdims=True)
    return np.asarray(np.where(there.any(axis=1, keepdims=True), total, np.nan))


def _spread(column: Values) -> Values:
    """Return the standard deviation of a sample, with one less than the count below; NaN for fewer than two."""
    counts = np.isfinite(column).sum(axis=1, keepdims=True)
    away = np.where(np.isfinite(column), column - mean_of(column), 0.0)
    variance = (away**2).sum(axis=1, keepdims=True) / np.maximum(counts - 1.0, 1.0)
    return np.asarray(np.where(counts > 1, np.sqrt(variance), np.nan))


def _above(column: Values) -> Values:
    """Return for each row the value in the row above it."""
    return np.concatenate([np.full((column.shape[0], 1), np.nan), column[:, :-1]], axis=1)


def _ranks(column: Values) -> Values:
    """Return the rank of each row: 1 for the lowest; equal values share the mean of theirs."""
    one, other = column[:, :, np.newaxis], column[:, np.newaxis, :]
    ranks = (other < one).sum(axis=2) + ((other == one).sum(axis=2) + 1) / 2.0
    return np.asarray(np.where(np.isfinite(column), ranks, np.nan))


_OF_ONE: Mapping[str, Callable[[Values], Values]] = {
    "median": _median,
    "sum": _total,
    "stdev": _spread,
    "above": _above,
    "rank": _ranks,
}
