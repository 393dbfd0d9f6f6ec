"""Two versions of a write-up, or two editions of a rubric: what each changes, mark by mark.

Never decides which is right.
"""

from marking.compared.marked_versions import mark_versions
from marking.compared.rubric_editions import Change, changes
from marking.compared.second_versions import Shift, first_versions, shifts

__all__ = ["Change", "Shift", "changes", "first_versions", "mark_versions", "shifts"]
