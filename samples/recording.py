"""How a number gets onto paper: in which unit, spelt how, to which decimal place or figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from random import Random

from msgspec import Struct

Written = tuple[str, str]
"""A number and its unit, as a student writes them."""


class Way(Struct, frozen=True, kw_only=True):
    """One unit in which an item is written down."""

    spellings: tuple[str, ...]
    factor: float = 1.0
    """Numbers in this unit for one unit of the rubric."""
    step: float = 0.0
    """What the instrument resolves, in this unit; 0 for what is worked out."""
    decimals: int = 0
    """Places that a careful student writes of a reading."""
    share: float = 1.0
    """How often, beside the other ways of the item."""


_VOLT = Way(spellings=("V", "volts", "V", "v", "volt"), step=0.01, decimals=2)
_AMP = Way(spellings=("A", "amps", "A", "Amps", "a"), step=0.01, decimals=2, share=3)
_MILLIAMP = Way(spellings=("mA", "milliamps", "mA"), factor=1000, step=1, decimals=0)
_SMALL_MILLIAMP = Way(spellings=("mA", "mA", "milliamps"), factor=1000, step=0.1, decimals=1)
_CELSIUS = Way(spellings=("°C", "degC", "°C", "C", "degrees C"), step=0.5, decimals=1)
_JOULE = Way(spellings=("J", "joules", "J", "j"), step=100, decimals=0)
_KILOJOULE = Way(spellings=("kJ", "KJ", "kJ"), factor=0.001, step=0.1, decimals=1)
_GRAM = Way(spellings=("g", "grams", "g"), factor=1000, step=1, decimals=0)
_KILOGRAM = Way(spellings=("kg", "Kg", "kg"), step=0.001, decimals=3)
_SIDE_CM = Way(spellings=("cm", "cm", "Cm"), step=0.01, decimals=2, share=2)
_SIDE_MM = Way(spellings=("mm", "mm"), factor=10, step=0.1, decimals=1)
_SMALL_MASS = Way(spellings=("g", "grams", "g", "gm"), step=0.1, decimals=1)

_HEATING = {
    "m": (_GRAM, _KILOGRAM),
    "T_start": (_CELSIUS,),
    "T_end": (_CELSIUS,),
    "E": (_JOULE, _KILOJOULE),
}
_RESISTORS = ("1", "2", "series", "parallel")

READING_WAYS: Mapping[str, Mapping[str, tuple[Way, ...]]] = {
    "specific-heat-block": _HEATING,
    "specific-heat-liquid": _HEATING,
    "wire-resistance": {
        "L": (
            Way(spellings=("m", "metres", "m"), step=0.001, decimals=3, share=2),
            Way(spellings=("cm", "cm", "Cm"), factor=100, step=0.1, decimals=1),
        ),
        "V": (_VOLT,),
        "I": (_AMP, _MILLIAMP),
    },
    "resistor-combinations": {
        **{f"V_{name}": (_VOLT,) for name in _RESISTORS},
        **{f"I_{name}": (_AMP, _MILLIAMP) for name in _RESISTORS},
    },
    "iv-characteristic": {"V": (_VOLT,), "I": (_AMP,)},
    "density-cuboid": {
        **dict.fromkeys(("l", "w", "h"), (_SIDE_CM, _SIDE_MM)),
        "m": (_SMALL_MASS,),
    },
    "density-displacement": {
        "m": (_SMALL_MASS,),
        "V": (Way(spellings=("cm³", "cm3", "ml", "cm^3", "mL"), step=0.5, decimals=1),),
    },
}
"""Practical to item to the ways of writing a reading down."""
DIODE_CURRENT = (_SMALL_MILLIAMP,)
SAME_WAY = ({"l", "w", "h"}, {"T_start", "T_end"}, {f"I_{name}" for name in _RESISTORS}, {f"V_{n}" for n in _RESISTORS})
"""Readings of one instrument, which a student writes in one way."""


def choose(ways: Sequence[Way], chance: Random) -> Way:
    """Return one of *ways*, each as often as its share."""
    return chance.choices(ways, weights=[way.share for way in ways])[0]


def write_reading(value: float, way: Way) -> str:
    """Return *value*, in the unit of the rubric, as it is read off an instrument and written down."""
    steps = (Decimal(value * way.factor) / Decimal(str(way.step))).quantize(Decimal(1), ROUND_HALF_UP)
    text = f"{steps * Decimal(str(way.step)):.{way.decimals}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def write_answer(value: float, figures: int) -> str:
    """Return *value* rounded to *figures* significant figures, without powers of ten."""
    number = Decimal(value)
    place = number.adjusted() - figures + 1 if number else 0
    rounded = number.quantize(Decimal(1).scaleb(place), ROUND_HALF_UP)
    if rounded.adjusted() > number.adjusted():  # 9.996 to three figures is 10.0
        rounded = rounded.quantize(Decimal(1).scaleb(place + 1))
    return f"{rounded:f}"
