"""A round of moderation, by files as well as at a desk: made, marked a second time, read, ruled on, told.

Classes and what a moderator asks for go in; a folder, figures, and decisions in the record come out. Never knows a
page or a command line.
"""

from marking.rounds.asked_rulings import asked_adjustment, asked_role, asked_ruling
from marking.rounds.making_rounds import Asked, MadeRound, make_round
from marking.rounds.marks_now import MarksNow, marks_now
from marking.rounds.round_figures import Figures, figures, fit_together
from marking.rounds.round_folders import KEY, PACKS, OpenRound, open_round, write_round
from marking.rounds.round_papers import write_compared, write_final_marks, write_reports
from marking.rounds.second_marking import (
    Marked,
    Slip,
    give_back,
    give_remark,
    give_second_mark,
    hand_in,
    marked_so_far,
    pack_word,
    returned_in,
    second_decisions,
    take_down,
)
from marking.rounds.settled_scheme import next_edition, scheme_text

__all__ = [
    "KEY",
    "PACKS",
    "Asked",
    "Figures",
    "MadeRound",
    "Marked",
    "MarksNow",
    "OpenRound",
    "Slip",
    "asked_adjustment",
    "asked_role",
    "asked_ruling",
    "figures",
    "fit_together",
    "give_back",
    "give_remark",
    "give_second_mark",
    "hand_in",
    "make_round",
    "marked_so_far",
    "marks_now",
    "next_edition",
    "open_round",
    "pack_word",
    "returned_in",
    "scheme_text",
    "second_decisions",
    "take_down",
    "write_compared",
    "write_final_marks",
    "write_reports",
    "write_round",
]
