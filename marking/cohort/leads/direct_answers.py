"""Answers that follow from readings in one step: how open last digits leave them, and how much honest work strays."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import Board, constant_values, evaluate
from marking.checking.fits import fit_lines
from marking.cohort.evidence import instrument_of
from marking.cohort.leads.round_settings import habit_of_setting, kept_steady, may_be_exact, set_steps
from marking.cohort.leads.rounding_noise import as_deviation, rounding_halves
from marking.cohort.leads.sold_values import nearest_sold
from marking.distributions import median
from rubrics.formulas import Call, Formula, walk
from rubrics.model import Item, Role

Values = NDArray[np.float64]

LEAST_NOISE = 0.001
"""No school bench repeats a measurement more closely than this share, besides the last digit; judged, no source."""
MOST_NOISE = 0.01
"""Careful work has no more of it; a class that strays further has other reasons, such as parts of several kinds."""
FEWEST_RESIDUALS = 8
"""With fewer the class's own noise is not known, and the least is taken."""
MEDIAN_OF_SQUARE = 0.455
"""Median of the square of a standard normal value."""


class DirectAnswer(Struct, frozen=True, kw_only=True):
    """One answer of every group; arrays of shape (groups, rows)."""

    item: Item
    logs: Values
    """Natural logarithms, SI; NaN where a reading is missing or the answer is not above zero."""
    half: Values
    """Half the width that the last digits of one instrument leave, or the step it was set in, as a share."""
    behind: Values
    """The readings of that instrument that it rests on, SI; their sum where there are several."""
    noise: Values
    """Standard deviation of one group's honest values about what its meters make of it, as a share; without the last
    digits of that instrument."""
    x: Values | None
    """What the answer is drawn against where the graph is a straight line, SI."""
    habit: Values
    """How often groups of this class set readings of that instrument by hand, shape (groups,)."""
    tolerance: float = 0.0
    """Standard deviation of a part about the value it is sold in, as a share."""

    def hit_by_luck(self, group: int, row: int, *, part: bool = False) -> float:
        """Return how often an honest value lies within the last digit of the very value that it is near.

        Args:
            group: Whose answer.
            row: From 0.
            part: It is a part of its own, off the value it is sold in by its tolerance.
        """
        half, strays = float(self.half[group, row]), math.hypot(self.noise[group, row], self.tolerance if part else 0.0)
        # What last digits bring ends at once (JCGM 100:2008, 4.3.7): within it every value is hit.
        return 1.0 if half >= math.sqrt(3.0) * strays else math.erf(half / strays / math.sqrt(2.0))


def direct_answers(board: Board, benches: Sequence[str], *, set_by_hand: bool = True) -> dict[str, list[DirectAnswer]]:
    """Return the answers of a class that are worked out from readings alone, row by row or once.

    Args:
        board: The class.
        benches: Of each group.
        set_by_hand: Round readings may have been set; else only the steps of meters count.

    Returns:
        Instrument to the answers that rest on it.
    """
    items = board.rubric.items
    values = constant_values(board.rubric) | {
        name: cells.si for name, cells in board.cells.items() if items[name].role is Role.READING
    }
    chosen = [item for item in board.rubric.answers if item.formula is not None and is_direct(item.formula, board)]
    instruments = dict.fromkeys(instrument_of(items[name]) for item in chosen for name in readings_behind(board, item))
    behind = dict.fromkeys(name for item in chosen for name in readings_behind(board, item))
    steps: dict[str, Values] = {}
    habits: dict[str, Values] = {}
    exact: dict[str, NDArray[np.bool_]] = {}
    # A steady current has one rounding in all rows, which is no noise between them.
    for instrument in instruments:
        names = [name for name in behind if instrument_of(items[name]) == instrument]
        steps |= set_steps(board, names, as_class=True, by_hand=set_by_hand)
        habits[instrument] = habit_of_setting(board, names)
        exact |= {name: one | kept_steady(board, name) for name, one in may_be_exact(board, names).items()}
    found = {}
    for instrument in instruments:
        made = [_answer(board, item, values, instrument, steps, exact, habits[instrument]) for item in chosen]
        resting = [one for one in made if one is not None]
        singles = [one for one in resting if one.item.table is None]
        found[instrument] = [*_with_class_noise(singles, benches), *_columns(resting)]
    return found


def readings_behind(board: Board, item: Item) -> list[str]:
    """Return the readings that an answer's formula names."""
    return [name for name in (item.formula.names if item.formula else ()) if name in board.cells]


