"""Units: our own table of spellings first, pint for the arithmetic behind it."""

from rubrics.units.model import NO_DIMENSION, TEMPERATURE, Dimension, Unit, UnitReading, Verdict

__all__ = [
    "NO_DIMENSION",
    "TEMPERATURE",
    "Dimension",
    "Unit",
    "UnitReading",
    "Verdict",
]
