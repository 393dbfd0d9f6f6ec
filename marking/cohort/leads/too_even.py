"""Tables whose points lie closer to a straight line than the last digits of the readings allow.

Even perfect apparatus is read to a last digit, and that alone moves points off a line. The sum of squares of
the points about their line, in units of what last digits do, follows chi-squared or is larger (JCGM 100:2008,
H.3, for the line). That holds where last digits fall at random; rows that are set evenly have last digits that follow
a course too. So lines near the one found are read off again, at the same settings, by an instrument that rounds and
does nothing else: as even as most of these is not too even. A reading that is plainly odd shows that nobody ruled the
line, so none is left out here. A class whose readings come out that even for
everybody, because the figures are round, is no lead.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Board, lay_out, ten_to
from marking.checking.fits import fit_lines
from marking.cohort.evidence import Partners, worked_out
from marking.cohort.leads.direct_answers import is_direct, readings_behind
from marking.cohort.leads.round_settings import were_set
from marking.cohort.leads.rounded_lines import Table, by_rounding_alone
from marking.cohort.leads.rounding_noise import as_deviation, rounding_halves
from marking.distributions import gamma_share, median, t_below
from rubrics.formulas import Formula
from rubrics.model import Role, Rubric

Values = NDArray[np.float64]

FEWEST_POINTS = 5
FEWEST_TO_COMPARE = 5
"""With fewer other tables nobody knows how even tables of this class come out."""
LEAST_SPREAD = 0.7
"""Standard deviation, in natural logarithms, of an honest sum of squares of five points: the least the class is
taken to vary by."""
FLOOR = 1e-3
"""Below this share of what last digits do, a table is as even as can be."""


class TooEven(Struct, frozen=True, kw_only=True):
    """A group whose points lie too close to a line."""

    group: int
    items: tuple[str, ...]
    """Readings behind the points."""
    points: int
    share: float
    """Scatter of the points over what last digits alone would bring."""
    chance: float
    """How often an honest table would be as even."""


def too_even(rubric: Rubric, partners: Sequence[Partners], limit: float) -> tuple[TooEven, ...]:
    """Return the groups whose tables honest work would bring up no more often than *limit*."""
    graph = rubric.graph
    if graph is None or graph.fit != "line" or len(partners) <= FEWEST_TO_COMPARE:
        return ()
    board = lay_out(rubric, [one.write_up for one in partners])
    item = rubric.items[graph.y]
    readings_si = {name: cells.si for name, cells in board.cells.items() if rubric.items[name].role is Role.READING}
    values = worked_out(rubric, readings_si)
    if item.formula is None or graph.x not in values or not is_direct(item.formula, board):
        return ()
    readings = tuple(readings_behind(board, item))
    deviation = _deviation(board, item.formula, values)
    squares, points = _squares(values[graph.x], values[graph.y], deviation)
    found = []
    for group, (share, chance) in enumerate(_chances(squares, points)):
        if chance <= limit:
            table = _table(board, item.formula, values, deviation, group)
            chance = max(chance, by_rounding_alone(table, float(squares[group])))
        if chance <= limit:
            found.append(TooEven(group=group, items=readings, points=int(points[group]), share=share, chance=chance))
    return tuple(found)


def _deviation(board: Board, formula: Formula, values: Mapping[str, Values]) -> Values:
    """Return what the last digits of readings that vary and were not set do to each point, as a share."""
    halves = rounding_halves(board, formula, values)
    free = [np.where(_set_exactly(board, name), 0.0, half) for name, half in halves.items()]
    return as_deviation(free, next(iter(halves.values())).shape)


def _squares(x: Values, y: Values, deviation: Values) -> tuple[Values, Values]:
    """Return the sum of squares of each group's points in units of what last digits do, and the number of points."""
    x, y = np.broadcast_arrays(x, y)
    fit = fit_lines(x, y)
    with np.errstate(all="ignore"):
        scaled = (y - fit.intercept - fit.slope * x) / (np.abs(y) * np.where(deviation > 0, deviation, np.nan))
    known = np.isfinite(scaled)
    # A row without a last digit of its own was set: its neighbours' noise says nothing of it.
    known &= (np.isfinite(deviation) & (deviation > 0)).sum(axis=1, keepdims=True) >= known.sum(axis=1, keepdims=True)
    return (np.where(known, scaled, 0.0) ** 2).sum(axis=1), known.sum(axis=1).astype(np.float64)


def _table(board: Board, formula: Formula, values: Mapping[str, Values], deviation: Values, group: int) -> Table:
    """Return the rows of one group that have a point."""
    graph = board.rubric.graph
    assert graph is not None  # asked for by the caller
    rows = values[graph.y].shape[1]

    def mine(column: Values) -> Values:
        return np.asarray(np.broadcast_to(column, (len(board.write_ups), rows))[group])

    x, y = mine(values[graph.x]), mine(values[graph.y])
    known = np.isfinite(x) & np.isfinite(y)
    names = [name for name in formula.names if name in board.cells]
    units = {name: board.cells[name].factor * ten_to(board.cells[name].finest) for name in names}
    return Table(
        formula=formula,
        values={name: mine(values[name])[known] for name in formula.names},
        units={name: mine(unit)[known] for name, unit in units.items()},
        exact={
            name: np.broadcast_to(_set_exactly(board, name), (len(board.write_ups), rows))[group][known]
            for name in names
        },
        x=x[known],
        y=y[known],
        deviation=mine(deviation)[known],
    )


def _set_exactly(board: Board, name: str) -> NDArray[np.bool_]:
    """Tell which readings move no point by themselves; one that was kept the same moves all points alike."""
    return np.asarray(were_set(board, [name])[name] | ~_varies(board, name))


def _varies(board: Board, name: str) -> NDArray[np.bool_]:
    """Tell which groups let a reading vary; one that was kept the same moves all points alike."""
    column = board.cells[name].si
    with np.errstate(all="ignore"):
        known = np.isfinite(column)
        low, high = np.where(known, column, np.inf).min(axis=1), np.where(known, column, -np.inf).max(axis=1)
    return np.asarray((high > low)[:, None])


def _chances(squares: Values, points: Values) -> list[tuple[float, float]]:
    """Return each group's scatter as a share of what last digits bring, and how often an honest one is as even."""
    degrees = points - 2
    usable = points >= FEWEST_POINTS
    logs = np.log(np.maximum(squares / np.maximum(degrees, 1), FLOOR**2))
    found = []
    for group in range(squares.size):
        others = logs[usable & (np.arange(squares.size) != group)]
        if not usable[group] or others.size < FEWEST_TO_COMPARE:
            found.append((np.nan, 1.0))
            continue
        alone = gamma_share(float(degrees[group]) / 2, float(squares[group]) / 2)
        middle = median(others)
        spread = max(1.4826 * median(np.abs(others - middle)), LEAST_SPREAD)
        beside = t_below(others.size - 1, float(logs[group] - middle) / spread)
        found.append((float(np.sqrt(squares[group] / degrees[group])), max(alone, beside)))
    return found