def is_direct(formula: Formula, board: Board) -> bool:
    """Tell whether an answer follows from readings and constants alone, row by row or once."""
    whole = any(isinstance(node, Call) and node.columns for node in walk(formula.tree))
    rubric = board.rubric
    known = all(
        name in rubric.constants or (name in board.cells and rubric.items[name].role is Role.READING)
        for name in formula.names
    )
    return bool(formula.names) and not whole and known


def _answer(
    board: Board,
    item: Item,
    values: Mapping[str, Values],
    instrument: str,
    steps: Mapping[str, Values],
    exact: Mapping[str, NDArray[np.bool_]],
    habit: Values,
) -> DirectAnswer | None:
    """Return one answer as it rests on *instrument*; None where it does not.

    Args:
        board: The class.
        item: The answer.
        values: Readings and constants, SI.
        instrument: Whose readings may have been worked back.
        steps: To what step each reading may have been set, in units of its last digit.
        exact: Readings that may stand for the very value they name: or share one rounding: no noise.
        habit: How often groups of this class set readings of the instrument.
    """
    assert item.formula is not None  # only answers with a formula come here
    items = board.rubric.items
    plain = evaluate(item.formula.tree, values)
    with np.errstate(all="ignore"):
        logs = np.where(plain > 0, np.log(plain), np.nan)
    halves = rounding_halves(board, item.formula, values)
    own = [name for name in halves if instrument_of(items[name]) == instrument]
    if not own:
        return None
    mine = [halves[name] * steps[name] for name in own]
    others = [np.where(exact[name], 0.0, half) for name, half in halves.items() if name not in own]
    graph = board.rubric.graph
    is_line = graph is not None and graph.fit == "line" and graph.y == item.name and graph.x in values
    return DirectAnswer(
        item=item,
        logs=logs,
        half=np.asarray(np.max(mine, axis=0)),
        behind=np.broadcast_to(np.asarray(sum(values[name] for name in own)), logs.shape),
        noise=as_deviation(others, logs.shape),
        habit=habit,
        x=np.broadcast_to(values[graph.x], logs.shape) if is_line and graph is not None else None,
    )


def _with_class_noise(singles: Sequence[DirectAnswer], benches: Sequence[str]) -> Iterator[DirectAnswer]:
    """Yield single answers with the noise that groups of one bench show, who measure the same parts."""
    names = [bench for bench in dict.fromkeys(benches) if bench]
    for one in singles:
        steps = [one.logs[[bench == name for bench in benches], 0] for name in names]
        known = [values[np.isfinite(values)] for values in steps]
        # Beside the mean of n, a value strays less than beside the truth: by the square root of 1 - 1/n.
        around = [(v - v.mean()) / np.sqrt(1 - 1 / v.size) for v in known if v.size > 1]
        noisier = _noisier(one, np.concatenate(around) if around else np.empty(0))
        yield replace(noisier, tolerance=_tolerance(one.item, [v.mean() for v in known if v.size]))


def _tolerance(item: Item, means: Sequence[float]) -> float:
    """Return how far parts of this class lie from the values they are sold in, as a share; 0 where nobody knows."""
    steps = np.array([mean - np.log(nearest_sold(item, float(np.exp(mean)))) for mean in means])
    steps = steps[np.isfinite(steps)]
    if steps.size < FEWEST_RESIDUALS:
        return 0.0
    return min(float(np.sqrt(median(steps**2) / MEDIAN_OF_SQUARE)), MOST_NOISE)


def _columns(answers: Sequence[DirectAnswer]) -> Iterator[DirectAnswer]:
    """Yield columns with the noise that their own rows show, about a line or about their middle."""
    for one in answers:
        if one.item.table is None:
            continue
        if one.x is None:
            middles = np.array([median(row[~np.isnan(row)]) for row in one.logs])
            residuals = one.logs - middles[:, None]
        else:
            values = np.exp(one.logs)
            fit = fit_lines(one.x, values)
            with np.errstate(all="ignore"):
                residuals = np.log(values / (fit.intercept + fit.slope * one.x))
        yield _noisier(one, residuals[np.isfinite(residuals)])


def _noisier(answer: DirectAnswer, residuals: Values) -> DirectAnswer:
    """Return the answer with what the class's residuals show beyond the last digits added to its noise.

    Less noise makes a lucky hit commoner, so the noise is never taken for more than careful work has.
    """
    extra = LEAST_NOISE**2
    known = answer.noise[np.isfinite(answer.noise)]
    if residuals.size >= FEWEST_RESIDUALS and known.size:
        seen = median(residuals**2) / MEDIAN_OF_SQUARE
        extra = float(np.clip(seen - median(known**2), LEAST_NOISE**2, MOST_NOISE**2))
    return replace(answer, noise=np.sqrt(answer.noise**2 + extra))
