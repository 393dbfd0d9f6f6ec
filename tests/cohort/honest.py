"""Honest classes at every kind of meter: coarse and fine, p.d. set or read or current set, parts exact or off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from random import Random

from msgspec import Struct

from tests.cohort.simulated import Cell, Cells, Practical, Reader, Stand

GAIN = 0.005
"""Standard deviation of the factor by which a sound meter reads off."""


class Way(Struct, frozen=True, kw_only=True):
    """How a class measures."""

    volts: int
    """Decimals of the voltmeter."""
    amps: int
    """Decimals of the ammeter."""
    set_to: str
    """'p.d.', 'current' or 'neither' is set to round values."""
    noise: float
    """Of one reading, as a share."""
    tolerance: float
    """Of parts from their label, as a share."""

    def __str__(self) -> str:
        """Return it in a few words, as the name of a case."""
        meters = f"V to {self.volts}, A to {self.amps} decimals"
        return f"{meters}, {self.set_to} set, noise {self.noise}, parts {self.tolerance}"


WAYS = tuple(
    Way(volts=volts, amps=amps, set_to=set_to, noise=noise, tolerance=tolerance)
    for volts, amps, set_to, noise, tolerance in product(
        (1, 2), (2, 3), ("p.d.", "current", "neither"), (0.0, 0.004), (0.0, 0.01)
    )
)


def read_pair(
    way: Way, resistance: float, volts: float, chance: Random, meters: Mapping[str, float]
) -> tuple[Cell, Cell]:
    """Return p.d. and current of a part, near *volts*; what was set stands as a round value."""
    current = volts / resistance
    if way.set_to == "p.d.":
        volts = max(round(volts * 2) / 2, 0.5)
        current = volts / resistance
    elif way.set_to == "current":
        step = max(10.0**-way.amps, 0.02 if current < 0.2 else 0.1)
        current = max(round(current / step), 1) * step
        volts = current * resistance
    shown_volts = volts * (1 if way.set_to == "p.d." else meters["V"] * chance.gauss(1, way.noise))
    shown_amps = current * (1 if way.set_to == "current" else meters["A"] * chance.gauss(1, way.noise))
    return (f"{shown_volts:.{way.volts}f}", "V"), (f"{shown_amps:.{way.amps}f}", "A")


def _meters(stand: Stand, way: Way) -> dict[str, float]:
    off = GAIN if way.tolerance else 0.0
    return {name: stand.chance.gauss(1, off) for name in "VA"}


def resistor_of(way: Way, label: float, practical: str = "iv-characteristic") -> Practical:
    """Return how one fixed resistor is measured at six p.d.s; the practical names its columns V and I."""

    def set_up(stand: Stand) -> Reader:
        resistance, meters = label * stand.chance.gauss(1, way.tolerance), _meters(stand, way)

        def read(chance: Random) -> Cells:
            step = 0.5 * max(label / 10, 1) if way.set_to == "current" else 0.5
            pairs = [
                read_pair(way, resistance, step * n * chance.uniform(0.95, 1.05), chance, meters) for n in range(1, 9)
            ]
            named: dict[str, Cell | list[Cell]] = {"V": [v for v, _ in pairs], "I": [i for _, i in pairs]}
            return {"component": ("fixed resistor", ""), **named} if practical == "iv-characteristic" else named

        return read

    return set_up


def combinations_of(way: Way, labels: tuple[float, float]) -> Practical:
    """Return how two resistors are measured, singly and together."""

    def set_up(stand: Stand) -> Reader:
        first, second = (label * stand.chance.gauss(1, way.tolerance) for label in labels)
        meters = _meters(stand, way)
        parts = {"1": first, "2": second, "series": first + second, "parallel": first * second / (first + second)}

        def read(chance: Random) -> Cells:
            cells: dict[str, Cell | list[Cell]] = {}
            for name, resistance in parts.items():
                volts = chance.uniform(1.5, 6.0)
                cells[f"V_{name}"], cells[f"I_{name}"] = read_pair(way, resistance, volts, chance, meters)
            return cells

        return read

    return set_up


def wire_of(way: Way) -> Practical:
    """Return how a wire is measured at round lengths, with or without resistance of its contacts."""

    def set_up(stand: Stand) -> Reader:
        per_metre = stand.chance.choice((4.41, 8.29)) * stand.chance.gauss(1, way.tolerance)
        contact, meters = (stand.chance.uniform(0.0, 0.2) if way.tolerance else 0.0), _meters(stand, way)

        def read(chance: Random) -> Cells:
            lengths = [0.1 * n for n in range(1, 11)]
            current = chance.uniform(0.3, 0.5)
            pairs = [
                read_pair(way, r, current * r, chance, meters) for r in (contact + per_metre * one for one in lengths)
            ]
            return {
                "L": [(f"{one:.3f}", "m") for one in lengths],
                "V": [v for v, _ in pairs],
                "I": [i for _, i in pairs],
            }

        return read

    return set_up


def spring_of(noise: float, decimals: int) -> Practical:
    """Return how a spring is stretched by masses of 100 g, evenly, and read off to *decimals* of a metre."""

    def set_up(stand: Stand) -> Reader:
        stretch, start = 1 / stand.chance.uniform(18, 40), stand.chance.uniform(0.02, 0.1)

        def read(chance: Random) -> Cells:
            masses = [0.1 * n for n in range(1, 8)]
            lengths = [start + stretch * 9.81 * mass * chance.gauss(1, noise) for mass in masses]
            return {
                "L_0": (f"{start:.{decimals}f}", "m"),
                "M": [(f"{mass:.3f}", "kg") for mass in masses],
                "L": [(f"{length:.{decimals}f}", "m") for length in lengths],
            }

        return read

    return set_up


def cases() -> Iterator[tuple[str, str, Practical]]:
    """Yield practical, words for the way, and how a bench is set up."""
    for way in WAYS:
        yield "iv-characteristic", f"10 Ω, {way}", resistor_of(way, 10.0)
        yield "iv-characteristic", f"47 Ω, {way}", resistor_of(way, 47.0)
        yield "resistor-combinations", f"10 and 15 Ω, {way}", combinations_of(way, (10.0, 15.0))
        yield "resistor-combinations", f"22 and 33 Ω, {way}", combinations_of(way, (22.0, 33.0))
        yield "wire-resistance", str(way), wire_of(way)
    for noise, decimals in product((0.0, 0.003), (3, 4)):
        yield "spring-extension", f"noise {noise}, {decimals} decimals", spring_of(noise, decimals)
