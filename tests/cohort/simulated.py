"""Simulated classes: benches with their own parts and meters, groups that read them, write-ups as records.

A bench's parts differ a little from the next bench's, every reading has a little noise, and what is written
down is what the instrument shows. A meter that reads off multiplies what it shows by a steady factor.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from random import Random

from msgspec import Struct, field
from msgspec.structs import replace

from marking.findings import MarkedSet, Script
from marking.write_up import Entry, Place, State, Student, WriteUp
from rubrics.load import load_catalogue
from rubrics.model.practical import Rubric
from rubrics.units.definition import define_unit
from rubrics.units.unit_record import UnitReading, Verdict

STUDENTS = 30
BENCHES = 12

Cell = tuple[str, str]
"""Number as written, and its unit."""
Cells = Mapping[str, Cell | list[Cell]]
"""Item to its cell, or to its cells in order of row."""


class Spread(Struct, frozen=True, kw_only=True):
    """How much sound apparatus and careful groups differ, as shares."""

    parts: float = 0.01
    """Of a bench's wire, resistor or block from what its label says."""
    reading: float = 0.005
    """Of one reading from the next, besides what the instrument resolves."""


class Stand(Struct, kw_only=True):
    """One bench."""

    name: str
    chance: Random
    spread: Spread
    gains: Mapping[str, float] = field(default_factory=dict)
    """Instrument to what it shows for each unit there is; 1 where it is not named."""

    def part(self, nominal: float) -> float:
        """Return a part of this bench, sold as *nominal*."""
        return nominal * self.chance.gauss(1, self.spread.parts)

    def show(
        self, instrument: str, value: float, unit: str, places: int, step: float = 0.0, chance: Random | None = None
    ) -> Cell:
        """Return what a group writes down of *value*."""
        luck = chance or self.chance
        shown = value * self.gains.get(instrument, 1.0) * luck.gauss(1, self.spread.reading)
        if step:
            shown = round(shown / step) * step
        return f"{shown:.{places}f}", unit


Reader = Callable[[Random], Cells]
"""What one group makes of its bench."""
Practical = Callable[[Stand], Reader]
"""A bench, set up; returns how it is read."""


def wire(stand: Stand) -> Reader:
    """Return a reader of a wire of 28 SWG constantan on a metre rule."""
    per_metre, contact = stand.part(4.41), stand.chance.uniform(0.05, 0.30)

    def read(chance: Random) -> Cells:
        lengths = chance.choice(((0.1, 0.2, 0.3, 0.4, 0.6, 0.8, 1.0), (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)))
        wanted = chance.uniform(0.35, 0.55)
        currents = [wanted * chance.gauss(1, 0.02) for _ in lengths]
        return {
            "L": [(f"{length:.3f}", "m") for length in lengths],
            "V": [
                stand.show("voltmeter", current * (contact + per_metre * length), "V", 2, chance=chance)
                for current, length in zip(currents, lengths, strict=True)
            ],
            "I": [stand.show("ammeter", current, "A", 2, chance=chance) for current in currents],
        }

    return read


def resistors(stand: Stand, pair: tuple[float, float] = (10.0, 15.0)) -> Reader:
    """Return a reader of two resistors, singly and together."""
    first, second = stand.part(pair[0]), stand.part(pair[1])
    arrangements = {
        "1": first,
        "2": second,
        "series": first + second,
        "parallel": first * second / (first + second),
    }

    def read(chance: Random) -> Cells:
        cells: dict[str, Cell | list[Cell]] = {}
        for name, resistance in arrangements.items():
            volts = chance.uniform(2.5, 6.0)
            cells[f"V_{name}"] = stand.show("voltmeter", volts, "V", 2, chance=chance)
            cells[f"I_{name}"] = stand.show("ammeter", volts / resistance, "A", 2, chance=chance)
        return cells

    return read


def mixed_resistors(stand: Stand) -> Reader:
    """Return a reader of two resistors that are not the same on all benches."""
    pairs = ((10.0, 15.0), (12.0, 22.0), (10.0, 33.0), (15.0, 27.0))
    return resistors(stand, pairs[int(stand.name) % len(pairs)])


def cuboid(stand: Stand, nominal: float = 2.70) -> Reader:
    """Return a reader of a block of the bench's own size, of aluminium unless *nominal* says otherwise."""
    density = stand.part(nominal)
    sides = {"l": stand.chance.uniform(4, 6.5), "w": stand.chance.uniform(2.5, 4), "h": stand.chance.uniform(1.4, 2.4)}
    mass = density * sides["l"] * sides["w"] * sides["h"]

    def read(chance: Random) -> Cells:
        read_off = {name: stand.show("rule or calipers", side, "cm", 2, chance=chance) for name, side in sides.items()}
        return {**read_off, "m": stand.show("balance", mass, "g", 1, chance=chance)}

    return read


def displacement(stand: Stand) -> Reader:
    """Return a reader of a pebble, one for each bench, all of one rock."""
    density, volume = stand.part(2.70), stand.chance.uniform(20, 45)

    def read(chance: Random) -> Cells:
        pushed_aside = volume * chance.gauss(1.01, 0.01)
        return {
            "m": stand.show("balance", density * volume, "g", 1, chance=chance),
            "V": stand.show("measuring cylinder", pushed_aside, "cm³", 1, step=0.5, chance=chance),
        }

    return read


