"""Where the answers of careful students lie: a formula over intervals, with every step rounded.

A careful student may keep each step to three figures (two where the readings have only two), may work
along a chain of factors in any order, may take any value of a constant that the school uses, and may
draw a line by hand. Everything such a student can arrive at is inside the interval; nothing is a flat
percentage but the share allowed to a hand-drawn line, which is common practice, no source.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from marking.checking.answers.worked.evaluation import POINT_FUNCTIONS, Values, column_value, row_value
from marking.checking.answers.written import Places, kept_interval, step_interval
from marking.checking.fits import DRAWN_FITS, DRAWN_SHARE, FITS, concordant_means, line_room, means_of
from rubrics.formulas import PI, Call, Formula, Minus, Name, Node, Number, Operation, Power, factors, terms, walk

Interval = tuple[Values, Values]
"""Lowest and highest value, each of shape (students, rows)."""

PI_VALUES = (3.14, 22 / 7)
"""The shortest and the longest pi in school use; the full value lies between."""
ZERO_CELSIUS_CUT = 0.15
"""273 for 273.15, in kelvin."""
_DRAWN = ("slope", "intercept", "at", *DRAWN_FITS)
LONGEST_CHAIN = 6
"""Orders of more factors than this are not all tried; no school formula has them."""


class Care(Struct, frozen=True, kw_only=True):
    """How a careful student may have worked."""

    figures: Places
    """Figures a step is kept to, shape (students, rows) or (students, 1)."""
    drawn_share: float = DRAWN_SHARE
    turns_about_middle: bool = False
    """A line that is drawn steeper or flatter meets the axis so much higher or lower."""
    line_turns: bool = False
    """A line that gives gradient and intercept turns about its middle: the allowance is given to the intercept."""


def careful_interval(formula: Formula, env: Mapping[str, Interval], care: Care) -> Interval:
    """Return where careful answers by *formula* lie; NaN where an input is missing.

    Args:
        formula: The way the answer is worked out.
        env: Name to interval, in coherent SI units.
        care: How many figures a step keeps, and how freely a line is drawn.
    """
    calls = {part.function for part in walk(formula.tree) if isinstance(part, Call)}
    with np.errstate(all="ignore"):
        return _interval(formula.tree, env, replace(care, line_turns=calls.issuperset(("slope", "intercept"))))


def hull(first: Interval, *others: Interval) -> Interval:
    """Return the smallest interval that holds them all; missing ones are passed over."""
    low, high = first
    for other_low, other_high in others:
        low, high = np.fmin(low, other_low), np.fmax(high, other_high)
    return low, high


def _interval(node: Node, env: Mapping[str, Interval], care: Care) -> Interval:
    match node:
        case Number(value, _):
            return np.full((1, 1), value), np.full((1, 1), value)
        case Name(name):
            return (np.full((1, 1), PI_VALUES[0]), np.full((1, 1), PI_VALUES[1])) if name == PI else env[name]
        case Minus(term):
            low, high = _interval(term, env, care)
            return -high, -low
        case Operation(sign, _, _) if sign in "*/":
            return _chain(node, env, care)
        case Operation():
            return _sum(node, env, care)
        case Power(base, exponent):
            return _power(_factor(base, env, care), exponent)
        case Call():
            return _call(node, env, care)


def _call(call: Call, env: Mapping[str, Interval], care: Care) -> Interval:
    function, arguments = call.function, call.arguments
    if function == "kelvin":
        # 273 is added as often as 273.15.
        low, high = _interval(arguments[0], env, care)
        return low - ZERO_CELSIUS_CUT, high
    if function == "abs":
        low, high = _interval(arguments[0], env, care)
        ends = _ends([np.abs(low), np.abs(high)])
        return np.where(low * high < 0, 0.0, ends[0]), ends[1]
    if function in POINT_FUNCTIONS:
        # Monotone over the ranges that school formulas use.
        low, high = _step(arguments[0], env, care)
        return _ends([POINT_FUNCTIONS[function](low), POINT_FUNCTIONS[function](high)])
    if function == "at":
        columns = [_middle(_interval(column, env, care)) for column in call.columns]
        ends = _step(arguments[2], env, care)
        return _lines(function, [[*columns, end] for end in ends], care)
    values = [_interval(argument, env, care) for argument in arguments]
    return _along_row(function, values) if call.is_along_row else _column(function, values, care)


def _ends(candidates: list[Values]) -> Interval:
    stacked = np.stack(np.broadcast_arrays(*candidates))
    # A missing input must leave the answer missing: plain min and max carry NaN along.
    return stacked.min(axis=0), stacked.max(axis=0)


def _step(node: Node, env: Mapping[str, Interval], care: Care) -> Interval:
    interval = _interval(node, env, care)
    return interval if isinstance(node, Name | Number) else step_interval(*interval, care.figures)


def _factor(node: Node, env: Mapping[str, Interval], care: Care) -> Interval:
    # Converting 409.6 mA to 0.410 A is a step too; a factor may be kept as shortly as any other step.
    return (
        kept_interval(*_interval(node, env, care), care.figures) if isinstance(node, Name) else _step(node, env, care)
    )


def _sum(node: Node, env: Mapping[str, Interval], care: Care) -> Interval:
    low: Values = np.zeros((1, 1))
    high: Values = np.zeros((1, 1))
    chain = terms(node)
    for position, (term, sign) in enumerate(chain):
        term_low, term_high = _step(term, env, care)
        low = low + (term_low if sign > 0 else -term_high)
        high = high + (term_high if sign > 0 else -term_low)
        if 0 < position < len(chain) - 1:
            low, high = step_interval(low, high, care.figures)
    return low, high


def _chain(node: Node, env: Mapping[str, Interval], care: Care) -> Interval:
    """Return the hull over every order in which a chain of factors may be worked."""
    parts = [(factor, side) for factor, side in factors(node) if not _is_one(factor)]
    if not parts:
        return np.ones((1, 1)), np.ones((1, 1))
    single = [_factor(factor, env, care) for factor, _ in parts[:LONGEST_CHAIN]]
    above = [side > 0 for _, side in parts[:LONGEST_CHAIN]]
    known: dict[frozenset[int], Interval] = {}
    for size in range(1, len(single) + 1):
        for members in itertools.combinations(range(len(single)), size):
            known[frozenset(members)] = _group(members, single, above, known, care)
    low, high = known[frozenset(range(len(single)))]
    if not any(above):  # only factors below the line: 1 / (a * b)
        low, high = _reciprocal((low, high))
    for factor, side in parts[LONGEST_CHAIN:]:
        other = _factor(factor, env, care)
        low, high = _product((low, high), other, side > 0)
    return low, high


def _group(
    members: tuple[int, ...],
    single: list[Interval],
    above: list[bool],
    known: Mapping[frozenset[int], Interval],
    care: Care,
) -> Interval:
    """Return the product of some factors; a group wholly below the line is kept as its own product."""
    if len(members) == 1:
        return single[members[0]]
    first, rest = members[0], members[1:]
    found: list[Interval] = []
    for size in range(len(rest)):
        for others in itertools.combinations(rest, size):
            left = frozenset((first, *others))
            right = frozenset(members) - left
            found.append(_joined(left, right, above, known, care))
    return hull(found[0], *found[1:])


def _joined(
    left: frozenset[int],
    right: frozenset[int],
    above: list[bool],
    known: Mapping[frozenset[int], Interval],
    care: Care,
) -> Interval:
    left_above, right_above = any(above[i] for i in left), any(above[i] for i in right)
    a = known[left] if len(left) == 1 else step_interval(*known[left], care.figures)
    b = known[right] if len(right) == 1 else step_interval(*known[right], care.figures)
    if left_above == right_above:
        return _product(a, b, times=True)
    return _product(a, b, times=False) if left_above else _product(b, a, times=False)


def _product(a: Interval, b: Interval, times: bool) -> Interval:
    if not times:
        b = _reciprocal(b)
    return _ends([a[0] * b[0], a[0] * b[1], a[1] * b[0], a[1] * b[1]])


def _reciprocal(interval: Interval) -> Interval:
    # Nothing can be said of a division by something that may be zero: 1 over -0.1 to 0.1 has no smallest value.
    low, high = _ends([1.0 / interval[0], 1.0 / interval[1]])
    sure = interval[0] * interval[1] > 0
    return np.where(sure, low, np.nan), np.where(sure, high, np.nan)


def _power(base: Interval, exponent: int) -> Interval:
    low, high = _ends([base[0] ** float(abs(exponent)), base[1] ** float(abs(exponent))])
    if exponent % 2 == 0:
        # The square of something that may be zero starts at zero.
        low = np.where(base[0] * base[1] < 0, 0.0, low)
    return _reciprocal((low, high)) if exponent < 0 else (low, high)


def _is_one(node: Node) -> bool:
    return isinstance(node, Number) and node.value == 1.0


def _middle(interval: Interval) -> Values:
    return 0.5 * (interval[0] + interval[1])


def _along_row(function: str, values: list[Interval]) -> Interval:
    lows, highs = [low for low, _ in values], [high for _, high in values]
    if function != "mean":
        return row_value(function, lows), row_value(function, highs)
    low, high = hull(*(means_of(np.stack(np.broadcast_arrays(*ends), axis=-1)) for ends in (lows, highs)))
    return low[..., 0], high[..., 0]


def _column(function: str, columns: list[Interval], care: Care) -> Interval:
    if function == "mean":
        return hull(*(means_of(ends) for ends in columns[0]))
    if function == "concordant":
        # Any of the closenesses that the school uses.
        ways = [concordant_means(column, within) for column in columns[0] for within in columns[1]]
        return hull(ways[0], *ways[1:])
    middles = [_middle(column) for column in columns]
    if function in (*_DRAWN, *FITS):
        return _lines(function, [middles], care)
    # A spread, and a rank, come from the values as they are: an end of every range has neither.
    ends = (middles, middles) if function in ("stdev", "rank") else ([c[0] for c in columns], [c[1] for c in columns])
    return column_value(function, list(ends[0])), column_value(function, list(ends[1]))


def _lines(function: str, columns: list[list[Values]], care: Care) -> Interval:
    """Return the hull over every line that may be drawn."""
    rooms = [
        room
        for one in columns
        for room in line_room(function, one, care.drawn_share, turns=care.turns_about_middle) or ()
    ]
    is_still = care.line_turns and function == "slope"
    first, *others = [(value, value) if is_still else (low, high) for value, low, high in rooms]
    return hull(first, *others)


def is_drawn(formula: Formula) -> bool:
    """Tell whether *formula* takes anything off a line or a curve that the student drew."""
    return any(isinstance(part, Call) and part.function in _DRAWN for part in walk(formula.tree))
