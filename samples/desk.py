"""One student at a bench: what was read there, and how it stands on the paper."""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path
from random import Random
from tomllib import loads

from msgspec import Struct, field
from msgspec.structs import replace

from rubrics.model import Item, Rubric
from samples.arithmetic import Numbers, work_out
from samples.bench_data import BenchData, Take
from samples.habits import Habits
from samples.recording import Way, choose, write_reading
from samples.sheet import WriteUp

SHARE_UNIT_ONCE = 0.3
"""Of students, who write the unit of a column in its first row only."""
SHARE_REPEATS = 0.7
"""Of students, who write repeats down one by one; the others write their mean alone."""
Figure = float | list[float]


class Desk(Struct, kw_only=True):
    """What one student has in front of them."""

    rubric: Rubric
    data: BenchData
    kind: str
    chance: Random
    habits: Habits
    work: WriteUp
    stand: Mapping[str, float]
    si: dict[str, Figure] = field(default_factory=dict)
    """Item to number in coherent SI units; of a table by row, NaN where there is none."""
    noted: dict[str, Figure] = field(default_factory=dict)
    """The same as it was written down, in the student's own unit."""
    ways: dict[str, Way] = field(default_factory=dict)
    unit_once: bool = False
    writes_repeats: bool = False
    odd: frozenset[int] = frozenset()
    """Rows whose point lies far off the others: the line is drawn without them."""

    def numbers(self, row: int | None = None, *, noted: frozenset[str] = frozenset(), si: bool = True) -> Numbers:
        """Return what a formula works on, in SI or in the units of the rubric; *noted*: as they were written down."""
        single: dict[str, float] = {name: self.stand[f"constant {name}"] for name in self.rubric.constants}
        if not si:
            single = {name: value / self.rubric.constants[name].unit.factor for name, value in single.items()}
        columns: dict[str, list[float]] = {}
        for name in self.si:
            figure = self.noted[name] if name in noted else self.si[name] if si else self._in_rubric_unit(name)
            if isinstance(figure, list):
                columns[name] = figure
                if row is not None and row < len(figure):
                    single[name] = figure[row]
            else:
                single[name] = figure
        graph = self.rubric.graph
        return Numbers(
            single=single,
            columns=columns,
            keep=self.habits.keep,
            tilt=self.habits.tilt,
            odd=self.odd,
            axes=(graph.x, graph.y) if graph else ("", ""),
        )

    def _in_rubric_unit(self, name: str) -> Figure:
        unit, figure = self.rubric.items[name].unit, self.si[name]
        if not any(unit.dimension):  # angles: the functions work in radians
            return figure
        if isinstance(figure, list):
            return [(one - unit.offset) / unit.factor for one in figure]
        return (figure - unit.offset) / unit.factor


def read_off(desk: Desk) -> None:
    """Read everything off the bench and write it down."""
    known: dict[str, float] = dict(desk.stand)
    columns: dict[str, list[float]] = {}
    lengths: dict[str, int] = {}
    for table, given in desk.data.rows.items():
        which = desk.chance.randrange(min(len(lists) for lists in given.values()))
        columns |= {name: list(lists[which]) for name, lists in given.items()}
        lengths[table] = len(next(iter(columns.values())))
    for table, takes in _by_table(desk).items():
        if table is None:
            for take in takes:
                _take(desk, take, known, None)
            continue
        rows = next((take.rows for take in takes if take.rows), (0, 0))
        count = lengths.get(table) or desk.chance.randint(*rows)
        last: dict[str, float] = {}
        for row in range(count):
            here = known | {name: values[row] for name, values in columns.items() if row < len(values)} | last
            for take in takes:
                _take(desk, take, here, row)
                columns.setdefault(take.name, []).append(here[take.name])
            last = {f"last_{take.name}": here[take.name] for take in takes}


def _by_table(desk: Desk) -> dict[str | None, list[Take]]:
    found: dict[str | None, list[Take]] = {}
    for take in desk.data.takes:
        if take.formula(desk.kind) is not None:
            item = desk.rubric.items.get(take.name)
            found.setdefault(item.table if item else take.table, []).append(take)
    return found


