"""From the text of a cell to an entry, and whose it is: number, unit, figures, place.

Never knows whether it is right.
"""

from marking.intake.entries.batch import Batch, Gathered
from marking.intake.entries.entry_units import WrittenUnit
from marking.intake.entries.missing_units import settle_units
from marking.intake.entries.piles import SINGLE, Sheaf
from marking.intake.entries.plain_cells import as_cell, read_cell
from marking.intake.entries.read_entry import read_entry
from marking.intake.entries.settling import settle, settle_part
from marking.intake.entries.shifted_rows import Standing, is_shifted_left
from marking.intake.entries.typed_ticks import PREFIX, WHY, marks_of, tick_heading, waiting_criteria

__all__ = [
    "PREFIX",
    "SINGLE",
    "WHY",
    "Batch",
    "Gathered",
    "Sheaf",
    "Standing",
    "WrittenUnit",
    "as_cell",
    "is_shifted_left",
    "marks_of",
    "read_cell",
    "read_entry",
    "settle",
    "settle_part",
    "settle_units",
    "tick_heading",
    "waiting_criteria",
]
