"""How even a table comes out by rounding alone: true lines near the one found, read off without any noise.

Each draw takes another line within reach, keeps every reading that was set where it was, draws the others near what
was written, and lets the last reading follow from the line and be rounded as it was.
The draws are fixed, so that the same table gets the same answer.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import evaluate
from marking.checking.fits import fit_lines
from marking.cohort.leads.rounding_noise import SMALL
from rubrics.formulas import Formula

Values = NDArray[np.float64]

DRAWS = 20_000
REACH = 0.03
"""Lines and readings are drawn within this share of those found; common practice, no source."""
ALIKE = 1e-9
"""Sums of squares, and what is added to them, so that rounding in the last bit does not part equal ones."""


class Table(Struct, frozen=True, kw_only=True):
    """One group's rows; every array of shape (rows,), in SI units."""

    formula: Formula
    """Of what is drawn upwards."""
    values: Mapping[str, Values]
    """What the formula names, constants too."""
    units: Mapping[str, Values]
    """Last digit of each reading."""
    exact: Mapping[str, NDArray[np.bool_]]
    """Readings that stand for the very value they name."""
    x: Values
    y: Values
    deviation: Values
    """What last digits do to y, as a share of it."""


def by_rounding_alone(table: Table, squares: float) -> float:
    """Return how often noise-free readings off a line near this one give a sum of squares as small.

    Args:
        table: The rows.
        squares: Sum of squares about the line, in units of what last digits do.

    Returns:
        The largest over the readings that may have been the one read off last.
    """
    return max((_share(table, name, squares) for name in table.units), default=1.0)


def _share(table: Table, last: str, squares: float) -> float:
    """Return the share of draws as even, with *last* read off and all else set."""
    random = np.random.default_rng(0)
    fit = fit_lines(table.x[None, :], table.y[None, :])
    tilt, lift = random.uniform(-REACH, REACH, (2, DRAWS, 1))
    height = float(np.nanmean(np.abs(table.y)))
    wanted = fit.intercept + lift * height + fit.slope * (1 + tilt) * table.x
    others = {name: _drawn_near(table, name, random) for name in table.units if name != last}
    true = {**table.values, **others}
    seen = {name: np.round(value / table.units[name]) * table.units[name] for name, value in others.items()}
    reading = table.values[last]
    with np.errstate(all="ignore"):
        plain = evaluate(table.formula.tree, {**true, last: reading})
        power = np.log(evaluate(table.formula.tree, {**true, last: reading * (1 + SMALL)}) / plain) / SMALL
        unit = table.units[last]
        shown = np.round(reading * (wanted / plain) ** (1 / power) / unit) * unit
        y = evaluate(table.formula.tree, {**table.values, **seen, last: shown})
        drawn = fit_lines(np.broadcast_to(table.x, y.shape), y)
        scaled = (y - drawn.intercept - drawn.slope * table.x) / (np.abs(y) * table.deviation)
    sums = (np.where(np.isfinite(scaled), scaled, 0.0) ** 2).sum(axis=1)
    return float((sums <= squares * (1 + ALIKE) + ALIKE).mean())


def _drawn_near(table: Table, name: str, random: np.random.Generator) -> Values:
    """Return values of a reading that was not set, as they might have come out otherwise; one that was set stays."""
    written = table.values[name]
    # A current that was kept within 1 % would be kept so again.
    reach = min(REACH, float(np.ptp(written) / 2 / np.abs(written).mean()))
    return np.where(table.exact[name], written, written * (1 + random.uniform(-reach, reach, (DRAWS, written.size))))
