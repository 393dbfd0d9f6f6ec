"""One small file for each kind of check, and the registry that names all that looks at an answer.

In: one student and a criterion. Out: lines for and against. Never knows paper.
"""

from marking.checking.checks.choice import find_choice
from marking.checking.checks.registry import Looker, judged_in_ranges

__all__ = ["Looker", "find_choice", "judged_in_ranges"]
