"""One file for each kind of slip: wrong answers in, hypotheses that print them out. Never weighs them."""

from marking.checking.causes.slips.backwards import Match, matches
from marking.checking.causes.slips.column_slips import column_slips
from marking.checking.causes.slips.digit_answers import Meanings, chance_of_one_digit, swapped_answers
from marking.checking.causes.slips.digit_slips import digit_slips
from marking.checking.causes.slips.formula_slips import formula_slips
from marking.checking.causes.slips.line_slips import line_slips
from marking.checking.causes.slips.miscounted_slips import miscounted_slips
from marking.checking.causes.slips.pair_slips import (
    ONE_DIGIT_SHARE,
    Pairs,
    changed_words,
    copied_slips,
    copied_words,
    pair_slips,
    share_copied,
)
from marking.checking.causes.slips.quantity_slips import quantity_slips
from marking.checking.causes.slips.rounding_slips import rounding_slips
from marking.checking.causes.slips.statistic_slips import statistic_slips
from marking.checking.causes.slips.units import clock_slips, prefix_slips, unit_slips

__all__ = [
    "ONE_DIGIT_SHARE",
    "Match",
    "Meanings",
    "Pairs",
    "chance_of_one_digit",
    "changed_words",
    "clock_slips",
    "column_slips",
    "copied_slips",
    "copied_words",
    "digit_slips",
    "formula_slips",
    "line_slips",
    "matches",
    "miscounted_slips",
    "pair_slips",
    "prefix_slips",
    "quantity_slips",
    "rounding_slips",
    "share_copied",
    "statistic_slips",
    "swapped_answers",
    "unit_slips",
]
