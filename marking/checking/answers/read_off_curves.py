"""Values read off a curve, where it takes a person to say whether the curve was drawn so.

``fits`` reads along the column whose value is known. Drawn from left to right, a curve through a point that is far out
passes the value somewhere else, or more than once: whoever reads there did read off a curve. And whoever writes the
value of a row down read off none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.worked import Interval, evaluate
from marking.checking.answers.written import Printed, any_of
from marking.checking.fits import DRAWN_SHARE, crossings
from rubrics.formulas import Call
from rubrics.model import Item

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]


def passed_from_left_to_right(item: Item, known: Sequence[Mapping[str, Values]]) -> list[Interval]:
    """Return where curves through the points, in the order of the column that is read, pass the known value.

    Args:
        item: The answer; none is returned where it is not read off a curve.
        known: Values by name in SI units, (students, rows): as the readings have them, and as they stand written.

    Returns:
        An interval for each pair of neighbouring points and each of *known*, as wide as a hand may draw beside them;
        both ends (students, 1), NaN where the curve does not pass the value between the two.
    """
    found = []
    for wanted, given, value in _read_off(item, known):
        used = np.isfinite(wanted) & np.isfinite(given)
        with np.errstate(all="ignore"):
            top = np.where(used, wanted, -np.inf).max(axis=1, keepdims=True)
            bottom = np.where(used, wanted, np.inf).min(axis=1, keepdims=True)
            room = DRAWN_SHARE * (top - bottom)
        at = crossings(wanted, given, value)
        found += [(at[:, [place]] - room, at[:, [place]] + room) for place in range(at.shape[1])]
    return found


def is_of_one_row(item: Item, known: Sequence[Mapping[str, Values]], one: Printed) -> Mask:
    """Tell which answers that are read off a curve are just what stands in one row of the column that is read."""
    rows = [np.zeros(one.number.shape, np.bool_)]
    for wanted, _, _ in _read_off(item, known):
        rows += [one.is_printed_by(wanted[:, [row]], wanted[:, [row]]) for row in range(wanted.shape[1])]
    return any_of(rows)


def _read_off(item: Item, known: Sequence[Mapping[str, Values]]) -> Iterator[tuple[Values, Values, Values]]:
    """Yield the column that is read, the one whose value is known, and the value, for each of *known*."""
    tree = item.formula.tree if item.formula is not None else None
    if not isinstance(tree, Call) or tree.function != "at":
        return
    for values in known:
        wanted, given, value = (evaluate(argument, values) for argument in tree.arguments)
        wanted, given = np.broadcast_arrays(wanted, given)
        yield wanted, given, value
