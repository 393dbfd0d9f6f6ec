"""What each page shows, as a record, worked out from the set as it stands. No address, no form, no template here."""

from marking.desk.pages.cells_page import cells_page
from marking.desk.pages.class_page import benches_page, class_page, leads_page
from marking.desk.pages.close_page import close_page
from marking.desk.pages.decide_page import Refused, Undo, about_mark, decide_page, past
from marking.desk.pages.department_page import department_page
from marking.desk.pages.evening_page import evening_page
from marking.desk.pages.evidence import evidence_for
from marking.desk.pages.feedback_page import feedback_page
from marking.desk.pages.over_time_page import over_time_page
from marking.desk.pages.script_page import Written, script_page, written
from marking.desk.pages.sets_page import sets_page
from marking.desk.pages.waiting import BY_CRITERION, BY_SCRIPT, Spot, following, mark_at, waiting, whose
from marking.desk.pages.words_page import WordsRefused, cells_of, given, key_of, spoken_at, words_page

__all__ = [
    "BY_CRITERION",
    "BY_SCRIPT",
    "Refused",
    "Spot",
    "Undo",
    "WordsRefused",
    "Written",
    "about_mark",
    "benches_page",
    "cells_of",
    "cells_page",
    "class_page",
    "close_page",
    "decide_page",
    "department_page",
    "evening_page",
    "evidence_for",
    "feedback_page",
    "following",
    "given",
    "key_of",
    "leads_page",
    "mark_at",
    "over_time_page",
    "past",
    "script_page",
    "sets_page",
    "spoken_at",
    "waiting",
    "whose",
    "words_page",
    "written",
]
