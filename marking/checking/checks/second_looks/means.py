"""A mean of repeats that kept an odd reading, or left out one that belongs.

From four repeats on a reading is proposed as odd by Grubbs' test, and one of three by the scatter of the student's
other repeats, both so strict that a whole column of sound means has one named once in a hundred times. Three repeats
alone give no test any power: with those, what stands out may be kept and may be left out, and only one that anybody
sees stand apart, 39.0, 50.5 and 39.0, is shown to the teacher where it was kept. Nothing is ever dropped: the teacher
decides, but for a reading that no chance explains, kept in a mean for which repeats are asked.

What was worked out row by row, each under conditions of its own, is no set of repeats, and neither are things counted
in different places.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from marking.checking.answers import Judgement, entry_at, ten_to
from marking.checking.case import Case, Facts, Line, written
from marking.checking.fits import LEAST_STEPS, chance_beside_others, grubbs_distance, grubbs_limit
from marking.findings import Basis, Cause, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import State
from rubrics.formulas import Call, Name
from rubrics.model import Criterion, Item, Rubric

CHANCE = 0.01
"""How often a student whose repeats are all sound has a reading named."""
CERTAIN = 1e-5
"""No chance explains a reading that lies as far off once in so many columns."""
FEWEST_TO_NAME = 4
FEWEST, MOST = 3, 12
"""Repeats between which leaving one out is looked for; of more, one more or less hardly moves the mean."""
APART_TIMES = 5.0
"""Of three repeats alone, how many times further apart one stands than the two others, or than the steps in which they
were read, for anybody to see it; judged."""
APART_SHARE = 0.1
"""And at the least such a share of the others' mean."""
PROBABILITY = 0.9
"""How sure it is that a mean that equals the one with the odd reading was taken with it."""


class _Repeats(Struct, frozen=True, kw_only=True):
    """What one mean was taken of."""

    places: list[tuple[Item, int]]
    """Item and row of each reading that is there."""
    values: list[float]
    """In SI units."""


def asks_for_mean(criterion: Criterion, rubric: Rubric) -> bool:
    """Tell whether an answer of the criterion is a mean."""
    return any(_mean_tree(rubric.items[name]) is not None for name in criterion.items)


def mean_line(_: Criterion, case: Case, line: Line) -> Line:
    """Return *line*, or the one that stands in its place where a mean kept or left out a reading it should not have."""
    if line.entry is None or line.entry.state is not State.NUMBER:
        return line
    item, row = case.item(line.item), line.row or 1
    repeats = _repeats(case, item, row)
    if repeats is not None and len(repeats.values) == 1 and _are_never_taken(case, item):
        return replace(line, outcome=Outcome.FOR_TEACHER, reason=Reason.REPEATS_MISSING)
    if repeats is None or not FEWEST <= len(repeats.values) <= MOST:
        return line
    low, high = (end[case.student][row - 1] for end in case.batch.printed_si[item.name])
    fitting = [n for n in range(len(repeats.values)) if _fits(_without_one(repeats.values, n), low, high)]
    verdict = case.judgement(item, row)
    if verdict is Judgement.RIGHT and _fits(repeats.values, low, high):
        odd, is_certain = _odd(case, item, row, repeats)
        if odd is not None and odd not in fitting:
            if is_certain and item.repeats:
                return _withheld(case, line, (item, row), repeats, odd)
            return _for_teacher(case, line, repeats.places[odd], Reason.MEAN_WITH_ODD)
    # A zero is left out because it was not counted, not because it stood out.
    if verdict is Judgement.WRONG and len(fitting) == 1 and repeats.values[fitting[0]] != 0:
        return _for_teacher(case, line, repeats.places[fitting[0]], Reason.MEAN_WITHOUT_SOUND)
    return line


def _are_never_taken(case: Case, item: Item) -> bool:
    """Tell whether repeats were asked for, and no row has more than one of them: its mean is a single reading."""
    columns = [case.board.cells[name].si[case.student] for name in item.repeats]
    return bool(columns) and int(np.isfinite(np.stack(columns)).sum(axis=0).max()) == 1


def _repeats(case: Case, item: Item, row: int) -> _Repeats | None:
    tree = _mean_tree(item)
    if tree is None:
        return None
    names = [argument.name for argument in tree.arguments if isinstance(argument, Name)]
    items = [case.item(name) for name in names if name in case.rubric.items]
    if len(items) != len(tree.arguments):
        return None
    places: list[tuple[Item, int]] = []
    found: list[float] = []
    for one in items:
        si = (case.batch.own if one.name in case.judged else case.batch.si)[one.name][case.student]
        rows = [row if one.table is not None else 1] if tree.is_along_row else range(1, len(si) + 1)
        for at in rows:
            value = si[at - 1]
            if math.isfinite(value):
                places.append((one, at))
                found.append(value)
    return _Repeats(places=places, values=found)


def _mean_tree(item: Item) -> Call | None:
    tree = item.formula.tree if item.formula is not None else None
    return tree if isinstance(tree, Call) and tree.function == "mean" else None


