"""A wire on a metre rule: resistance against length."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from random import Random

from tests.apparatus.bench import Bench, Keep, Key, Numbers, Quantity, Reading, Working, read_off, take
from tests.apparatus.lines import best_line

GRADIENT = Key(item="gradient")
INTERCEPT = Key(item="intercept")

INPUT_UNITS = {"Ω/m": ("Ω", "m"), "Ω/cm": ("Ω", "cm"), "Ω/mm": ("Ω", "mm")}
"""Units on the axes of a student who gives the gradient in this unit."""

OHM_INPUTS = {"Ω": ("V", "A"), "kΩ": ("V", "mA"), "mΩ": ("mV", "A")}
"""Units of p.d. and current that a student works in who gives a resistance in this unit."""

WIRES = (2.0, 3.0, 4.4, 6.3, 8.3, 9.9, 11.4, 14.1, 16.7)
"""Resistances of one metre, Ω: constantan and nichrome of usual gauges."""

DRAWING_ERROR = 0.03
"""How far a careful line by hand may be off least squares."""


class WireBench(Bench):
    """A table of lengths, p.d.s and currents."""

    practical = "wire-resistance"

    def __init__(self, readings: tuple[Reading, ...], drawn: float) -> None:
        """Keep the table; *drawn* is the ratio of the line by hand to least squares."""
        super().__init__(readings)
        self.drawn = drawn
        self.odd_rows: frozenset[int] = frozenset()
        """Rows that the student saw lie far off, and left out of the line."""

    def answers(self) -> tuple[Key, ...]:
        """Return the resistance of each row, then gradient and intercept."""
        return (*(Key(item="R", row=row) for row in self.rows), GRADIENT, INTERCEPT)

    def answer_units(self, item: str) -> tuple[tuple[str, float], ...]:
        """Return the units met in write-ups."""
        if item == "gradient":
            return (("Ω/m", 0.8), ("Ω/cm", 0.2))
        if item == "intercept":
            return (("Ω", 1.0),)
        return (("Ω", 0.96), ("kΩ", 0.02), ("mΩ", 0.02))

    def readings_behind(self, key: Key) -> tuple[Reading, ...]:
        """Return the row's meters, or the whole table for the line."""
        if key.row is not None:
            return (self.reading("V", key.row), self.reading("I", key.row))
        return self.readings

    def columns(self, unit: str, earlier: Mapping[Key, Quantity]) -> tuple[list[float], list[float]]:
        """Return lengths and resistances in the units on the axes of a gradient in *unit*."""
        y_unit, x_unit = INPUT_UNITS[unit]
        rows = [row for row in self.rows if row not in self.odd_rows]
        lengths = [self.reading("L", row).quantity.in_unit(x_unit) for row in rows]
        return lengths, [earlier[Key(item="R", row=row)].in_unit(y_unit) for row in rows]

    def working(self, key: Key, unit: str, earlier: Mapping[Key, Quantity]) -> Working:
        """Return how a row's resistance, or the line's gradient or intercept, is worked out."""
        if key.row is not None:
            return resistance_working(self.reading("V", key.row), self.reading("I", key.row), unit)
        lengths, resistances = self.columns(unit if key == GRADIENT else "Ω/m", earlier)
        gradient, _ = best_line(lengths, resistances)
        answer = gradient * self.drawn if key == GRADIENT else _through_centre(lengths, resistances, gradient)
        return read_off(answer)


def _through_centre(x: Sequence[float], y: Sequence[float], gradient: float) -> float:
    return sum(y) / len(y) - gradient * sum(x) / len(x)


def resistance_working(voltage: Reading, current: Reading, unit: str) -> Working:
    """Return how a resistance is worked out from one pair of meters."""
    voltage_unit, current_unit = OHM_INPUTS[unit]
    return Working(
        numbers={"V": voltage.quantity.in_unit(voltage_unit), "I": current.quantity.in_unit(current_unit)},
        units={"V": voltage_unit, "I": current_unit},
        routes=(volts_over_amps,),
        readings={"V": voltage, "I": current},
    )


def volts_over_amps(numbers: Numbers, keep: Keep) -> float:
    """Return p.d. over current: one division, nothing to keep on the way."""
    del keep
    return numbers["V"] / numbers["I"]


def hand_drawn(random: Random) -> float:
    """Return the ratio of a drawn gradient to least squares; 1 where a spreadsheet fitted it."""
    return 1.0 if random.random() < 0.25 else 1 + random.uniform(-DRAWING_ERROR, DRAWING_ERROR)


def wire_bench(random: Random) -> WireBench:
    """Return a bench with a wire of some gauge, with contacts that have a resistance too."""
    per_metre = random.choice(WIRES) * random.uniform(0.97, 1.03)
    contacts = random.uniform(0.05, 0.5)
    lengths = _lengths(random)
    length_unit = random.choices(("m", "cm", "mm"), (0.5, 0.4, 0.1))[0]
    current_unit = random.choices(("A", "mA"), (0.75, 0.25))[0]
    voltage_unit = random.choices(("V", "mV"), (0.95, 0.05))[0]
    steady = random.random() < 0.5
    supply = random.choice((1.5, 3.0))
    readings: list[Reading] = []
    for row, length in enumerate(lengths, start=1):
        resistance = contacts + per_metre * length
        current = _current(random, resistance, supply, steady=steady, most=per_metre + contacts)
        shown = _ammeter(random, current, current_unit, row)
        voltage = shown.quantity.in_unit("A") * resistance * random.gauss(1, 0.004)
        readings.append(_length(length, length_unit, row))
        readings.append(_voltmeter(voltage, voltage_unit, row))
        readings.append(shown)
    return WireBench(tuple(readings), hand_drawn(random))


def _lengths(random: Random) -> tuple[float, ...]:
    ten = tuple(round(0.1 * n, 1) for n in range(1, 11))
    return random.choice((ten, (*ten[::2], 1.0), ten[1:9], (0.1, 0.2, 0.3, 0.4, 0.6, 0.8, 1.0)))


def _current(random: Random, resistance: float, supply: float, *, steady: bool, most: float) -> float:
    if steady:
        return round(min(0.6, supply / most), 2)
    return min(0.95, supply / (resistance + random.uniform(1.0, 1.2)))


def _length(length_m: float, unit: str, row: int) -> Reading:
    scale, resolution = {"m": (1, 0.001), "cm": (100, 0.1), "mm": (1000, 1.0)}[unit]
    return take("L", length_m * scale, unit, resolution, row)


def _voltmeter(voltage: float, unit: str, row: int) -> Reading:
    return take("V", voltage, "V", 0.01, row) if unit == "V" else take("V", voltage * 1000, "mV", 10.0, row)


def _ammeter(random: Random, current: float, unit: str, row: int) -> Reading:
    if unit == "A":
        return take("I", max(current, 0.05), "A", 0.01, row)
    return take("I", max(current, 0.05) * 1000, "mA", random.choice((1.0, 10.0)), row)
