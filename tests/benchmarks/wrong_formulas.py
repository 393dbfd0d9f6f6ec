"""Every wrong formula that write-ups are known for, item by item, by plain arithmetic."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from operator import truediv

from tests.apparatus import Key
from tests.apparatus.characteristic import CharacteristicBench
from tests.apparatus.figures import Hand
from tests.apparatus.resistors import ARRANGEMENTS, ResistorBench
from tests.apparatus.wire import OHM_INPUTS, WireBench
from tests.benchmarks.boxes import Box, Slip

Numbers = Mapping[str, float]
Ways = Iterator[tuple[str, str, Callable[[], float], str]]
"""Cause, detail, the sum, and a unit that students write with it ('' for the right one)."""


def wrong_formulas(box: Box, numbers: Numbers, hand: Hand) -> list[Slip]:
    """Return what each wrong formula makes of *numbers*, which are in the units of the answer."""
    item = box.key.item
    ways = WAYS.get("R" if item in ("R", "R_1", "R_2", "R_series", "R_parallel") else item)
    if ways is None:
        return []
    found = []
    with_zero = (ZeroDivisionError, OverflowError)
    for cause, detail, work, unit in ways(box, numbers, hand):
        try:
            found.append(Slip(cause=cause, detail=detail, value=work(), unit_text=unit))
        except with_zero:
            continue
    return found


def _rise(box: Box, n: Numbers, hand: Hand) -> Ways:
    del box, hand
    yield "wrong-quantity", "T_end itself", lambda: n["T_end"], ""
    yield "wrong-quantity", "T_start itself", lambda: n["T_start"], ""
    yield "wrong-quantity", "273 added to the change", lambda: n["T_end"] - n["T_start"] + 273, ""
    yield "sign", "T_start - T_end", lambda: n["T_start"] - n["T_end"], ""
    yield "sign", "T_end + T_start", lambda: n["T_end"] + n["T_start"], ""


def _capacity(box: Box, n: Numbers, hand: Hand) -> Ways:
    energy, mass, rise, keep = n["E"], n["m"], n["dT"], hand.keep
    end, start = (box.bench.reading(item).quantity.value for item in ("T_end", "T_start"))
    yield "operation-order", "E / m * dT", lambda: keep(energy / mass) * rise, ""
    yield "rearrangement", "E * m * dT", lambda: keep(energy * mass) * rise, ""
    yield "rearrangement", "E * m / dT", lambda: keep(energy * mass) / rise, ""
    yield "rearrangement", "m * dT / E", lambda: keep(mass * rise) / energy, "kg°C/J"
    yield "rearrangement", "dT / (E * m)", lambda: rise / keep(energy * mass), ""
    yield "rearrangement", "m / (E * dT)", lambda: mass / keep(energy * rise), ""
    yield "rearrangement", "E - m * dT", lambda: energy - keep(mass * rise), ""
    yield "rearrangement", "E / (m + dT)", lambda: energy / keep(mass + rise), ""
    yield "missing-factor", "E / m", lambda: energy / mass, "J/kg"
    yield "missing-factor", "E / dT", lambda: energy / rise, "J/°C"
    yield "missing-factor", "m * dT", lambda: mass * rise, ""
    yield "wrong-quantity", "T_end for dT", lambda: energy / keep(mass * end), ""
    yield "wrong-quantity", "T_start for dT", lambda: energy / keep(mass * start), ""
    yield "wrong-quantity", "dT + 273", lambda: energy / keep(mass * (rise + 273)), ""
    yield "sign", "T_end + T_start for dT", lambda: energy / keep(mass * (end + start)), ""
    yield "sign", "T_start - T_end for dT", lambda: -energy / keep(mass * rise), ""


def _resistance(box: Box, n: Numbers, hand: Hand) -> Ways:
    del hand
    voltage, current = n["V"], n["I"]
    yield "rearrangement", "V * I", lambda: voltage * current, "W"
    yield "rearrangement", "I / V", lambda: current / voltage, "A/V"
    yield "rearrangement", "V - I", lambda: voltage - current, ""
    yield "rearrangement", "V + I", lambda: voltage + current, ""
    yield "missing-factor", "V itself", lambda: voltage, ""
    for detail, other_voltage, other_current in _other_readings(box):
        yield "wrong-quantity", f"V of {detail}", partial(truediv, other_voltage, current), ""
        yield "wrong-quantity", f"I of {detail}", partial(truediv, voltage, other_current), ""
        yield "wrong-quantity", f"V and I of {detail}", partial(truediv, other_voltage, other_current), ""
    if isinstance(box.bench, CharacteristicBench) and voltage < 0:
        yield "sign", "minus lost on one of the pair", lambda: -voltage / current, ""


def _other_readings(box: Box) -> Iterator[tuple[str, float, float]]:
    """Yield other pairs of meters that may be taken by mistake, in the units of the answer."""
    voltage_unit, current_unit = OHM_INPUTS[box.unit]
    bench = box.bench
    if isinstance(bench, ResistorBench):
        own = box.key.item.removeprefix("R_")
        places: list[tuple[str, str, int | None]] = [
            (f"V_{name}", f"I_{name}", None) for name in ARRANGEMENTS if name != own
        ]
    else:
        row = box.key.row or 0
        places = [("V", "I", other) for other in (row - 1, row + 1) if other in bench.rows]
    for voltage_item, current_item, other_row in places:
        voltage = bench.reading(voltage_item, other_row).quantity.in_unit(voltage_unit)
        current = bench.reading(current_item, other_row).quantity.in_unit(current_unit)
        if voltage and current:
            yield f"{voltage_item[1:]} {other_row or ''}".strip(" _"), voltage, current


def _series(box: Box, n: Numbers, hand: Hand) -> Ways:
    first, second, keep = n["R_1"], n["R_2"], hand.keep
    yield "combination-rule", "rule for parallel", lambda: 1 / keep(keep(1 / first) + keep(1 / second)), ""
    yield "combination-rule", "1/R_1 + 1/R_2", lambda: keep(1 / first) + keep(1 / second), ""
    yield "combination-rule", "mean", lambda: (first + second) / 2, ""
    yield "combination-rule", "product", lambda: first * second, ""
    measured = box.earlier[Key(item="R_series")].in_unit(box.unit)
    yield "wrong-quantity", "the measured one", lambda: measured, ""


def _parallel(box: Box, n: Numbers, hand: Hand) -> Ways:
    first, second, keep = n["R_1"], n["R_2"], hand.keep
    yield (
        "combination-rule",
        "1/R_1 + 1/R_2, final reciprocal forgotten",
        lambda: keep(1 / first) + keep(1 / second),
        "",
    )
    yield "combination-rule", "sum over product", lambda: keep(first + second) / keep(first * second), ""
    yield "combination-rule", "added", lambda: first + second, ""
    yield "combination-rule", "product only", lambda: first * second, ""
    yield "combination-rule", "mean", lambda: (first + second) / 2, ""
    yield "combination-rule", "1/(R_1 + R_2)", lambda: 1 / keep(first + second), ""
    yield "combination-rule", "2/(R_1 + R_2)", lambda: 2 / keep(first + second), ""
    yield "combination-rule", "product over difference", lambda: keep(first * second) / abs(first - second), ""
    yield "combination-rule", "difference", lambda: abs(first - second), ""
    yield "operation-order", "1/R_1 + R_2", lambda: keep(1 / first) + second, ""
    yield "operation-order", "R_1 * R_2 / R_1 + R_2", lambda: keep(first * second) / first + second, ""
    measured = box.earlier[Key(item="R_parallel")].in_unit(box.unit)
    yield "wrong-quantity", "the measured one", lambda: measured, ""


def _gradient(box: Box, n: Numbers, hand: Hand) -> Ways:
    del n, hand
    yield "gradient-inverted", "run over rise", lambda: 1 / box.right, "m/Ω" if box.unit == "Ω/m" else ""
    if isinstance(box.bench, WireBench):
        lengths, resistances = box.bench.columns(box.unit, box.earlier)
        for place in (0, len(lengths) // 2, -1):
            detail = f"y / x of row {range(len(lengths))[place] + 1}"
            yield "wrong-quantity", detail, partial(truediv, resistances[place], lengths[place]), ""
        yield from _lengths_left(box)


def _lengths_left(box: Box) -> Ways:
    recorded = box.bench.readings[0].unit
    wanted = {"Ω/m": ("m", 1.0), "Ω/cm": ("cm", 0.01), "Ω/mm": ("mm", 0.001)}[box.unit]
    size = {"m": 1.0, "cm": 0.01, "mm": 0.001}[recorded]
    if recorded != wanted[0]:
        ratio = size / wanted[1]
        yield "unit-conversion", f"L left in {recorded}", lambda: box.right * ratio, ""
        yield "unit-conversion", "L converted the wrong way", lambda: box.right * ratio**2, ""


def _volume(box: Box, n: Numbers, hand: Hand) -> Ways:
    del box
    length, width, height, keep = n["l"], n["w"], n["h"], hand.keep
    yield "missing-factor", "h left out", lambda: length * width, "cm²"
    yield "missing-factor", "w left out", lambda: length * height, "cm²"
    yield "missing-factor", "l left out", lambda: width * height, "cm²"
    yield "rearrangement", "l + w + h", lambda: length + width + height, "cm"
    yield "rearrangement", "l * w / h", lambda: keep(length * width) / height, ""
    surface = 2 * (length * width + width * height + length * height)
    yield "wrong-quantity", "surface area", lambda: keep(surface), "cm²"
    yield "wrong-quantity", "w used for h", lambda: keep(length * width) * width, ""
    yield "wrong-quantity", "l used for w", lambda: keep(length * length) * height, ""


def _density(box: Box, n: Numbers, hand: Hand) -> Ways:
    del hand
    mass, volume = n["m"], n["V"]
    yield "rearrangement", "V / m", lambda: volume / mass, "cm³/g" if box.unit == "g/cm³" else ""
    yield "rearrangement", "m * V", lambda: mass * volume, ""
    yield "rearrangement", "m - V", lambda: mass - volume, ""
    yield "rearrangement", "m + V", lambda: mass + volume, ""


WAYS: dict[str, Callable[[Box, Numbers, Hand], Ways]] = {
    "dT": _rise,
    "c": _capacity,
    "R": _resistance,
    "predicted_series": _series,
    "predicted_parallel": _parallel,
    "gradient": _gradient,
    "R_component": _gradient,
    "V": _volume,
    "rho": _density,
}
