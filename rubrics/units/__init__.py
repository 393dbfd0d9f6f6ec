"""Units: our own table of spellings first, pint for the arithmetic behind it. Never guesses what it does not know."""

from rubrics.units.comparison import is_same_scale
from rubrics.units.counted_things import holds_unit, is_like_unit, names_things
from rubrics.units.definition import define_unit
from rubrics.units.read_unit import knows_unit, read_unit
from rubrics.units.signs import in_right_code_page
from rubrics.units.unit_record import NO_DIMENSION, TEMPERATURE, Dimension, Unit, UnitReading, Verdict

__all__ = [
    "NO_DIMENSION",
    "TEMPERATURE",
    "Dimension",
    "Unit",
    "UnitReading",
    "Verdict",
    "define_unit",
    "holds_unit",
    "in_right_code_page",
    "is_like_unit",
    "is_same_scale",
    "knows_unit",
    "names_things",
    "read_unit",
]
