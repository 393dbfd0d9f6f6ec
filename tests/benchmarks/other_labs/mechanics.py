"""Springs, pendulums, falling balls, trolleys and stretched wires, as benches that are read."""

from __future__ import annotations

import math
from random import Random

from tests.benchmarks.other_labs.lab import Desk, Reads, shown
from tests.cohort.simulated import Cells

G = 9.81


def spring(desk: Desk) -> Reads:
    """Return a reader of a spring of one delivery, under marked masses; half a millimetre is judged at best."""
    stiffness, bare = desk.part(25.0, 0.015), desk.luck.choice((0.024, 0.031, 0.052))
    masses = [0.1 * n for n in range(1, desk.common.choice((6, 7)) + 1)]
    step, unloads = desk.step(0.001, 0.0005), desk.common.random() < 0.5

    def read(chance: Random) -> Cells:
        def lengths() -> list[tuple[str, str]]:
            return [shown(bare + G * m / stiffness + chance.gauss(0, 0.0005), step, "m") for m in masses]

        both = {"L": lengths(), "L_u": lengths()} if unloads else {"L": lengths()}
        return {"L_0": shown(bare, step, "m"), "M": [shown(m, 0.001, "kg") for m in masses], **both}

    return read


def pendulum(desk: Desk) -> Reads:
    """Return a reader of ten swings at five lengths, timed twice by hand."""
    lengths = desk.common.choice(((0.2, 0.4, 0.6, 0.8, 1.0), (0.3, 0.5, 0.7, 0.9, 1.1)))
    offset, step = desk.luck.uniform(-0.004, 0.008), desk.step(0.1, 0.01)

    def read(chance: Random) -> Cells:
        used = desk.near(lengths, 0.01, chance)
        times = [20 * math.pi * math.sqrt((one + offset) / G) for one in used]
        return {
            "L": [shown(one, 0.001, "m") for one in used],
            **{name: [shown(t + chance.gauss(0, 0.09), step, "s") for t in times] for name in ("t10_1", "t10_2")},
        }

    return read


def freefall(desk: Desk) -> Reads:
    """Return a reader of a ball dropped three times from each of six heights, timed electronically."""
    late, step = desk.luck.uniform(0, 0.004), desk.step(0.01, 0.001)
    heights = [0.2 * n for n in range(1, 7)]

    def read(chance: Random) -> Cells:
        used = desk.near(heights, 0.006, chance)
        times = [math.sqrt(2 * h / G) + late for h in used]
        drops = ("t_1", "t_2", "t_3")
        return {
            "h": [shown(h, 0.001, "m") for h in used],
            **{name: [shown(t + chance.gauss(0, 0.002), step, "s") for t in times] for name in drops},
        }

    return read


def trolley(desk: Desk) -> Reads:
    """Return a reader of a trolley pulled by five loads through two light gates."""
    mass, friction = desk.part(1.2, 0.005), desk.luck.uniform(0.03, 0.08)
    loads, step = [0.02 * n for n in range(1, 6)], desk.step(0.01, 0.001)

    def read(chance: Random) -> Cells:
        first = [chance.uniform(0.15, 0.3) for _ in loads]
        rates = [(load * G - friction) / mass for load in loads]
        times = [(math.sqrt(v * v + 2 * a * 0.5) - v) / a for v, a in zip(first, rates, strict=True)]
        last = [v + a * t * chance.gauss(1, 0.01) for v, a, t in zip(first, rates, times, strict=True)]
        return {
            "M": shown(mass, 0.001, "kg"),
            "m_h": [shown(load, 0.001, "kg") for load in loads],
            "v_1": [shown(v, step, "m/s") for v in first],
            "v_2": [shown(v, step, "m/s") for v in last],
            "t": [shown(t, step, "s") for t in times],
        }

    return read


def stretched_wire(desk: Desk) -> Reads:
    """Return a reader of a copper wire of one reel under six loads."""
    length, diameter = desk.luck.uniform(2.3, 2.7), desk.part(0.28, 0.004)
    loads, step = [0.1 * n for n in range(1, 7)], desk.step(0.0001, 0.00005)
    per_newton = length / (1.2e11 * math.pi * (diameter / 2000) ** 2)

    def read(chance: Random) -> Cells:
        return {
            "L": shown(length, 0.001, "m"),
            "d": [shown(diameter + chance.gauss(0, 0.004), 0.01, "mm") for _ in range(3)],
            "M": [shown(load, 0.001, "kg") for load in loads],
            "x": [shown(G * load * per_newton + chance.gauss(0, 0.00003), step, "m") for load in loads],
        }

    return read
