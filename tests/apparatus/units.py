"""Units that students record and answer in: their sizes and spellings, set down apart from the program's tables."""

from __future__ import annotations

from decimal import Decimal

SIZES: dict[str, tuple[str, Decimal]] = {
    "kg": ("mass", Decimal(1000)),
    "g": ("mass", Decimal(1)),
    "J": ("energy", Decimal(1)),
    "kJ": ("energy", Decimal(1000)),
    "Wh": ("energy", Decimal(3600)),
    "°C": ("temperature", Decimal(1)),
    "K": ("temperature", Decimal(1)),
    "m": ("length", Decimal(1000)),
    "cm": ("length", Decimal(10)),
    "mm": ("length", Decimal(1)),
    "V": ("p.d.", Decimal(1000)),
    "mV": ("p.d.", Decimal(1)),
    "A": ("current", Decimal(1000)),
    "mA": ("current", Decimal(1)),
    "Ω": ("resistance", Decimal(1000)),
    "kΩ": ("resistance", Decimal(1000000)),
    "mΩ": ("resistance", Decimal(1)),
    "Ω/m": ("resistance per length", Decimal(1)),
    "Ω/cm": ("resistance per length", Decimal(100)),
    "Ω/mm": ("resistance per length", Decimal(1000)),
    "mm³": ("volume", Decimal(1)),
    "cm³": ("volume", Decimal(1000)),
    "ml": ("volume", Decimal(1000)),
    "m³": ("volume", Decimal(1000000000)),
    "g/cm³": ("density", Decimal(1000)),
    "kg/m³": ("density", Decimal(1)),
    "J/(kg °C)": ("specific heat capacity", Decimal(1)),
    "J/(kg K)": ("specific heat capacity", Decimal(1)),
    "kJ/(kg °C)": ("specific heat capacity", Decimal(1000)),
    "J/(g °C)": ("specific heat capacity", Decimal(1000)),
    "%": ("percentage", Decimal(1)),
}
"""Kind of quantity, and size in the smallest unit of its kind; a temperature here is a change."""

SPELLINGS: dict[str, tuple[str, ...]] = {
    "kg": ("kg", "kilograms", "Kg", "kgs"),
    "g": ("g", "grams", "gm"),
    "J": ("J", "joules", "Joules"),
    "kJ": ("kJ", "kilojoules", "KJ"),
    "Wh": ("Wh",),
    "°C": ("°C", "degC", "deg C", "degrees C", "oC", "℃", "degrees Celsius", "C"),
    "K": ("K",),
    "m": ("m", "metres", "meters", "metre"),
    "cm": ("cm", "Cm", "cms"),
    "mm": ("mm", "MM"),
    "V": ("V", "volts", "Volts", "v"),
    "mV": ("mV",),
    "A": ("A", "amps", "Amps", "ampere"),
    "mA": ("mA", "milliamps"),
    "Ω": ("Ω", "ohm", "ohms", "Ohms", "\u2126", "V/A"),
    "kΩ": ("kΩ", "kohm", "k ohm", "KΩ"),
    "mΩ": ("mΩ",),
    "Ω/m": ("Ω/m", "ohm/m", "Ω m⁻¹", "ohms per metre", "ohm m-1", "Ω per m"),
    "Ω/cm": ("Ω/cm", "ohm/cm", "Ω cm⁻¹", "Ω per cm"),
    "Ω/mm": ("Ω/mm", "ohm/mm"),
    "mm³": ("mm³", "mm3", "mm^3"),
    "cm³": ("cm³", "cm3", "cm^3", "cc", "ml", "cm cubed"),
    "ml": ("ml", "mL"),
    "m³": ("m³", "m3", "m^3"),
    "g/cm³": ("g/cm³", "g/cm3", "g/cm^3", "g cm⁻³", "gcm-3", "g/cc", "g/ml", "g per cm3"),
    "kg/m³": ("kg/m³", "kg/m3", "kg m⁻³", "kgm-3", "Kg/m3"),
    "J/(kg °C)": (
        "J/(kg °C)",
        "J/kg°C",
        "J/kg °C",
        "J/kg/°C",
        "J kg⁻¹ °C⁻¹",
        "J/Kg°C",
        "J/kg C",
        "J/kgC",
        "J per kg per °C",
    ),
    "J/(kg K)": ("J/(kg K)", "J/kg K", "J/kgK", "J kg-1 K-1", "J kg⁻¹ K⁻¹", "J/kg/K"),
    "kJ/(kg °C)": ("kJ/(kg °C)", "kJ/kg°C", "kJ/kg °C", "kJ kg⁻¹ °C⁻¹"),
    "J/(g °C)": ("J/(g °C)", "J/g°C", "J/g °C", "J g⁻¹ °C⁻¹"),
    "%": ("%", "percent", "per cent"),
}
"""Spellings that carry the unit's mark, the tidiest first; some earn a note to the student."""


def converted(value: float, unit: str, wanted: str) -> float:
    """Return *value* of *unit* in *wanted*; of one kind of quantity only."""
    if unit == wanted:
        return value
    kind, size = SIZES[unit]
    wanted_kind, wanted_size = SIZES[wanted]
    if kind != wanted_kind:
        raise ValueError(f"{unit} is no unit of {wanted_kind}")
    # Decimal, so that 998 g are 0.998 kg to the last digit, as on paper.
    return float(Decimal(repr(value)) * size / wanted_size)


def step(unit: str, wanted: str) -> float:
    """Return the factor that turns a number of *unit* into one of *wanted*."""
    return float(SIZES[unit][1] / SIZES[wanted][1])
