"""A block under a rule, and a pebble in a measuring cylinder."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from tests.apparatus.bench import Bench, Keep, Key, Numbers, Quantity, Reading, Working, take

MATERIALS = (2.7, 7.85, 8.44, 8.92, 7.13, 11.3, 0.55, 0.7, 1.15, 2.5)
"""Densities of metals, woods, plastic and glass, g/cm³."""

PEBBLES = (2.6, 2.7, 2.8, 7.85, 8.9, 11.3)

LENGTH_FOR_VOLUME = {"cm³": "cm", "mm³": "mm", "m³": "m"}
INPUT_UNITS = {"g/cm³": ("g", "cm³"), "kg/m³": ("kg", "m³")}
"""Units of mass and volume that a student works in who gives the density in this unit."""

VOLUME, DENSITY, DENSITY_SI = Key(item="V"), Key(item="rho"), Key(item="rho_si")
SIDES = ("l", "w", "h")


class CuboidBench(Bench):
    """Three sides and a mass."""

    practical = "density-cuboid"

    def answers(self) -> tuple[Key, ...]:
        """Return volume, density, and density once more in kg/m³."""
        return (VOLUME, DENSITY, DENSITY_SI)

    def answer_units(self, item: str) -> tuple[tuple[str, float], ...]:
        """Return the units met in write-ups."""
        if item == "V":
            return (("cm³", 0.85), ("mm³", 0.12), ("m³", 0.03))
        return density_units(item)

    def readings_behind(self, key: Key) -> tuple[Reading, ...]:
        """Return the sides, and for a density the mass too."""
        return tuple(self.reading(item) for item in (SIDES if key == VOLUME else (*SIDES, "m")))

    def working(self, key: Key, unit: str, earlier: Mapping[Key, Quantity]) -> Working:
        """Return how volume or density is worked out."""
        if key != VOLUME:
            return density_working(key, unit, self.reading("m"), earlier, volume=earlier[VOLUME])
        length = LENGTH_FOR_VOLUME[unit]
        readings = {side: self.reading(side) for side in SIDES}
        return Working(
            numbers={side: reading.quantity.in_unit(length) for side, reading in readings.items()},
            units=dict.fromkeys(SIDES, length),
            routes=(product_of_sides, _other_pair_first),
            readings=readings,
        )


class DisplacementBench(Bench):
    """A mass and the volume of water pushed aside."""

    practical = "density-displacement"

    def answers(self) -> tuple[Key, ...]:
        """Return the density, and once more in kg/m³."""
        return (DENSITY, DENSITY_SI)

    def answer_units(self, item: str) -> tuple[tuple[str, float], ...]:
        """Return the units met in write-ups."""
        return density_units(item)

    def readings_behind(self, key: Key) -> tuple[Reading, ...]:
        """Return both readings."""
        del key
        return self.readings

    def working(self, key: Key, unit: str, earlier: Mapping[Key, Quantity]) -> Working:
        """Return how the density is worked out."""
        return density_working(key, unit, self.reading("m"), earlier, volume=self.reading("V"))


def density_units(item: str) -> tuple[tuple[str, float], ...]:
    """Return the units met in write-ups for a density."""
    return (("kg/m³", 1.0),) if item == "rho_si" else (("g/cm³", 0.85), ("kg/m³", 0.15))


def density_working(
    key: Key, unit: str, mass: Reading, earlier: Mapping[Key, Quantity], *, volume: Quantity | Reading
) -> Working:
    """Return how a density follows from mass and volume, or from the density in the other unit."""
    if key == DENSITY_SI:
        return Working(
            numbers={"rho": earlier[DENSITY].in_unit(unit)},
            units={"rho": unit},
            routes=(_the_same,),
            carried={"rho": DENSITY},
        )
    mass_unit, volume_unit = INPUT_UNITS[unit]
    readings = {"m": mass} | ({"V": volume} if isinstance(volume, Reading) else {})
    space = volume.quantity if isinstance(volume, Reading) else volume
    return Working(
        numbers={"m": mass.quantity.in_unit(mass_unit), "V": space.in_unit(volume_unit)},
        units={"m": mass_unit, "V": volume_unit},
        routes=(mass_over_volume,),
        readings=readings,
        carried={} if isinstance(volume, Reading) else {"V": VOLUME},
    )


def mass_over_volume(numbers: Numbers, keep: Keep) -> float:
    """Return mass over volume: one division, nothing to keep on the way."""
    del keep
    return numbers["m"] / numbers["V"]


def product_of_sides(numbers: Numbers, keep: Keep) -> float:
    """Return the base, kept as a step, times the height."""
    return keep(numbers["l"] * numbers["w"]) * numbers["h"]


def _other_pair_first(numbers: Numbers, keep: Keep) -> float:
    return keep(numbers["w"] * numbers["h"]) * numbers["l"]


def _the_same(numbers: Numbers, keep: Keep) -> float:
    del keep
    return numbers["rho"]


def cuboid_bench(random: Random) -> CuboidBench:
    """Return a bench with a block of some material."""
    sides = [random.uniform(12, 95) for _ in SIDES]
    volume = sides[0] * sides[1] * sides[2] / 1000
    unit, resolution = random.choice((("mm", 1.0), ("mm", 0.1), ("cm", 0.1), ("cm", 0.01), ("cm", 0.1)))
    if random.random() < 0.04:
        unit, resolution = "m", 0.001
    scale = {"mm": 1.0, "cm": 0.1, "m": 0.001}[unit]
    lengths = [take(item, side * scale, unit, resolution) for item, side in zip(SIDES, sides, strict=True)]
    return CuboidBench((*lengths, _balance(random, volume * random.choice(MATERIALS) * random.gauss(1, 0.01))))


def displacement_bench(random: Random) -> DisplacementBench:
    """Return a bench with a pebble or a piece of metal on a thread."""
    volume = random.uniform(6, 80)
    mass = volume * random.choice(PEBBLES) * random.gauss(1, 0.02)
    unit = random.choices(("cm³", "ml", "mm³"), (0.6, 0.35, 0.05))[0]
    resolution = random.choice((0.5, 0.5, 1.0, 0.1))
    if unit == "mm³":
        return DisplacementBench((_balance(random, mass), take("V", volume * 1000, unit, resolution * 1000)))
    return DisplacementBench((_balance(random, mass), take("V", volume, unit, resolution)))


def _balance(random: Random, mass_g: float) -> Reading:
    if random.random() < 0.12:
        return take("m", mass_g / 1000, "kg", random.choice((0.001, 0.0001)) if mass_g > 100 else 0.0001)
    return take("m", mass_g, "g", random.choice((0.1, 0.1, 0.01, 1.0)))