def block(stand: Stand, c: float = 897.0) -> Reader:
    """Return a reader of a lagged aluminium block with a heater and a joulemeter."""
    mass, capacity = stand.part(1.0), c
    lost, room = stand.chance.uniform(0.05, 0.12), stand.chance.uniform(18.5, 20.5)

    def read(chance: Random) -> Cells:
        energy = 100 * round(chance.uniform(17000, 24000) / 100)
        kept = 1 - lost + chance.gauss(0, 0.01)
        start = room + chance.uniform(0, 1)
        true_energy = energy / stand.gains.get("joulemeter", 1.0)
        end = start + true_energy * kept / (mass * capacity) + chance.gauss(0, 0.15)
        return {
            "m": stand.show("balance", mass, "kg", 3, chance=chance),
            "T_start": (f"{round(2 * start) / 2:.1f}", "°C"),
            "T_end": (f"{round(2 * end) / 2:.1f}", "°C"),
            "E": (str(energy), "J"),
        }

    return read


def characteristic(stand: Stand) -> Reader:
    """Return a reader of a fixed resistor, both ways round."""
    resistance = stand.part(10.0)

    def read(chance: Random) -> Cells:
        volts = [v + chance.gauss(0, 0.04) for v in (-4.0, -3.0, -2.0, -1.0, 1.0, 2.0, 3.0, 4.0, 5.0)]
        return {
            "component": ("fixed resistor", ""),
            "V": [stand.show("voltmeter", v, "V", 2, chance=chance) for v in volts],
            "I": [stand.show("ammeter", v / resistance, "A", 2, chance=chance) for v in volts],
        }

    return read


PRACTICALS: Mapping[str, Practical] = {
    "wire-resistance": wire,
    "resistor-combinations": resistors,
    "density-cuboid": cuboid,
    "density-displacement": displacement,
    "specific-heat-block": block,
    "iv-characteristic": characteristic,
}


@cache
def rubric_of(practical: str) -> Rubric:
    """Return a rubric of the catalogue."""
    return load_catalogue()[practical]


def students(count: int = STUDENTS, benches: int = BENCHES) -> tuple[Student, ...]:
    """Return a class: neighbours in the list do not sit together, benches have two or three groups."""
    return tuple(
        Student(code=f"S{number + 1:02}", name=f"Student {number + 1}", bench=str(number % benches + 1))
        for number in range(count)
    )


def simulate(
    practical: str,
    seed: int,
    *,
    spread: Spread | None = None,
    faults: Mapping[str, Mapping[str, float]] | None = None,
    who: Sequence[Student] | None = None,
    set_up: Practical | None = None,
    together: bool = False,
) -> tuple[WriteUp, ...]:
    """Return the write-ups of one class.

    Args:
        practical: Id of the rubric.
        seed: Decides everything that is left to chance.
        spread: How much sound benches and groups differ.
        faults: Bench to instrument to the factor that it reads off by.
        who: The class.
        set_up: Another way to set the practical up than the usual one.
        together: The students of a bench share one set of readings.
    """
    luck = Random(f"{practical} {seed}")
    stands: dict[str, Reader] = {}
    shared: dict[str, Cells] = {}
    made = []
    for student in who or students():
        bench = student.bench
        if bench not in stands:
            gains = (faults or {}).get(bench, {})
            stand = Stand(name=bench or "1", chance=luck, spread=spread or Spread(), gains=gains)
            stands[bench] = (set_up or PRACTICALS[practical])(stand)
        cells = shared.setdefault(bench, stands[bench](luck)) if together else stands[bench](luck)
        made.append(write_up(student, practical, cells))
    return tuple(made)


def write_up(student: Student, practical: str, cells: Cells) -> WriteUp:
    """Return the records of what one student wrote."""
    singles = {item: written(cell) for item, cell in cells.items() if isinstance(cell, tuple)}
    columns = {
        item: {row: written(cell) for row, cell in enumerate(column, 1)}
        for item, column in cells.items()
        if isinstance(column, list)
    }
    return WriteUp(student=student, practical=practical, singles=singles, columns=columns)


@cache
def _unit(symbol: str) -> UnitReading:
    return UnitReading(typed=symbol, verdict=Verdict.ACCEPT, unit=define_unit(symbol))


_NOWHERE = Place(file="class.csv", sheet="", cell="A1")


def written(cell: Cell) -> Entry:
    """Return the record of one cell."""
    text, unit = cell
    try:
        value = float(text)
    except ValueError:
        return Entry(raw=text, unit_raw="", state=State.WORDS, place=_NOWHERE)
    last = -len(text.partition(".")[2])
    zeros = len(text) - len(text.rstrip("0")) if last == 0 and value else 0
    return Entry(
        raw=text,
        unit_raw=unit,
        state=State.NUMBER,
        place=_NOWHERE,
        value=value,
        last_place=(last, last + zeros),
        unit=_unit(unit) if unit else None,
    )


def as_marked(practical: str, write_ups: Sequence[WriteUp]) -> MarkedSet:
    """Return the write-ups as a set in which nothing was checked; enough for what only readings tell."""
    scripts = tuple(Script(write_up=one, findings=(), criteria=()) for one in write_ups)
    return MarkedSet(rubric=rubric_of(practical), scripts=scripts, remarks=(), sources=())


def rewritten(one: WriteUp, student: Student) -> WriteUp:
    """Return the same pages handed in by somebody else."""
    return replace(one, student=student)
