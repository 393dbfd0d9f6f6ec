"""What this program wrote itself, met again: passed over as students' work, and read for what a teacher typed in it.

A file, or a folder of results, goes in; whether it is ours, and marks with the cells they were typed in, come out.
Never knows a rule of marking.
"""

from marking.intake.ours.known_outputs import MARKS_FILE, is_our_table, is_our_workbook, is_results_folder
from marking.intake.ours.typed_joined import joined
from marking.intake.ours.typed_marks import TypedMarks, read_typed_marks

__all__ = [
    "MARKS_FILE",
    "TypedMarks",
    "is_our_table",
    "is_our_workbook",
    "is_results_folder",
    "joined",
    "read_typed_marks",
]
