"""What the teacher is told of the input: places and what stood there in, remarks out. Never changes what was read."""

from marking.intake.remarks.notebook import MAX_ALIKE, NOBODYS, Notebook, quote
from marking.intake.remarks.row_faults import fault_of
from marking.intake.remarks.sheet_notes import (
    tell_headings,
    tell_hidden,
    tell_number_codes,
    tell_stored_numbers,
    tell_strays,
)

__all__ = [
    "MAX_ALIKE",
    "NOBODYS",
    "Notebook",
    "fault_of",
    "quote",
    "tell_headings",
    "tell_hidden",
    "tell_number_codes",
    "tell_stored_numbers",
    "tell_strays",
]
