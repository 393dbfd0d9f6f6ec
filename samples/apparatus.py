"""How the readings of each practical arise: what stands on a bench, and what one student reads off it.

Students of a bench share its apparatus (block, wire, resistors, meters) and take their own readings.
Values are in the units of the rubrics; nothing is rounded here, for that is done in writing down.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from random import Random

from msgspec import Struct

Apparatus = Mapping[str, float]
Readings = Mapping[str, float | tuple[float, ...]]

ALUMINIUM_C = 897.0
"""J/(kg °C) at 25 °C, CRC Handbook of Chemistry and Physics."""
WATER_C = 4184.0
"""J/(kg °C) at 20 °C, IAPWS-95 formulation."""
CONSTANTAN_PER_M = 4.41
"""Ω/m of 28 SWG: 4.9e-7 Ω m, OpenStax College Physics 2e, over the area of BS 3737:1964."""
DENSITIES = (2.70, 8.44, 7.85, 8.92)
"""g/cm³ of aluminium, brass, steel and copper, by bench in turn; the values of the rubric."""
LENGTHS_M = (
    (0.100, 0.200, 0.300, 0.400, 0.600, 0.800, 1.000),
    (0.200, 0.300, 0.400, 0.500, 0.600, 0.700, 0.800, 0.900),
    (0.100, 0.250, 0.400, 0.550, 0.700, 0.850, 1.000),
    (0.150, 0.300, 0.450, 0.600, 0.750, 0.900),
)
RESISTOR_PAIRS_OHM = ((10.0, 15.0), (12.0, 22.0), (10.0, 33.0), (15.0, 27.0))
RESISTOR_STEPS_V = (-4.0, -3.0, -2.0, -1.0, 1.0, 2.0, 3.0, 4.0, 5.0)
LAMP_STEPS_V = (-8.0, -4.0, -2.0, -1.0, 0.5, 1.0, 2.0, 4.0, 6.0, 8.0)
DIODE_STEPS_V = (-5.0, -2.0, 0.3, 0.5, 0.55, 0.6, 0.65, 0.7, 0.73, 0.75)
COMPONENTS = ("fixed resistor", "filament lamp", "diode")


class Practical(Struct, frozen=True, kw_only=True):
    """A practical as it happens in the room."""

    set_up: Callable[[int, Random], Apparatus]
    """Bench number and chance to what stands there."""
    read: Callable[[Apparatus, Random], Readings]
    """What one student reads off it."""


def _set_up_block(_bench: int, chance: Random) -> Apparatus:
    return {
        "m": chance.uniform(0.985, 1.015),
        "c": ALUMINIUM_C,
        "lost": chance.uniform(0.05, 0.13),
        "room": chance.uniform(18.5, 20.5),
        "energy": 20000.0,
    }


def _set_up_liquid(_bench: int, chance: Random) -> Apparatus:
    return {
        "m": chance.uniform(0.18, 0.30),
        "c": WATER_C,
        "lost": chance.uniform(0.02, 0.12),
        "room": chance.uniform(18.0, 20.0),
        "energy": 13000.0,
    }


def _read_heating(stand: Apparatus, chance: Random) -> Readings:
    energy = 100 * round(stand["energy"] * chance.uniform(0.85, 1.2) / 100)
    mass = stand["m"] + chance.gauss(0, 0.0007)
    start = stand["room"] + chance.uniform(0, 1)
    lost = stand["lost"] + chance.gauss(0, 0.01)
    rise = energy * (1 - lost) / (mass * stand["c"])
    return {"m": mass, "T_start": start, "T_end": start + rise + chance.gauss(0, 0.15), "E": float(energy)}


def _set_up_wire(_bench: int, chance: Random) -> Apparatus:
    return {
        "per_m": CONSTANTAN_PER_M * chance.gauss(1, 0.02),
        "contact": chance.uniform(0.06, 0.30),
        "current": chance.uniform(0.35, 0.55),
        "ammeter": chance.gauss(1, 0.004),
    }


def _read_wire(stand: Apparatus, chance: Random) -> Readings:
    lengths = chance.choice(LENGTHS_M)
    currents = [stand["current"] * chance.gauss(1, 0.02) for _ in lengths]
    placed = [length + chance.gauss(0, 0.001) for length in lengths]
    pds = [i * (stand["contact"] + stand["per_m"] * x) for i, x in zip(currents, placed, strict=True)]
    return {
        "L": lengths,
        "V": tuple(v + chance.gauss(0, 0.004) for v in pds),
        "I": tuple(i * stand["ammeter"] + chance.gauss(0, 0.002) for i in currents),
    }


def _set_up_resistors(bench: int, chance: Random) -> Apparatus:
    first, second = RESISTOR_PAIRS_OHM[bench % len(RESISTOR_PAIRS_OHM)]
    return {"first": first * chance.gauss(1, 0.02), "second": second * chance.gauss(1, 0.02)}


def _read_resistors(stand: Apparatus, chance: Random) -> Readings:
    first, second = stand["first"], stand["second"]
    resistances = {
        "1": first,
        "2": second,
        "series": first + second,
        "parallel": first * second / (first + second),
    }
    readings: dict[str, float] = {}
    for name, resistance in resistances.items():
        pd = chance.uniform(3.0, 4.5) if name in ("1", "parallel") else chance.uniform(4.5, 6.0)
        readings[f"V_{name}"] = pd + chance.gauss(0, 0.005)
        readings[f"I_{name}"] = pd / resistance + chance.gauss(0, 0.001)
    return readings


def _set_up_component(bench: int, chance: Random) -> Apparatus:
    return {
        "kind": float((bench - 1) // 4),  # benches 1 to 4 resistor, 5 to 8 lamp, 9 to 12 diode
        "resistance": 10.0 * chance.gauss(1, 0.02),
        "lamp": 0.55 * chance.gauss(1, 0.03),
        "turn_on": chance.gauss(0.60, 0.006),
    }


def _read_component(stand: Apparatus, chance: Random) -> Readings:
    kind = COMPONENTS[int(stand["kind"])]
    if kind == "diode":
        pds = tuple(v + chance.gauss(0, 0.002) for v in DIODE_STEPS_V)
        # A silicon diode: 1.6 mA at its turn-on p.d., three times as much for every 0.045 V more.
        currents = tuple(
            0.0016 * math.exp((v - stand["turn_on"]) / 0.0425) + chance.gauss(0, 0.00002) if v > 0 else 0.0 for v in pds
        )
    elif kind == "filament lamp":
        pds = tuple(v + chance.gauss(0, 0.03) for v in LAMP_STEPS_V)
        currents = tuple(math.copysign(stand["lamp"] * abs(v) ** 0.55, v) + chance.gauss(0, 0.003) for v in pds)
    else:
        pds = tuple(v + chance.gauss(0, 0.04) for v in RESISTOR_STEPS_V)
        currents = tuple(v / stand["resistance"] + chance.gauss(0, 0.002) for v in pds)
    return {"kind": stand["kind"], "V": pds, "I": currents}


def _set_up_cuboid(bench: int, chance: Random) -> Apparatus:
    return {
        "density": DENSITIES[bench % len(DENSITIES)] * chance.gauss(1, 0.004),
        "l": chance.uniform(4.0, 6.5),
        "w": chance.uniform(2.5, 4.0),
        "h": chance.uniform(1.4, 2.4),
    }


def _read_cuboid(stand: Apparatus, chance: Random) -> Readings:
    mass = stand["density"] * stand["l"] * stand["w"] * stand["h"]
    sides = {name: stand[name] + chance.gauss(0, 0.008) for name in ("l", "w", "h")}
    return {**sides, "m": mass + chance.gauss(0, 0.1)}


def _set_up_object(bench: int, chance: Random) -> Apparatus:
    return {"density": DENSITIES[bench % len(DENSITIES)], "volume": chance.uniform(9.0, 24.0)}


def _read_object(stand: Apparatus, chance: Random) -> Readings:
    # Bubbles and thread take up a little room, so the volume comes out slightly too big.
    volume = stand["volume"] * chance.gauss(1.01, 0.01) + chance.gauss(0, 0.2)
    return {"m": stand["density"] * stand["volume"] + chance.gauss(0, 0.1), "V": volume}


PRACTICALS: Mapping[str, Practical] = {
    "specific-heat-block": Practical(set_up=_set_up_block, read=_read_heating),
    "specific-heat-liquid": Practical(set_up=_set_up_liquid, read=_read_heating),
    "wire-resistance": Practical(set_up=_set_up_wire, read=_read_wire),
    "resistor-combinations": Practical(set_up=_set_up_resistors, read=_read_resistors),
    "iv-characteristic": Practical(set_up=_set_up_component, read=_read_component),
    "density-cuboid": Practical(set_up=_set_up_cuboid, read=_read_cuboid),
    "density-displacement": Practical(set_up=_set_up_object, read=_read_object),
}
