"""One small file for each kind of check, and the registry that names them.

In: one student and a criterion. Out: lines for and against. Never knows paper.
"""

from marking.checking.checks.choice import find_choice
from marking.checking.checks.registry import CHECKS

__all__ = ["CHECKS", "find_choice"]
