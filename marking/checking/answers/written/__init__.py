"""What a class wrote, as arrays, and what printed figures stand for.

In: write-ups. Out: (students, rows) for each item, and which numbers print an answer. Never knows a formula.
"""

from marking.checking.answers.written.board import (
    Board,
    Cells,
    entries_of,
    entry_at,
    lay_out,
    unit_used,
    unplaced_entry,
    unplaced_of,
)
from marking.checking.answers.written.printed_answers import (
    FIGURES_OF_A_DISPLAY,
    FIGURES_WITH_A_UNIT_EITHER_WAY,
    Printed,
    any_of,
    is_direct,
    is_right_as_asked,
    is_right_elsewhere,
    is_rough,
    lies_inside,
    printed,
)
from marking.checking.answers.written.rounding import (
    NO_LIMIT,
    Kept,
    Places,
    kept_interval,
    magnitude,
    nearly,
    overlaps,
    printed_interval,
    rounded_interval,
    step_interval,
    ten_to,
)

__all__ = [
    "FIGURES_OF_A_DISPLAY",
    "FIGURES_WITH_A_UNIT_EITHER_WAY",
    "NO_LIMIT",
    "Board",
    "Cells",
    "Kept",
    "Places",
    "Printed",
    "any_of",
    "entries_of",
    "entry_at",
    "is_direct",
    "is_right_as_asked",
    "is_right_elsewhere",
    "is_rough",
    "kept_interval",
    "lay_out",
    "lies_inside",
    "magnitude",
    "nearly",
    "overlaps",
    "printed",
    "printed_interval",
    "rounded_interval",
    "step_interval",
    "ten_to",
    "unit_used",
    "unplaced_entry",
    "unplaced_of",
]
