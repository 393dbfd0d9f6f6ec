"""Answers to simulated readings, worked out with care in plain arithmetic, with no step rounded but the last."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from msgspec.structs import replace

from marking.write_up import WriteUp
from tests.cohort.simulated import Cell, written

Single = Mapping[str, float]
Worked = Mapping[str, tuple[float | Sequence[float], str]]
"""Answer to its value, or to its values row by row, and its unit."""


def answered(one: WriteUp, figures: int = 3) -> WriteUp:
    """Return a write-up with its answers to so many figures, those that stood there written over.

    Readings have to stand in the unit that the practical names first, a cuboid's and a pebble's in cm and g. Where a
    value has no answer, such as a rise of nothing, that answer is left out.
    """
    try:
        worked = WORKINGS[one.practical](one)
    except ZeroDivisionError:
        return one
    singles, columns = dict(one.singles), dict(one.columns)
    for item, (value, unit) in worked.items():
        if isinstance(value, float):
            singles[item] = written(_told(value, unit, figures))
        else:
            columns[item] = {row: written(_told(each, unit, figures)) for row, each in enumerate(value, 1)}
    return replace(one, singles=singles, columns=columns)


def _told(value: float, unit: str, figures: int) -> Cell:
    text = f"{value:.{figures}g}"
    return (text if "e" not in text else f"{float(text):.0f}", unit)


def _wire(one: WriteUp) -> Worked:
    lengths, volts, currents = (_column(one, item) for item in ("L", "V", "I"))
    resistances = [volt / current for volt, current in zip(volts, currents, strict=True)]
    return {"R": (resistances, "Ω"), "gradient": (_slope(lengths, resistances), "Ω/m")}


def _characteristic(one: WriteUp) -> Worked:
    volts, currents = _column(one, "V"), _column(one, "I")
    resistances = [volt / current for volt, current in zip(volts, currents, strict=True)]
    return {"R": (resistances, "Ω"), "R_component": (_slope(currents, volts), "Ω")}


def _combinations(one: WriteUp) -> Worked:
    names = ("1", "2", "series", "parallel")
    parts = {name: _value(one, f"V_{name}") / _value(one, f"I_{name}") for name in names}
    first, second, parallel = parts["1"], parts["2"], parts["parallel"]
    predicted = first * second / (first + second)
    return {
        **{f"R_{name}": (value, "Ω") for name, value in parts.items()},
        "predicted_series": (first + second, "Ω"),
        "predicted_parallel": (predicted, "Ω"),
        "difference": (100 * (parallel - predicted) / predicted, "%"),
    }


def _cuboid(one: WriteUp) -> Worked:
    volume = _value(one, "l") * _value(one, "w") * _value(one, "h")
    density = _value(one, "m") / volume
    return {"V": (volume, "cm³"), "rho": (density, "g/cm³"), "rho_si": (1000 * density, "kg/m³")}


def _displacement(one: WriteUp) -> Worked:
    density = _value(one, "m") / _value(one, "V")
    return {"rho": (density, "g/cm³"), "rho_si": (1000 * density, "kg/m³")}


def _warmed(one: WriteUp) -> Worked:
    rise = _value(one, "T_end") - _value(one, "T_start")
    return {"dT": (rise, "K"), "c": (_value(one, "E") / (_value(one, "m") * rise), "J/(kg °C)")}


WORKINGS: Mapping[str, Callable[[WriteUp], Worked]] = {
    "wire-resistance": _wire,
    "iv-characteristic": _characteristic,
    "resistor-combinations": _combinations,
    "density-cuboid": _cuboid,
    "density-displacement": _displacement,
    "specific-heat-block": _warmed,
    "specific-heat-liquid": _warmed,
}


def _slope(across: Sequence[float], up: Sequence[float]) -> float:
    middle_x, middle_y = sum(across) / len(across), sum(up) / len(up)
    return sum((x - middle_x) * (y - middle_y) for x, y in zip(across, up, strict=True)) / sum(
        (x - middle_x) ** 2 for x in across
    )


def _column(one: WriteUp, item: str) -> list[float]:
    values = [entry.value for entry in one.columns[item].values()]
    return [value for value in values if value is not None]


def _value(one: WriteUp, item: str) -> float:
    value = one.singles[item].value
    assert value is not None
    return value
