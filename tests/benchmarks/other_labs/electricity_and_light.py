"""Cells, thermistors, light-emitting diodes, lenses, glass blocks and sources, as benches that are read."""

from __future__ import annotations

import math
from random import Random

from tests.benchmarks.other_labs.lab import Desk, Reads, shown
from tests.cohort.simulated import Cells


def cell(desk: Desk) -> Reads:
    """Return a reader of a cell under seven loads; the current is set with a rheostat, or is what it is."""
    emf, inner = desk.part(1.55, 0.005), desk.part(0.6, 0.03)
    amps, step = [0.1 * n for n in range(1, 8)], desk.step(0.01, 0.001)

    def read(chance: Random) -> Cells:
        used = desk.near(amps, 0.015, chance)
        return {
            "I": [shown(i, 0.01, "A") for i in used],
            "V": [shown(emf - i * inner + chance.gauss(0, 0.003), step, "V") for i in used],
        }

    return read


def thermistor(desk: Desk) -> Reads:
    """Return a reader of a thermistor in water that is let cool, at 5 V or near it."""
    at_25, steepness = desk.part(5.0, 0.02), desk.part(3800, 0.005)
    temperatures, step = [70, 60, 50, 40, 30, 20], desk.step(0.1, 0.01)

    def read(chance: Random) -> Cells:
        used = desk.near([float(t) for t in temperatures], 0.8, chance)
        volts = desk.near([5.0] * len(used), 0.04, chance)
        kilohms = [at_25 * math.exp(steepness * (1 / (t + 273.15) - 1 / 298.15)) for t in used]
        milliamps = [v / r * chance.gauss(1, 0.01) for v, r in zip(volts, kilohms, strict=True)]
        return {
            "T": [shown(t, desk.step(0.5, 0.1), "°C") for t in used],
            "V": [shown(v, 0.01, "V") for v in volts],
            "I": [shown(i, step, "mA") for i in milliamps],
        }

    return read


def leds(desk: Desk) -> Reads:
    """Return a reader of five light-emitting diodes of one delivery, whose wavelengths are on their label."""
    offset = desk.luck.gauss(-0.3, 0.02)
    labels = (635.0, 610.0, 590.0, 525.0, 470.0)

    def read(chance: Random) -> Cells:
        return {
            "wl": [shown(one, 1.0, "nm") for one in labels],
            "V": [shown(1240 / one + offset + chance.gauss(0, 0.02), desk.step(0.1, 0.01), "V") for one in labels],
        }

    return read


def lens(desk: Desk) -> Reads:
    """Return a reader of a lens of 15 cm at six distances; a range of places looks sharp."""
    focal, step = desk.part(15.0, 0.005), desk.step(0.5, 0.1)
    distances = (20.0, 25.0, 30.0, 40.0, 50.0, 60.0)

    def read(chance: Random) -> Cells:
        used = desk.near(distances, 0.4, chance)
        images = [1 / (1 / focal - 1 / u) for u in used]
        return {
            "u": [shown(u, 0.1, "cm") for u in used],
            "v": [shown(v + chance.gauss(0, 0.012 * v), step, "cm") for v in images],
        }

    return read


def glass(desk: Desk) -> Reads:
    """Return a reader of an acrylic block at six round angles: a protractor leaves few different tables."""
    index, step = desk.part(1.49, 0.002), desk.step(1.0, 0.5)
    angles = (10.0, 20.0, 30.0, 40.0, 50.0, 60.0)

    def read(chance: Random) -> Cells:
        used = desk.near(angles, 0.8, chance)
        bent = [math.degrees(math.asin(math.sin(math.radians(i)) / index)) for i in used]
        return {
            "i": [shown(i, step, "°") for i in used],
            "r": [shown(r + chance.gauss(0, 0.4), step, "°") for r in bent],
        }

    return read


def source(desk: Desk) -> Reads:
    """Return a reader of a source counted for a minute at six distances."""
    strength, behind = desk.part(52000, 0.02), desk.luck.uniform(0.3, 0.8)
    distances = (10.0, 15.0, 20.0, 25.0, 30.0, 40.0)
    minutes = 2.0 if desk.lab.is_fine else 1.0

    def counts(mean: float, chance: Random) -> int:
        return max(0, round(chance.gauss(mean, math.sqrt(mean))))

    def read(chance: Random) -> Cells:
        means = [minutes * (strength / (d + behind) ** 2 + 25) for d in distances]
        return {
            "N_b": (str(counts(25 * 5, chance)), ""),
            "t_b": ("5.00", "min"),
            "d": [shown(d, 0.1, "cm") for d in distances],
            "N": [(str(counts(mean, chance)), "") for mean in means],
            "t": [(f"{minutes:.2f}", "min") for _ in distances],
        }

    return read
