"""A mean of repeats that kept an odd reading, or left out one that belongs.

Three repeats give no test any power: with those, what stands out may be kept and may be left out. From four on a
reading is proposed as odd by Grubbs' test, strict enough that a whole column of sound means has one named once in
a hundred times. Nothing is ever dropped: the teacher decides on both.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import Judgement, entry_at, ten_to
from marking.checking.case import Case, Facts, Line, written
from marking.checking.fits import LEAST_STEPS, grubbs_distance, grubbs_limit
from marking.findings import Basis, Cause, Explanation, Outcome
from marking.reasons import Reason
from rubrics.formulas import Call, Name
from rubrics.model import Item

Values = NDArray[np.float64]

CHANCE = 0.01
"""How often a student whose repeats are all sound has a reading named."""
FEWEST_TO_NAME = 4
FEWEST, MOST = 3, 12
"""Repeats between which leaving one out is looked for; of more, one more or less hardly moves the mean."""
PROBABILITY = 0.9
"""How sure it is that a mean that equals the one with the odd reading was taken with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Repeats:
    """What one mean was taken of."""

    places: list[tuple[Item, int]]
    """Item and row of each reading that is there."""
    values: Values
    """In SI units, (repeats,)."""


def mean_line(case: Case, item: Item, row: int, line: Line) -> Line:
    """Return *line*, or the one that stands in its place where a mean kept or left out a reading it should not have."""
    repeats = _repeats(case, item, row)
    if repeats is None or not FEWEST <= repeats.values.size <= MOST:
        return line
    cells = case.board.cells[item.name]
    at = (case.student, row - 1)
    low, high = (float(end[at]) for end in cells.printed_si())
    fitting = [n for n in range(repeats.values.size) if _fits(np.delete(repeats.values, n), low, high)]
    verdict = case.judgement(item, row)
    if verdict is Judgement.RIGHT and _fits(repeats.values, low, high):
        odd = _odd(case, item, repeats)
        if odd is not None and odd not in fitting:
            return _for_teacher(case, line, repeats.places[odd], Reason.MEAN_WITH_ODD)
    # A zero is left out because it was not counted, not because it stood out.
    if verdict is Judgement.WRONG and len(fitting) == 1 and repeats.values[fitting[0]] != 0:
        return _for_teacher(case, line, repeats.places[fitting[0]], Reason.MEAN_WITHOUT_SOUND)
    return line


def _repeats(case: Case, item: Item, row: int) -> _Repeats | None:
    tree = item.formula.tree if item.formula is not None else None
    if not isinstance(tree, Call) or tree.function != "mean":
        return None
    names = [argument.name for argument in tree.arguments if isinstance(argument, Name)]
    items = [case.item(name) for name in names if name in case.rubric.items]
    if len(items) != len(tree.arguments):
        return None
    places: list[tuple[Item, int]] = []
    found: list[float] = []
    for one in items:
        si = case.judged[one.name].own if one.name in case.judged else case.board.cells[one.name].si
        rows = [row if one.table is not None else 1] if tree.is_along_row else range(1, si.shape[1] + 1)
        for at in rows:
            value = float(si[case.student, at - 1])
            if np.isfinite(value):
                places.append((one, at))
                found.append(value)
    return _Repeats(places=places, values=np.array(found))


def _odd(case: Case, item: Item, repeats: _Repeats) -> int | None:
    """Return the position of the one reading that the test calls odd, or None."""
    count = repeats.values.size
    if count < FEWEST_TO_NAME:
        return None
    with np.errstate(all="ignore"):
        distance = grubbs_distance(repeats.values[None, :])[0]
    farthest = int(np.nanargmax(distance)) if np.isfinite(distance).any() else 0
    others = np.delete(repeats.values, farthest)
    steps = [_step(case, one, at) for one, at in repeats.places]
    away = abs(float(repeats.values[farthest] - others.mean())) > LEAST_STEPS * max(steps) * (1 + 1e-9)
    sets = len(case.rows_expected(item)) or 1
    is_odd = distance[farthest] > grubbs_limit(count, chance=CHANCE / sets)
    return farthest if is_odd and away else None


def _step(case: Case, item: Item, row: int) -> float:
    cells = case.board.cells[item.name]
    at = (case.student, row - 1)
    written_step = float(ten_to(cells.finest[at]) * cells.factor[at])
    return max(written_step, (item.resolution or 0.0) * item.unit.factor)


def _fits(kept: Values, low: float, high: float) -> bool:
    noise = 1e-9 * float(np.abs(kept).max())
    return bool(low - noise <= kept.mean() <= high + noise)


def _for_teacher(case: Case, line: Line, place: tuple[Item, int], reason: Reason) -> Line:
    one, row = place
    entry = entry_at(one, case.write_up, row)
    reading = written(one, entry) if entry is not None else ""
    kept = reason is Reason.MEAN_WITH_ODD
    explanation = Explanation(
        cause=Cause.ANOMALY_INCLUDED,
        detail=f"{one.name} {row}" if one.table is not None else one.name,
        probability=PROBABILITY,
        facts={"used_value": reading},
    )
    return Line(
        item=line.item,
        row=line.row,
        outcome=Outcome.FOR_TEACHER,
        reason=reason,
        entry=line.entry,
        expected=line.expected,
        basis=line.basis or Basis.OWN_READINGS,
        explanations=(explanation,) if kept else (),
        facts=Facts(lambda: {**line.facts, "odd": reading}),
    )
