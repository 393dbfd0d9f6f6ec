"""A heater in a block or a beaker: the benches of both specific heat practicals."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from tests.apparatus.bench import Bench, Keep, Key, Numbers, Quantity, Reading, Working, take

METALS = (897.0, 385.0, 450.0)
"""Specific heat capacities of aluminium, copper and iron, J/(kg °C); CRC Handbook, rounded."""

LIQUIDS = (4184.0, 4184.0, 4184.0, 1850.0)
"""Water, mostly, and cooking oil, J/(kg °C)."""

INPUT_UNITS = {
    "J/(kg °C)": ("J", "kg"),
    "J/(kg K)": ("J", "kg"),
    "kJ/(kg °C)": ("kJ", "kg"),
    "J/(g °C)": ("J", "g"),
}
"""Units of energy and mass that a student works in who gives c in this unit."""

RISE = Key(item="dT")
CAPACITY = Key(item="c")


class HeatBench(Bench):
    """One heating run, from the first reading of the thermometer to the highest."""

    def __init__(self, practical: str, readings: tuple[Reading, ...]) -> None:
        """Keep the four readings."""
        super().__init__(readings)
        self.practical = practical

    def answers(self) -> tuple[Key, ...]:
        """Return the rise, then the specific heat capacity."""
        return (RISE, CAPACITY)

    def answer_units(self, item: str) -> tuple[tuple[str, float], ...]:
        """Return the units met in write-ups."""
        if item == "dT":
            return (("°C", 0.9), ("K", 0.1))
        return (("J/(kg °C)", 0.6), ("J/(kg K)", 0.2), ("kJ/(kg °C)", 0.1), ("J/(g °C)", 0.1))

    def natural_places(self, key: Key) -> int | None:
        """Return the decimals of the temperatures for their difference."""
        if key != RISE:
            return None
        return max(len(self.reading(item).text.partition(".")[2]) for item in ("T_end", "T_start"))

    def readings_behind(self, key: Key) -> tuple[Reading, ...]:
        """Return the temperatures, and for c mass and energy too."""
        items = ("T_start", "T_end") if key == RISE else ("m", "T_start", "T_end", "E")
        return tuple(self.reading(item) for item in items)

    def working(self, key: Key, unit: str, earlier: Mapping[Key, Quantity]) -> Working:
        """Return how the rise, or c from the rise, is worked out."""
        if key == RISE:
            readings = {item: self.reading(item) for item in ("T_end", "T_start")}
            return Working(
                numbers={item: reading.quantity.value for item, reading in readings.items()},
                units=dict.fromkeys(readings, "°C"),
                routes=(difference,),
                readings=readings,
            )
        energy_unit, mass_unit = INPUT_UNITS[unit]
        readings = {item: self.reading(item) for item in ("E", "m")}
        return Working(
            numbers={
                "E": readings["E"].quantity.in_unit(energy_unit),
                "m": readings["m"].quantity.in_unit(mass_unit),
                "dT": earlier[RISE].value,
            },
            units={"E": energy_unit, "m": mass_unit, "dT": "°C"},
            routes=(over_product, by_mass_then_rise, by_rise_then_mass),
            readings=readings,
            carried={"dT": RISE},
        )


def difference(numbers: Numbers, keep: Keep) -> float:
    """Return end minus start: a subtraction keeps its decimals, nothing is rounded."""
    del keep
    return numbers["T_end"] - numbers["T_start"]


def over_product(numbers: Numbers, keep: Keep) -> float:
    """Return the energy over the product of mass and rise."""
    return numbers["E"] / keep(numbers["m"] * numbers["dT"])


def by_mass_then_rise(numbers: Numbers, keep: Keep) -> float:
    """Return the energy a kilogram, over the rise."""
    return keep(numbers["E"] / numbers["m"]) / numbers["dT"]


def by_rise_then_mass(numbers: Numbers, keep: Keep) -> float:
    """Return the energy a degree, over the mass."""
    return keep(numbers["E"] / numbers["dT"]) / numbers["m"]


def block_bench(random: Random) -> HeatBench:
    """Return a bench with a metal block."""
    capacity = random.choice(METALS) * random.uniform(1.02, 1.25)
    mass = random.choice((random.uniform(0.95, 1.05), random.uniform(0.95, 1.05), random.uniform(0.4, 2.0)))
    return HeatBench("specific-heat-block", _readings(random, capacity, mass, random.uniform(10_000, 40_000)))


def liquid_bench(random: Random) -> HeatBench:
    """Return a bench with a beaker of liquid."""
    capacity = random.choice(LIQUIDS) * random.uniform(1.0, 1.2)
    return HeatBench(
        "specific-heat-liquid",
        _readings(random, capacity, random.uniform(0.1, 0.4), random.uniform(8_000, 30_000)),
    )


def _readings(random: Random, capacity: float, mass: float, energy: float) -> tuple[Reading, ...]:
    rise = min(max(energy / (mass * capacity), 8.0), 45.0)
    energy = rise * mass * capacity
    thermometer = random.choice((0.5, 0.5, 0.1, 1.0))
    start = random.uniform(15, 25)
    start_read = take("T_start", start + random.gauss(0, 0.1), "°C", thermometer)
    end_read = take("T_end", start + rise + random.gauss(0, 0.2), "°C", thermometer)
    return (_mass(random, mass), start_read, end_read, _energy(random, energy))


def _mass(random: Random, mass_kg: float) -> Reading:
    if random.random() < 0.5:
        return take("m", mass_kg, "kg", 0.001)
    return take("m", mass_kg * 1000, "g", random.choice((1.0, 0.1)))


def _energy(random: Random, energy: float) -> Reading:
    unit = random.choices(("J", "kJ", "Wh"), (0.55, 0.42, 0.03))[0]
    resolution = random.choice((100.0, 100.0, 10.0, 1.0))
    if unit == "J":
        return take("E", energy, unit, resolution)
    if unit == "kJ":
        return take("E", energy / 1000, unit, resolution / 1000)
    return take("E", energy / 3600, unit, 0.01)
