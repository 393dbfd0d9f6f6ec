"""A resistor, a lamp or a diode between a voltmeter and an ammeter, both ways round."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from random import Random

from tests.apparatus.bench import Bench, Key, Quantity, Reading, Working, read_off, take
from tests.apparatus.lines import best_line
from tests.apparatus.wire import hand_drawn, resistance_working

FROM_GRAPH = Key(item="R_component")

COMPONENT_WORDS = {
    "resistor": ("fixed resistor", "resistor", "Resistor", "Fixed resistor", "ohmic conductor"),
    "lamp": ("filament lamp", "lamp", "bulb", "Filament bulb", "Lamp"),
    "diode": ("diode", "Diode", "silicon diode"),
}
SHAPE_WORDS = {
    "resistor": ("straight line through the origin", "straight line", "Straight line through zero", "linear"),
    "lamp": ("curve that gets less steep", "curve gets less steep", "S-shaped curve", "curve", "levels off"),
    "diode": ("no current until a turn-on p.d.", "flat then steep", "turns on", "no current until a threshold"),
}
PROPORTIONAL_WORDS = {
    "resistor": ("yes", "Yes", "directly proportional", "proportional", "Y"),
    "lamp": ("no", "No", "not proportional", "not directly proportional"),
    "diode": ("no", "No", "not proportional", "N"),
}

THERMAL_VOLTAGE = 0.055
"""Slope of ln I against V of a silicon diode with its leads, V."""


class CharacteristicBench(Bench):
    """A table of p.d.s and currents of one component."""

    practical = "iv-characteristic"

    def __init__(self, component: str, readings: tuple[Reading, ...], drawn: float, said: Mapping[str, str]) -> None:
        """Keep the table; *said* is what the student wrote of component, shape and proportion."""
        super().__init__(readings)
        self.component = component
        self.drawn = drawn
        self.said = said

    def answers(self) -> tuple[Key, ...]:
        """Return the resistance of each row that has one, and of a resistor from its graph."""
        rows = [row for row in self.rows if self._has_resistance(row)]
        line = (FROM_GRAPH,) if self.component == "resistor" else ()
        return (*(Key(item="R", row=row) for row in rows), *line)

    def answer_units(self, item: str) -> tuple[tuple[str, float], ...]:
        """Return the units met in write-ups; a diode's are often in kΩ."""
        del item
        return (("Ω", 0.7), ("kΩ", 0.3)) if self.component == "diode" else (("Ω", 0.97), ("kΩ", 0.03))

    def readings_behind(self, key: Key) -> tuple[Reading, ...]:
        """Return the row's meters, or the table for the line."""
        if key.row is not None:
            return (self.reading("V", key.row), self.reading("I", key.row))
        return tuple(reading for reading in self.readings if float(reading.text) != 0)

    def words(self) -> tuple[tuple[str, str], ...]:
        """Return component, shape and proportion, as far as the student said them."""
        return tuple(self.said.items())

    def columns(self, unit: str) -> tuple[list[float], list[float]]:
        """Return currents and p.d.s in the units of a resistance in *unit*."""
        volts = [self.reading("V", row).quantity.in_unit("V") for row in self.rows]
        amps = [self.reading("I", row).quantity.in_unit("A" if unit == "Ω" else "mA") for row in self.rows]
        return amps, volts

    def working(self, key: Key, unit: str, earlier: Mapping[Key, Quantity]) -> Working:
        """Return how a row's resistance, or the resistor's from the graph, is worked out."""
        del earlier
        if key.row is not None:
            return resistance_working(self.reading("V", key.row), self.reading("I", key.row), unit)
        amps, volts = self.columns(unit)
        return read_off(best_line(amps, volts)[0] * self.drawn)

    def _has_resistance(self, row: int) -> bool:
        return all(float(self.reading(item, row).text) != 0 for item in ("V", "I"))


def characteristic_bench(random: Random) -> CharacteristicBench:
    """Return a bench with one of the three components."""
    component = random.choice(("resistor", "lamp", "diode"))
    make = {"resistor": _resistor, "lamp": _lamp, "diode": _diode}[component]
    readings = make(random)
    said = {
        "component": random.choice(COMPONENT_WORDS[component]),
        "shape": random.choice(SHAPE_WORDS[component]),
        "proportional": random.choice(PROPORTIONAL_WORDS[component]),
    }
    if random.random() < 0.1:
        del said["component"]
    return CharacteristicBench(component, readings, hand_drawn(random), said)


def _resistor(random: Random) -> tuple[Reading, ...]:
    resistance = random.choice((5.6, 8.2, 10.0, 15.0, 22.0, 47.0, 100.0)) * random.uniform(0.95, 1.05)
    voltages = _both_ways(random.choice(((0, 1, 2, 3, 4), (0, 1, 2, 3, 4, 5, 6), (0, 1.5, 3, 4.5, 6))))
    in_milliamps = resistance > 30 or random.random() < 0.3
    return _table(random, voltages, lambda voltage: voltage / resistance, in_milliamps=in_milliamps)


def _lamp(random: Random) -> tuple[Reading, ...]:
    rated = random.choice((12.0, 12.0, 6.0))
    power = random.uniform(0.5, 0.6)
    full = random.uniform(1.6, 2.4) if rated == 12.0 else random.uniform(0.25, 0.5)
    steps = (0, 0.5, 1, 2, 4, 6, 8, 10, 12) if rated == 12.0 else (0, 0.5, 1, 2, 3, 4, 5, 6)

    def current(voltage: float) -> float:
        return math.copysign(full * (abs(voltage) / rated) ** power, voltage)

    return _table(random, _both_ways(steps), current, in_milliamps=rated == 6.0)


def _diode(random: Random) -> tuple[Reading, ...]:
    turn_on = random.uniform(0.66, 0.72)
    voltages = (-5.0, -4.0, -3.0, -2.0, -1.0, 0.0, 0.2, 0.4, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75)

    def current(voltage: float) -> float:
        return 0.010 * math.exp((voltage - turn_on) / THERMAL_VOLTAGE) if voltage > 0 else 0.0

    return _table(random, voltages, current, in_milliamps=True)


def _both_ways(steps: tuple[float, ...]) -> tuple[float, ...]:
    return (*(-step for step in reversed(steps) if step), *steps)


def _table(
    random: Random, voltages: tuple[float, ...], current: Callable[[float], float], *, in_milliamps: bool
) -> tuple[Reading, ...]:
    readings: list[Reading] = []
    for row, wanted in enumerate(voltages, start=1):
        set_to = wanted + (random.gauss(0, 0.012) if wanted and abs(wanted) >= 1 else 0)
        shown = take("V", set_to, "V", 0.01, row)
        flow = current(float(shown.text)) * random.gauss(1, 0.005)
        readings.append(shown)
        if in_milliamps:
            readings.append(take("I", flow * 1000, "mA", 0.1, row))
        else:
            readings.append(take("I", flow, "A", 0.01, row))
    return tuple(readings)
