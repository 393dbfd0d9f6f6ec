"""The scales of our own symbols, as pint has worked them out, so that a class need not wait for pint.

``scales.toml`` is written from pint and ``definitions.txt`` by ``python -m tests.rubrics.units.write_scales``; a test
holds the two against each other.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import rtoml
from msgspec import Struct

from rubrics.units.spellings import spelling_table
from rubrics.units.unit_record import NO_DIMENSION, Dimension

if TYPE_CHECKING:
    import pint

TEN = "10"
"""The symbol of a power of ten that belongs to a unit: 10⁻³ s⁻¹."""
_BASE = ("[length]", "[mass]", "[time]", "[current]", "[temperature]", "[amount]", "[luminosity]")


class Scale(Struct, frozen=True):
    """One symbol in coherent SI units: x of it is x * factor + offset."""

    factor: Fraction
    dimension: Dimension
    offset: Fraction


@cache
def scale_of(symbol: str) -> Scale:
    """Return the scale of one of our own symbols, such as kΩ; a symbol newer than the file is worked out.

    Raises:
        KeyError: The symbol is not in spellings.toml.
    """
    if symbol == TEN:
        return Scale(Fraction(10), NO_DIMENSION, Fraction(0))
    if symbol not in _written():
        return worked_out_scale(symbol)
    factor, (length, mass, time, current, temperature, amount, luminosity), offset = _written()[symbol]
    dimension = (length, mass, time, current, temperature, amount, luminosity)
    return Scale(Fraction(factor), dimension, Fraction(offset))


def worked_out_scale(symbol: str) -> Scale:
    """Return the scale of one of our own symbols from its definition, through pint.

    Raises:
        KeyError: The symbol is not in spellings.toml.
    """
    name = spelling_table().defined[symbol]
    ends = [_registry().Quantity(Decimal(x), name).to_root_units() for x in (0, 1)]
    zero, one = (Fraction(end.magnitude) for end in ends)
    exponents: dict[str, Any] = dict(ends[0].dimensionality)
    length, mass, time, current, temperature, amount, luminosity = (int(exponents.get(base, 0)) for base in _BASE)
    return Scale(one - zero, (length, mass, time, current, temperature, amount, luminosity), zero)


@cache
def _registry() -> pint.UnitRegistry[Any]:
    import pint  # costs more than everything else here, and only a symbol newer than the file needs it

    path = Path(__file__).with_name("definitions.txt")
    return pint.UnitRegistry(str(path), non_int_type=Decimal, cache_folder=None)


@cache
def _written() -> Mapping[str, tuple[str, Sequence[int], str]]:
    """Return factor, dimension and offset of each symbol, as they stand in the file: a class needs a few of them."""
    return rtoml.loads(Path(__file__).with_name("scales.toml").read_text(encoding="utf-8"))
