"""What a right answer may be, and whether each answer is one.

In: the class as arrays, (students, rows) for each item. Out: every answer judged. Never knows why an answer
is wrong, nor what a criterion pays.
"""

from marking.checking.answers.answer_order import constant_values, in_order
from marking.checking.answers.counted import is_counted
from marking.checking.answers.drawn_lines import (
    DrawnLine,
    GradientVerdict,
    Points,
    Proportion,
    ReadOff,
    judge_drawn,
    proportions,
    steepest_and_shallowest,
)
from marking.checking.answers.judged import CAREFUL_FIGURES, Judged, Judgement
from marking.checking.answers.judging import judge
from marking.checking.answers.own_line import is_gradient, own_gradients
from marking.checking.answers.turn_on import judge_turn_ons
from marking.checking.answers.worked import Interval, column_value, evaluate, is_drawn
from marking.checking.answers.written import (
    NO_LIMIT,
    Board,
    Cells,
    Places,
    entries_of,
    entry_at,
    lay_out,
    magnitude,
    nearly,
    overlaps,
    printed_interval,
    rounded_interval,
    ten_to,
    unit_used,
    unplaced_entry,
    unplaced_of,
)

__all__ = [
    "CAREFUL_FIGURES",
    "NO_LIMIT",
    "Board",
    "Cells",
    "DrawnLine",
    "GradientVerdict",
    "Interval",
    "Judged",
    "Judgement",
    "Places",
    "Points",
    "Proportion",
    "ReadOff",
    "column_value",
    "constant_values",
    "entries_of",
    "entry_at",
    "evaluate",
    "in_order",
    "is_counted",
    "is_drawn",
    "is_gradient",
    "judge",
    "judge_drawn",
    "judge_turn_ons",
    "lay_out",
    "magnitude",
    "nearly",
    "overlaps",
    "own_gradients",
    "printed_interval",
    "proportions",
    "rounded_interval",
    "steepest_and_shallowest",
    "ten_to",
    "unit_used",
    "unplaced_entry",
    "unplaced_of",
]
