"""How an understood unit stands beside the wanted one: another quantity, another scale, another name."""

from __future__ import annotations

import math

from rubrics.units.quantities import terms_of
from rubrics.units.spellings import spelling_table
from rubrics.units.unit_record import NO_DIMENSION, Unit

ANGLES = frozenset({"°", "rad"})
"""Pure numbers by dimension, but nobody counts in them."""
_SAME = 1e-9
"""Relative difference below which two factors are one."""
_CUBES = {"litre": "decimetre", "millilitre": "centimetre"}
"""Edge of the cube that holds as much."""
_CUBES_SAID = {"litre": "1 l = 1 dm³", "millilitre": "1 ml = 1 cm³"}


def is_same_scale(unit: Unit, other: Unit) -> bool:
    """Tell whether a number in *unit* is the same number in *other*; both are of one quantity."""
    return math.isclose(unit.factor, other.factor, rel_tol=_SAME) and unit.offset == other.offset


def is_same_quantity(unit: Unit, wanted: Unit) -> bool:
    """Tell whether *unit* measures what *wanted* measures; an angle is no mere number."""
    if unit.dimension != wanted.dimension:
        return False
    if unit.dimension == NO_DIMENSION:
        if any(power != 1 for _, power in (terms_of(unit.symbol) if unit.symbol else ())):
            return False
        return (unit.symbol in ANGLES) == (wanted.symbol in ANGLES)
    return _pure_parts(unit) == _pure_parts(wanted)


def _pure_parts(unit: Unit) -> set[str]:
    # They have no dimension, yet °C times degrees is no temperature. A radian may be left out, as in 1/s.
    return {symbol for symbol, _ in terms_of(unit.symbol)} & {"°", "%"}


def relation(unit: Unit, wanted: Unit, also: tuple[Unit, ...]) -> str:
    """Return what is to be said of *unit* beside the wanted one; empty where it is as good."""
    is_reading = wanted.offset != 0
    makeup = _makeup(unit.symbol, is_reading=is_reading)
    if makeup in [_makeup(other.symbol, is_reading=is_reading) for other in (wanted, *also)]:
        return ""
    expected = wanted.symbol or "a pure number"
    if not is_same_scale(unit, wanted):
        return f"another scale than {expected}"
    if _in_cubes(makeup) == _in_cubes(_makeup(wanted.symbol, is_reading=is_reading)):
        said = [_CUBES_SAID[name] for name in makeup if name in _CUBES]
        return said[0] if said and len(makeup) > 1 else ""
    return f"right, though {expected} is expected"


def _makeup(symbol: str, *, is_reading: bool) -> dict[str, int]:
    """Return names of definitions.txt with their powers; a change of 1 °C and one of 1 K are the same."""
    defined = spelling_table().defined
    powers: dict[str, int] = {}
    for own, power in terms_of(symbol) if symbol else ():
        name = defined.get(own, own)  # a power of ten has no definition
        name = "kelvin" if name == "degree_celsius" and not is_reading else name
        powers[name] = powers.get(name, 0) + power
    return powers


def _in_cubes(makeup: dict[str, int]) -> dict[str, int]:
    powers: dict[str, int] = {}
    for name, power in makeup.items():
        edge, times = (_CUBES[name], 3) if name in _CUBES else (name, 1)
        powers[edge] = powers.get(edge, 0) + times * power
    return powers
