"""What can go wrong, and how a fault is told: where it stands, what stood there, how to mend it."""

from rubrics.faults.complaint import Complaint
from rubrics.faults.errors import Fault, FormulaError, InputError, RubricError, UnitError, WriteupsError
from rubrics.faults.key_lines import Key, Where, key_lines, line_of
from rubrics.faults.nearest_name import unknown_name

__all__ = [
    "Complaint",
    "Fault",
    "FormulaError",
    "InputError",
    "Key",
    "RubricError",
    "UnitError",
    "Where",
    "WriteupsError",
    "key_lines",
    "line_of",
    "unknown_name",
]
