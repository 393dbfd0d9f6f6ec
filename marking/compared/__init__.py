"""Two versions of a write-up, or two editions of a rubric: what each changes, mark by mark.

Never decides which is right.
"""

from marking.compared.rubric_editions import Change, changes
from marking.compared.second_versions import Shift, completed, first_versions, shifts, with_second_versions

__all__ = ["Change", "Shift", "changes", "completed", "first_versions", "shifts", "with_second_versions"]
