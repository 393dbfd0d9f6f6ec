"""Cooling, trapped air, liquids, reactions, titrations, tissue and dice, as benches that are read."""

from __future__ import annotations

import math
from random import Random

from tests.benchmarks.other_labs.lab import Desk, Reads, shown
from tests.cohort.simulated import Cells


def cooling(desk: Desk) -> Reads:
    """Return a reader of five beakers that cool for ten minutes, from none to four layers of wrapping."""
    room, speed, step = desk.luck.uniform(19, 22), desk.part(0.046, 0.03), desk.step(0.5, 0.1)
    layers = range(5)

    def read(chance: Random) -> Cells:
        starts = desk.near([80.0] * len(layers), 0.6, chance)
        ends = [room + (s - room) * math.exp(-10 * speed / (1 + 0.25 * n)) for n, s in zip(layers, starts, strict=True)]
        return {
            "n": [(str(n), "") for n in layers],
            "T_start": [shown(t, step, "°C") for t in starts],
            "T_end": [shown(t + chance.gauss(0, 0.3), step, "°C") for t in ends],
            "t": [("10.0", "min") for _ in layers],
        }

    return read


def trapped_air(desk: Desk) -> Reads:
    """Return a reader of air trapped at 40 cm³ on that day; its gauge may have divisions of 5 kPa."""
    product, dead = 40.0 * 101.0 * desk.luck.gauss(1, 0.004), desk.luck.uniform(0, 0.15)
    volumes, step = (40.0, 35.0, 30.0, 25.0, 20.0, 15.0), desk.step(5.0, 1.0)

    def read(chance: Random) -> Cells:
        used = desk.near(volumes, 0.4, chance)
        return {
            "p": [shown(product / (v + dead) * chance.gauss(1, 0.006), step, "kPa") for v in used],
            "Vol": [shown(v, 0.5, "cm³") for v in used],
        }

    return read


def liquid(desk: Desk) -> Reads:
    """Return a reader of oil from one bottle, 50 cm³ or about that, in a cylinder of the bench's own."""
    empty, step = desk.luck.uniform(45, 110), desk.step(0.1, 0.01)

    def read(chance: Random) -> Cells:
        (volume,) = desk.near([50.0], 3.0, chance)
        full = empty + 0.918 * (volume + chance.gauss(0, 0.3))
        return {
            "m_1": shown(empty + chance.gauss(0, step / 3), step, "g"),
            "m_2": shown(full, step, "g"),
            "V": shown(volume, 0.5, "cm³"),
        }

    return read


def cross(desk: Desk) -> Reads:
    """Return a reader of the time in which a cross vanishes, at five concentrations from the class's own bottle."""
    warm, step = desk.luck.gauss(1, 0.02), desk.step(1.0, 0.1)
    volumes = (50.0, 40.0, 30.0, 20.0, 10.0)

    def read(chance: Random) -> Cells:
        judges = chance.gauss(1, 0.03)
        times = [1200 / v * judges / warm for v in volumes]
        runs = ("t_1", "t_2") if not desk.lab.keeps_settings else ("t_1", "t_2", "t_3")
        return {
            "c_0": ("0.20", "mol/dm³"),
            "V_total": ("50.0", "cm³"),
            "Vol": [shown(v, 0.5, "cm³") for v in volumes],
            **{name: [shown(t * chance.gauss(1, 0.025), step, "s") for t in times] for name in runs},
        }

    return read


def titration(desk: Desk) -> Reads:
    """Return a reader of one solution for the whole class, titrated to a tenth; the burette may start at nothing."""
    alkali = 23.1

    def read(chance: Random) -> Cells:
        scatter = 0.08 if desk.lab.is_fine else 0.15
        titres = [alkali + chance.gauss(0, scatter) for _ in range(3)]
        starts = desk.near([0.0] * 3, 1.0, chance)
        cells = [
            (shown(abs(s), 0.05, "cm³"), shown(abs(s) + t, 0.05, "cm³")) for s, t in zip(starts, titres, strict=True)
        ]
        kept = [f"{float(end[0]) - float(start[0]):.2f}" for start, end in cells]
        return {
            "c_a": ("0.100", "mol/dm³"),
            "V_p": ("25.0", "cm³"),
            "rough": shown(alkali + 0.5 + chance.gauss(0, 0.3), 0.05, "cm³"),
            "v_1": [start for start, _ in cells],
            "v_2": [end for _, end in cells],
            "used": [(one, "cm³") for one in kept],
        }

    return read


def neutralised(desk: Desk) -> Reads:
    """Return a reader of two bottled solutions mixed in a cup: a page of few digits."""
    room, kept, step = desk.luck.uniform(19, 21), desk.luck.uniform(0.90, 0.97), desk.step(0.5, 0.1)

    def read(chance: Random) -> Cells:
        start = room + chance.gauss(0, 0.2)
        return {
            "V_a": ("25.0", "cm³"),
            "V_b": ("25.0", "cm³"),
            "c_a": ("1.00", "mol/dm³"),
            "c_b": ("1.00", "mol/dm³"),
            "T_start": shown(start, step, "°C"),
            "T_end": shown(start + 6.8 * kept + chance.gauss(0, 0.15), step, "°C"),
        }

    return read


def tissue(desk: Desk) -> Reads:
    """Return a reader of potato cylinders of one cutter, three in each of six solutions."""
    place, step = desk.luck.gauss(0.27, 0.01), desk.step(0.1, 0.01)
    solutions = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)

    def read(chance: Random) -> Cells:
        cells: dict[str, list[tuple[str, str]]] = {"c": [(f"{c:.1f}", "mol/dm³") for c in solutions]}
        for piece in "123":
            before = [chance.gauss(2.4, 0.05) for _ in solutions]
            after = [
                m * (1 + 0.30 * (place - c) / (1 + 0.4 * c) + chance.gauss(0, 0.01))
                for m, c in zip(before, solutions, strict=True)
            ]
            cells[f"m_1_{piece}"] = [shown(m, step, "g") for m in before]
            cells[f"m_2_{piece}"] = [shown(m, step, "g") for m in after]
        return dict(cells)

    return read


def dice(desk: Desk) -> Reads:
    """Return a reader of a box of dice thrown eight times, the sixes taken out."""
    size = 100 if not desk.lab.is_fine else 200

    def read(chance: Random) -> Cells:
        before, removed = [size], []
        for _ in range(8):
            removed.append(sum(chance.random() < 1 / 6 for _ in range(before[-1])))
            before.append(before[-1] - removed[-1])
        return {
            "throw": [(str(n + 1), "") for n in range(8)],
            "before": [(str(n), "") for n in before[:-1]],
            "removed": [(str(n), "") for n in removed],
        }

    return read
