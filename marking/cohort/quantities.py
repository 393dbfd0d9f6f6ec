"""What sound benches agree on: quantities of one practical that come out alike, and the instruments behind each.

Everything here is in natural logarithms, in which a meter that reads off by a steady factor adds a constant.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marking.checking.board import Board, lay_out
from marking.checking.evaluation import evaluate
from marking.checking.judging import constant_values, in_order
from marking.checking.lines import odd_points
from marking.cohort.kinds import CLEAR, FAR, bench_kinds, bench_means
from marking.cohort.partners import Partners, partners_of
from marking.findings import MarkedSet
from rubrics.model import Item, Role, Rubric

Values = NDArray[np.float64]

SMALL = 1e-4
"""A step in an instrument's factor that is small beside every curve of a formula."""
LEAST_EXPONENT = 0.05
"""A quantity that follows an instrument less than this says nothing about it."""
WIDEST_ANSWER = 0.10
"""Answers that differ more than this between benches are no common quantity of the class."""
WIDEST_READING = 0.03
"""The same for a reading: what stands on every bench, such as a block of one kilogram."""
MOST_TIED = 0.3
"""Readings that this share of benches have exactly alike were set, or copied off a label, not measured."""
SMALLEST_SPREAD = 0.002
"""No school bench repeats another more closely than this, whatever a few of them seem to show."""
NORMAL_OF_MEDIAN = 1.4826
"""Standard deviation of a normal distribution over its median absolute deviation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantities:
    """The common quantities of one practical, for every group of a class."""

    rubric: Rubric
    partners: tuple[Partners, ...]
    names: tuple[str, ...]
    logs: Values
    """Shape (groups, quantities); NaN where there is no value, or one of no bench's kind (a slip)."""
    benches: tuple[str, ...]
    bench_of: NDArray[np.int64]
    """Position in *benches*, one a group."""
    means: Values
    """Mean of each bench's groups, shape (benches, quantities)."""
    kinds: NDArray[np.int64]
    """Shape (benches, quantities): benches with parts of one kind share a number; -1 where there is no value."""
    spread: Values
    """Standard deviation between benches of each quantity, robust against a few that are off."""
    exponents: Mapping[str, Values]
    """Instrument to the power that each quantity follows it with."""


def quantities_of(marked: MarkedSet) -> Quantities | None:
    """Return what the groups of a class can be compared by; None where there is nothing."""
    partners = tuple(one for one in partners_of(marked) if one.bench)
    if not partners:
        return None
    rubric = marked.rubric
    board = lay_out(rubric, [one.write_up for one in partners])
    readings = _readings(board)
    if not readings:
        return None
    plain = _worked_out(rubric, readings)
    names = _candidates(rubric, readings)
    benches = tuple(dict.fromkeys(one.bench for one in partners))
    bench_of = np.array([benches.index(one.bench) for one in partners], np.int64)
    selected = _selected(rubric, partners)
    columns = [_settled(_logs(plain, name), bench_of, len(benches), selected) for name in names]
    kept = [
        (name, logs, kinds, spread)
        for name, (logs, kinds, spread) in zip(names, columns, strict=True)
        if _is_common(rubric.items[name], logs, bench_of, kinds, spread)
    ]
    kept = [one for one in kept if not _repeats(rubric, one[0], {other[0] for other in kept})]
    if not kept:
        return None
    return Quantities(
        rubric=rubric,
        partners=partners,
        names=tuple(name for name, *_ in kept),
        logs=np.column_stack([logs for _, logs, _, _ in kept]),
        means=np.column_stack([bench_means(logs, bench_of, len(benches)) for _, logs, _, _ in kept]),
        benches=benches,
        bench_of=bench_of,
        kinds=np.column_stack([kinds for _, _, kinds, _ in kept]),
        spread=np.array([spread for *_, spread in kept]),
        exponents=_exponents(rubric, board, readings, [name for name, *_ in kept]),
    )


def instrument_of(item: Item) -> str:
    """Return what a reading was read off; the reading's own words where the rubric names no instrument."""
    return item.instrument or item.quantity


def _readings(board: Board) -> dict[str, Values]:
    """Return the readings in SI units, without the rows that a stated test calls odd."""
    items = board.rubric.items
    readings = {name: cells.si for name, cells in board.cells.items() if items[name].role is Role.READING}
    graph = board.rubric.graph
    if graph is None or graph.fit != "line":
        return readings
    values = _worked_out(board.rubric, readings)
    x, y = np.broadcast_arrays(values[graph.x], values[graph.y])
    odd = odd_points(x, y)
    table = items[graph.x].table
    return {
        name: np.where(odd, np.nan, column) if items[name].table == table and column.shape == odd.shape else column
        for name, column in readings.items()
    }


