"""Whether a chain of steps that a student would do prints an answer.

In: what the class wrote, and each answer as it has been judged. Out: which answers are reached, and which lie near.
"""

from marking.checking.answers.chains.column_habits import far_in_a_plain_column, not_theirs
from marking.checking.answers.chains.named_slips import named_slips_behind, used_once_on_means
from marking.checking.answers.chains.reaching import Chains, Reached

__all__ = ["Chains", "Reached", "far_in_a_plain_column", "named_slips_behind", "not_theirs", "used_once_on_means"]
