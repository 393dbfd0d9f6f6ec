"""Codes, rosters and mark codes: who belongs to the class, and what befell their work."""

from marking.intake.people.people import (
    ABSENT_WORDS,
    CodeBook,
    Roster,
    RosterIndex,
    absent_in,
    code_key,
    code_of,
    codes_in_one,
    is_no_code,
    is_of_the_class,
    says_absent,
    unlike_the_others,
)
from marking.intake.people.rosters import ROSTER_FILE, join_rosters, read_roster, says_graph_is_marked
from marking.intake.people.typed_codes import MARK_CODES, codes_told

__all__ = [
    "ABSENT_WORDS",
    "MARK_CODES",
    "ROSTER_FILE",
    "CodeBook",
    "Roster",
    "RosterIndex",
    "absent_in",
    "code_key",
    "code_of",
    "codes_in_one",
    "codes_told",
    "is_no_code",
    "is_of_the_class",
    "join_rosters",
    "read_roster",
    "says_absent",
    "says_graph_is_marked",
    "unlike_the_others",
]