def _worked_out(rubric: Rubric, readings: Mapping[str, Values]) -> dict[str, Values]:
    """Return readings and all that follows from them, in SI units."""
    values = constant_values(rubric) | dict(readings)
    for item in in_order(rubric):
        if item.formula is not None and all(name in values for name in item.formula.names):
            values[item.name] = evaluate(item.formula.tree, values)
    return values


def _candidates(rubric: Rubric, readings: Mapping[str, Values]) -> list[str]:
    """Return single items that are amounts: no columns, no points on a scale of temperature."""
    return [
        item.name
        for item in rubric.singles
        if (item.name in readings or item.formula is not None) and not item.is_words and not item.unit.offset
    ]


def _logs(values: Mapping[str, Values], name: str) -> Values:
    column = values[name][:, 0]
    with np.errstate(all="ignore"):
        return np.where(np.isfinite(column) & (column > 0), np.log(column), np.nan)


def _selected(rubric: Rubric, partners: Sequence[Partners]) -> list[str]:
    """Return what each group says it tested, where the practical has several components."""
    if rubric.selector is None:
        return [""] * len(partners)
    entries = [one.write_up.singles.get(rubric.selector) for one in partners]
    return ["" if entry is None else entry.raw.strip().casefold() for entry in entries]


def _settled(
    logs: Values, bench_of: NDArray[np.int64], benches: int, selected: Sequence[str]
) -> tuple[Values, NDArray[np.int64], float]:
    """Return the logs without slips, the kind of each bench, and the spread between benches."""
    kinds = np.full(benches, -1, np.int64)
    kept = np.full(logs.shape, np.nan)
    for word in dict.fromkeys(selected):
        mine = np.array([one == word for one in selected])
        found, own = bench_kinds(np.where(mine, logs, np.nan), bench_of, benches)
        # A bench that tested several things is taken by the first of them.
        taken = (found >= 0) & (kinds < 0)
        kinds = np.where(taken, found + kinds.max(initial=-1) + 1, kinds)
        kept = np.where(taken[bench_of] & np.isfinite(own), own, kept)
    means = bench_means(kept, bench_of, benches)
    return kept, kinds, _spread(means, kinds)


def _spread(means: Values, kinds: NDArray[np.int64]) -> float:
    residuals = []
    degrees = 0
    for kind in range(int(kinds.max(initial=-1)) + 1):
        mine = means[(kinds == kind) & np.isfinite(means)]
        if mine.size > 1:
            residuals.append(np.abs(mine - np.median(mine)))
            degrees += mine.size - 1
    if degrees < 1:
        return np.inf
    together = np.concatenate(residuals)
    # The median takes one value of each kind for itself, which the count of degrees gives back.
    robust = NORMAL_OF_MEDIAN * float(np.median(together)) * np.sqrt(together.size / degrees)
    return max(float(robust), SMALLEST_SPREAD)


def _is_common(item: Item, logs: Values, bench_of: NDArray[np.int64], kinds: NDArray[np.int64], spread: float) -> bool:
    if kinds.max(initial=-1) > 0 and spread > FAR / CLEAR:
        return False  # values all over the place fall into kinds by chance
    if item.role is Role.ANSWER:
        return spread <= WIDEST_ANSWER
    return spread <= WIDEST_READING and _tied_share(logs, bench_of) <= MOST_TIED


def _tied_share(logs: Values, bench_of: NDArray[np.int64]) -> float:
    """Return how many pairs of groups at different benches have exactly the same value."""
    present = np.isfinite(logs)
    values, benches = logs[present], bench_of[present]
    apart = benches[:, None] != benches[None, :]
    same = np.abs(values[:, None] - values[None, :]) < 1e-9
    return float((same & apart).sum() / max(int(apart.sum()), 1))


def _repeats(rubric: Rubric, name: str, kept: set[str]) -> bool:
    """Tell whether a quantity only says again what others of the kept ones say."""
    formula = rubric.items[name].formula
    if formula is None:
        return False
    return all(other in kept or other in rubric.constants for other in formula.names)


def _exponents(rubric: Rubric, board: Board, readings: Mapping[str, Values], names: Sequence[str]) -> dict[str, Values]:
    """Return how each quantity follows each instrument: every reading of it is made a little larger, and all redone."""
    plain = _worked_out(rubric, readings)
    found = {}
    for instrument in dict.fromkeys(instrument_of(rubric.items[name]) for name in readings):
        larger = {
            name: (values - board.cells[name].offset) * np.exp(SMALL) + board.cells[name].offset
            if instrument_of(rubric.items[name]) == instrument
            else values
            for name, values in readings.items()
        }
        changed = _worked_out(rubric, larger)
        steps = [np.nanmedian(_logs(changed, name) - _logs(plain, name)) / SMALL for name in names]
        exponents = np.where(np.abs(steps) < LEAST_EXPONENT, 0.0, steps)
        if np.any(exponents):
            found[instrument] = exponents
    return found
