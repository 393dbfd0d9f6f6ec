"""Sets of readings of one bench that are one table, written down twice with a slip of the pen between them.

Partners who read one table and of whom one miswrote a figure look like two groups. Taken for two, one measurement
would count as two that bear each other out, and groups would seem to repeat more closely than anybody can read.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from marking.checking.answers import entry_at
from marking.cohort.evidence.partners import Partners, readings_key
from marking.write_up import Entry
from rubrics.model import Item, Rubric

ENOUGH = 4.5
"""Agreement from which on it is not by chance; see *_weights*. Judged: five readings that nobody else has."""
MOST_MISWRITTEN = 0.15
"""Share of the readings that the class did not set alike in which two copies of a table may differ; judged."""

Place = tuple[str, int]
"""Item and row, 1 for a single item."""
Value = tuple[float, float]
"""Number, and the factor of its unit."""
Table = Mapping[Place, Value]


def one_of_each_table(rubric: Rubric, sets: Sequence[Partners]) -> tuple[Partners, ...]:
    """Return *sets* with copies of one table at a bench put together, in the order of the first of each.

    What most of its copies have is kept; a reading over which they are evenly divided is left out.
    """
    tables = [_table(rubric, one) for one in sets]
    weights = _weights(tables)
    gathered: list[list[int]] = []
    for place, one in enumerate(sets):
        neighbours = [group for group in gathered if one.bench == sets[group[0]].bench]
        same = next((group for group in neighbours if _is_same(tables[group[0]], tables[place], weights)), None)
        if same is not None:
            same.append(place)
        else:
            gathered.append([place])
    return tuple(
        sets[group[0]] if len(group) == 1 else _joined(rubric, [sets[n] for n in group], [tables[n] for n in group])
        for group in gathered
    )


def _table(rubric: Rubric, one: Partners) -> Table:
    return {(item, row): (value, factor) for item, row, value, factor in readings_key(rubric, one.write_up)}


def _weights(tables: Sequence[Table]) -> Mapping[tuple[Place, Value], float]:
    """Return what agreement in each value of each reading says of who read with whom, between 0 and 1.

    Nothing where the whole class has that value, which was set or copied off a label; no more than 1, since two
    groups of one bench may find the same without having looked at each other's figures.
    """
    counts = Counter((place, value) for table in tables for place, value in table.items())
    of = Counter(place for table in tables for place in table)
    return {key: min(1.0, math.log(of[key[0]] / count)) for key, count in counts.items()}


def _is_same(one: Table, other: Table, weights: Mapping[tuple[Place, Value], float]) -> bool:
    places = one.keys() | other.keys()
    alike = [(place, value) for place, value in one.items() if other.get(place) == value]
    telling = [weights[key] for key in alike if weights[key]]
    unlike = len(places) - len(alike)
    return sum(telling) >= ENOUGH and unlike <= max(1, MOST_MISWRITTEN * len(telling))


def _joined(rubric: Rubric, copies: Sequence[Partners], tables: Sequence[Table]) -> Partners:
    """Return one set in place of its copies; each counts as often as it was handed in."""
    singles = dict(copies[0].write_up.singles)
    columns = {item: dict(column) for item, column in copies[0].write_up.columns.items()}
    for item, row in dict.fromkeys(place for table in tables for place in table):
        held = columns.setdefault(item, {}) if rubric.items[item].table is not None else None
        entry = _commonest(rubric.items[item], row, copies, tables)
        if held is None:
            singles.pop(item, None)
        else:
            held.pop(row, None)
        if entry is not None and held is None:
            singles[item] = entry
        elif entry is not None and held is not None:
            held[row] = entry
    first = copies[0]
    students = tuple(dict.fromkeys(code for copy in copies for code in copy.students))
    return replace(first, students=students, write_up=replace(first.write_up, singles=singles, columns=columns))


def _commonest(item: Item, row: int, copies: Sequence[Partners], tables: Sequence[Table]) -> Entry | None:
    """Return what most copies have in that place; None where they are evenly divided."""
    votes: Counter[Value | None] = Counter()
    for copy, table in zip(copies, tables, strict=True):
        votes[table.get((item.name, row))] += max(1, len(copy.students))
    (chosen, most), *others = votes.most_common(2)
    if chosen is None or (others and others[0][1] == most):
        return None
    has = next(one for one, table in zip(copies, tables, strict=True) if table.get((item.name, row)) == chosen)
    return entry_at(item, has.write_up, row)
