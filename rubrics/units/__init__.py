"""Units: our own table of spellings first, pint for the arithmetic behind it."""

from rubrics.units.definition import define_unit
from rubrics.units.model import NO_DIMENSION, TEMPERATURE, Dimension, Unit, UnitReading, Verdict
from rubrics.units.reading import knows_unit, read_unit

__all__ = [
    "NO_DIMENSION",
    "TEMPERATURE",
    "Dimension",
    "Unit",
    "UnitReading",
    "Verdict",
    "define_unit",
    "knows_unit",
    "read_unit",
]