def _odd(case: Case, item: Item, row: int, repeats: _Repeats) -> tuple[int | None, bool]:
    """Return the position of the one reading that a test calls odd, or None, and whether no chance explains it."""
    values, count = repeats.values, len(repeats.values)
    if any(one.name in case.judged or one.is_whole_count for one, _ in repeats.places):
        return None, False
    steps = [_step(case, one, at) for one, at in repeats.places]
    least = LEAST_STEPS * max(steps) * (1 + 1e-9)
    away = [abs(value - _mean(_without_one(values, n))) for n, value in enumerate(values)]
    if max(away) <= least:
        return None, False  # as most do: no test is asked of readings that lie together
    if count < FEWEST_TO_NAME and item.table is None and not _may_be_answers(case, repeats):
        farthest = int(np.argmax(away))
        is_odd, is_certain = _stands_apart(values, farthest, max(steps)), False
    elif count < FEWEST_TO_NAME:
        farthest, chance = _beside_other_rows(case, item, row, repeats, max(steps))
        is_odd, is_certain = chance < CHANCE, chance < CERTAIN
    else:
        with np.errstate(all="ignore"):
            distance = grubbs_distance(np.array([values]))[0]
        farthest = int(np.nanargmax(distance)) if np.isfinite(distance).any() else 0
        sets = len(case.rows_expected(item)) or 1
        is_odd, is_certain = (distance[farthest] > grubbs_limit(count, chance=one / sets) for one in (CHANCE, CERTAIN))
    return (farthest if is_odd and away[farthest] > least else None), bool(is_certain)


def _may_be_answers(case: Case, repeats: _Repeats) -> bool:
    """Tell whether what was averaged may be copied from a column of answers: a slip there is carried on, and no more.

    So are the titres that a student chose.
    """
    dimensions = {one.unit.dimension for one, _ in repeats.places}
    columns = [judged.item for judged in case.judged.values() if judged.item.table is not None]
    return any(column.unit.dimension in dimensions for column in columns)


def _stands_apart(values: list[float], odd: int, step: float) -> bool:
    """Tell whether one of three readings is one that anybody sees stand apart.

    A cylinder read to the half is read in halves, whatever figures are written: what all readings are multiples of.
    """
    first, second = others = _without_one(values, odd)
    away = abs(values[odd] - _mean(others))
    read_in = step * math.gcd(*(round(value / step) for value in values))
    far = APART_TIMES * max(abs(first - second), read_in) * (1 - 1e-9)
    return away >= far and away > APART_SHARE * abs(_mean(others))


def _beside_other_rows(case: Case, item: Item, row: int, repeats: _Repeats, step: float) -> tuple[int, float]:
    """Return which reading lies farthest off, and how likely a sound one does, by the repeats of the other rows."""
    columns = [case.board.cells[name].si for name in item.repeats]
    if item.table is None or len(columns) != len(repeats.values):
        return 0, 1.0
    sets = np.stack([np.broadcast_to(column, columns[0].shape)[case.student] for column in columns], axis=-1)
    return chance_beside_others(sets, row - 1, step)


def _step(case: Case, item: Item, row: int) -> float:
    cells = case.board.cells[item.name]
    at = (case.student, row - 1)
    written_step = float(ten_to(cells.finest[at]) * cells.factor[at])
    return max(written_step, (item.resolution or 0.0) * item.unit.factor)


def _fits(kept: list[float], low: float, high: float) -> bool:
    noise = 1e-9 * max(abs(max(kept)), abs(min(kept)))
    return low - noise <= _mean(kept) <= high + noise


def _without_one(values: list[float], left_out: int) -> list[float]:
    return values[:left_out] + values[left_out + 1 :]


def _mean(values: list[float]) -> float:
    # Added up one after the other on every version of Python, which sum() does not.
    total = 0.0
    for value in values:
        total += value
    return total / len(values)


def _withheld(case: Case, line: Line, at: tuple[Item, int], repeats: _Repeats, odd: int) -> Line:
    """Return the line of a mean that kept a reading which no chance explains: the mean of the others is asked for."""
    item, row = at
    cells = case.board.cells[item.name]
    place = (case.student, row - 1)
    mean = _mean(_without_one(repeats.values, odd))
    expected = float((mean - cells.offset[place]) / cells.factor[place])
    waits = _for_teacher(case, line, repeats.places[odd], Reason.MEAN_WITH_ODD)
    kept = [one for number, one in enumerate(repeats.places) if number != odd]
    return replace(
        waits,
        outcome=Outcome.WITHHELD,
        reason=Reason.WRONG_VALUE,
        expected=expected,
        facts=Facts(lambda: _without(case, case.full_facts(item, line.row, line.entry, expected), kept)),
    )


def _without(case: Case, facts: Mapping[str, str], kept: list[tuple[Item, int]]) -> dict[str, str]:
    """Return *facts* with the readings that were *kept* alone, so that what is printed leads to the mean beside it."""
    parts = [(one.symbol, entry_at(one, case.write_up, row)) for one, row in kept]
    readings = [
        f"{symbol} = {written(one, entry)}" for (symbol, entry), (one, _) in zip(parts, kept, strict=True) if entry
    ]
    whole = {name: text for name, text in facts.items() if name not in ("working", "formula", "columns")}
    return {**whole, "readings": " and ".join([", ".join(readings[:-1]), readings[-1]])}


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
