"""What a wrong answer is to those who explain it: its printed digits, the inputs it had, a hypothesis about it."""

from marking.checking.causes.wrong.formula_inputs import formula_inputs, gradient_of_points
from marking.checking.causes.wrong.hand_drawn import drawn_chance
from marking.checking.causes.wrong.held_numbers import Carried
from marking.checking.causes.wrong.hypothesis import Description, Hypothesis, Values, count_steps, tree_names
from marking.checking.causes.wrong.later_answers import later_answers
from marking.checking.causes.wrong.led_back import used_instead
from marking.checking.causes.wrong.line_by_line import WAYS_TO_KEEP, kept
from marking.checking.causes.wrong.printed_digits import (
    ANSWER_SHARE,
    MISREAD,
    MOST_DIGITS,
    Digits,
    as_digits,
    as_text,
    leaves_idle_zero,
    meant_text,
    swap,
)
from marking.checking.causes.wrong.slips_tried import Agrees, Slips, Words, stacked, summed, tried
from marking.checking.causes.wrong.wrong_answers import WrongAnswers, gather

__all__ = [
    "ANSWER_SHARE",
    "MISREAD",
    "MOST_DIGITS",
    "WAYS_TO_KEEP",
    "Agrees",
    "Carried",
    "Description",
    "Digits",
    "Hypothesis",
    "Slips",
    "Values",
    "Words",
    "WrongAnswers",
    "as_digits",
    "as_text",
    "count_steps",
    "drawn_chance",
    "formula_inputs",
    "gather",
    "gradient_of_points",
    "kept",
    "later_answers",
    "leaves_idle_zero",
    "meant_text",
    "stacked",
    "summed",
    "swap",
    "tree_names",
    "tried",
    "used_instead",
]
