"""Every sentence to a student or a teacher, as data, every printed number, and the functions that fill them."""

from reports.wording.cause_sentences import message
from reports.wording.cautions import cautions_told
from reports.wording.instrument_words import instrument_words, item_words, other_unit, step_words, symbol_words
from reports.wording.lettering import cut, one_line
from reports.wording.points import Point, also_check, points_to_mend, what_stands
from reports.wording.printed_numbers import listed, printed
from reports.wording.result_words import result_sentences
from reports.wording.sentences import Slots, fill, wording
from reports.wording.tasks import Task, starter, task_about, task_for

__all__ = [
    "Point",
    "Slots",
    "Task",
    "also_check",
    "cautions_told",
    "cut",
    "fill",
    "instrument_words",
    "item_words",
    "listed",
    "message",
    "one_line",
    "other_unit",
    "points_to_mend",
    "printed",
    "result_sentences",
    "starter",
    "step_words",
    "symbol_words",
    "task_about",
    "task_for",
    "what_stands",
    "wording",
]
