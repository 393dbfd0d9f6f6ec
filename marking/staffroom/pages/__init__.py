"""What each page of a shared desk shows, as a record. No address, no form, no template here."""

from marking.staffroom.pages.benches_page import benches_page
from marking.staffroom.pages.pack_pages_shown import pack_row, pack_state, script_page
from marking.staffroom.pages.questions_page import (
    QuestionsPage,
    asking_page,
    question_page,
    question_row,
    seen_of,
    write_ups_of,
)
from marking.staffroom.pages.round_page import round_page, together_page
from marking.staffroom.pages.rounds_page import RoundRow, rounds_page
from marking.staffroom.pages.ruling_page import ruling_page
from marking.staffroom.pages.signatures_page import my_roles, signing_page

__all__ = [
    "QuestionsPage",
    "RoundRow",
    "asking_page",
    "benches_page",
    "my_roles",
    "pack_row",
    "pack_state",
    "question_page",
    "question_row",
    "round_page",
    "rounds_page",
    "ruling_page",
    "script_page",
    "seen_of",
    "signing_page",
    "together_page",
    "write_ups_of",
]
