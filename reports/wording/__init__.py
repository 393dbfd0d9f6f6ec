"""Every sentence to a student or a teacher, as data, every printed number, and the functions that fill them."""

from reports.wording.cause_sentences import explain, message, told_cause
from reports.wording.cautions import cautions_told
from reports.wording.finding_slots import places_words
from reports.wording.instrument_words import (
    graph_lines,
    instrument_words,
    is_on_graph,
    item_words,
    other_unit,
    step_words,
    symbol_words,
)
from reports.wording.last_time_words import last_time_lines
from reports.wording.lettering import as_print, cut, one_line
from reports.wording.moderated_totals import class_note, ruling_note, total_note
from reports.wording.points import Point, points_to_mend, standing, what_stands
from reports.wording.result_words import result_sentences
from reports.wording.row_names import rows_named
from reports.wording.sentences import Slots
from reports.wording.templates import fill, wording
from reports.wording.told_again import ToldAgain

__all__ = [
    "Point",
    "Slots",
    "ToldAgain",
    "as_print",
    "cautions_told",
    "class_note",
    "cut",
    "explain",
    "fill",
    "graph_lines",
    "instrument_words",
    "is_on_graph",
    "item_words",
    "last_time_lines",
    "message",
    "one_line",
    "other_unit",
    "places_words",
    "points_to_mend",
    "result_sentences",
    "rows_named",
    "ruling_note",
    "standing",
    "step_words",
    "symbol_words",
    "told_cause",
    "total_note",
    "what_stands",
    "wording",
]
