"""Two versions of a write-up, two editions of a rubric, one criterion marked again: what each changes.

Never decides which is right.
"""

from marking.compared.marked_again import MarkedAgain, marked_again
from marking.compared.marked_versions import mark_all_versions, mark_versions
from marking.compared.rubric_editions import Change, changes
from marking.compared.second_versions import Shift, first_versions, shifts

__all__ = [
    "Change",
    "MarkedAgain",
    "Shift",
    "changes",
    "first_versions",
    "mark_all_versions",
    "mark_versions",
    "marked_again",
    "shifts",
]