def _take(desk: Desk, take: Take, known: dict[str, float], row: int | None) -> None:
    """Take one reading, or its repeats; what comes later goes on with the figure on the paper."""
    item = desk.rubric.items.get(take.name)
    if item is not None and item.repeats and desk.writes_repeats:
        figures = [_read(desk, take, desk.rubric.items[name], known, row) for name in item.repeats]
        known[take.name] = math.fsum(figures) / len(figures)
    else:
        known[take.name] = _read(desk, take, item, known, row)


def _read(desk: Desk, take: Take, item: Item | None, known: Mapping[str, float], row: int | None) -> float:
    """Return one figure, as it stands on the paper if it is written down."""
    formula = take.first if row == 0 and take.first else take.formula(desk.kind)
    assert formula is not None
    value = work_out(formula.tree, Numbers(single=known))
    if formula is not take.first:
        spread = work_out(take.noise.tree, Numbers(single={**known, "value": value}))
        value += desk.chance.gauss(0, spread) if spread else 0.0
    if take.least is not None:
        value = max(value, take.least)
    if item is None:
        return value
    way = desk.ways.setdefault(take.name, _way(desk, take, item))
    desk.ways[item.name] = way
    text = write_reading(value, way)
    unit = "" if desk.unit_once and row else way.spellings[0]
    note(desk, item, row, (text, unit), float(text) / way.factor, float(text))
    return float(text) / way.factor


def note(desk: Desk, item: Item, row: int | None, written: tuple[str, str], value: float, noted: float) -> None:
    """Write one figure down: *value* in the unit of the rubric goes on, *noted* stands on the paper."""
    in_si = value * item.unit.factor + item.unit.offset
    if row is None:
        desk.work.cells[item.name] = written
        desk.si[item.name], desk.noted[item.name] = in_si, noted
        return
    cell = desk.work.cells.setdefault(item.name, {})
    assert isinstance(cell, dict)
    cell[row + 1] = written
    for kept, figure in ((desk.si, in_si), (desk.noted, noted)):
        column = kept.setdefault(item.name, [])
        assert isinstance(column, list)
        column += [math.nan] * (row - len(column)) + [figure]


def _way(desk: Desk, take: Take, item: Item) -> Way:
    alike = next(
        (
            desk.ways[other.name]
            for other in desk.data.takes
            if other.name in desk.ways
            and other.units == take.units
            and desk.rubric.items[other.name].unit.symbol == item.unit.symbol
            and desk.rubric.items[other.name].instrument == item.instrument != ""
        ),
        None,
    )
    if alike:
        return alike
    units = take.units or {item.unit.symbol: None}
    ways = [
        _way_in(item, symbol, step or _step(take, item, symbol), 1.0 if at else 2.0)
        for at, (symbol, step) in enumerate(units.items())
    ]
    way = choose(ways, desk.chance)
    return replace(way, spellings=(desk.chance.choice(way.spellings),))


def _step(take: Take, item: Item, symbol: str) -> float:
    step = take.step or item.resolution
    if step is None:
        raise ValueError(f"{take.name} needs a step")
    return step * unit_factor(item, symbol)


def _way_in(item: Item, symbol: str, step: float, share: float) -> Way:
    exact = Decimal(f"{step:.9g}").normalize()
    return Way(
        spellings=spellings(symbol),
        factor=unit_factor(item, symbol),
        step=float(exact),
        decimals=max(0, -int(exact.as_tuple().exponent)),
        share=share,
    )


def unit_factor(item: Item, symbol: str) -> float:
    """Return the numbers in the unit *symbol* for one unit of the rubric."""
    unit = next(one for one in (item.unit, *item.recorded_in) if one.symbol == symbol)
    return float(f"{item.unit.factor / unit.factor:.12g}")


def spellings(symbol: str) -> tuple[str, ...]:
    """Return how students spell a unit."""
    return _spelt().get(symbol, (symbol,))


@cache
def _spelt() -> Mapping[str, tuple[str, ...]]:
    text = Path(__file__).with_name("spellings.toml").read_text(encoding="utf-8")
    return {symbol: tuple(words) for symbol, words in loads(text).items()}
