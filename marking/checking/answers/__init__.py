"""What a right answer may be, and whether each answer is one.

In: the class as arrays, (students, rows) for each item. Out: every answer judged. Never knows why an answer
is wrong, nor what a criterion pays.
"""

from marking.checking.answers.answer_order import constant_values, in_order
from marking.checking.answers.board import Board, Cells, entries_of, entry_at, lay_out, unit_used
from marking.checking.answers.careful import Interval, is_drawn
from marking.checking.answers.drawn_lines import (
    DrawnLine,
    GradientVerdict,
    Proportion,
    ReadOff,
    judge_drawn,
    proportions,
    steepest_and_shallowest,
)
from marking.checking.answers.evaluation import column_value, evaluate, operate
from marking.checking.answers.judged import CAREFUL_FIGURES, NO_LIMIT, Judged, Judgement
from marking.checking.answers.judging import judge
from marking.checking.answers.rounding import Places, magnitude, overlaps, printed_interval, rounded_interval, ten_to
from marking.checking.answers.turn_on import judge_turn_ons

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
    "Proportion",
    "ReadOff",
    "column_value",
    "constant_values",
    "entries_of",
    "entry_at",
    "evaluate",
    "in_order",
    "is_drawn",
    "judge",
    "judge_drawn",
    "judge_turn_ons",
    "lay_out",
    "magnitude",
    "operate",
    "overlaps",
    "printed_interval",
    "proportions",
    "rounded_interval",
    "steepest_and_shallowest",
    "ten_to",
    "unit_used",
]
