"""What a student may have done: every simple explanation of a wrong answer, weighed.

In: the wrong answers of a class. Out: for each the likeliest causes and how sure. Never knows marks.
"""

from marking.checking.causes.certain import CERTAIN, NEVER_CERTAIN, certain_of, denies
from marking.checking.causes.explaining import Asked, Explained, Tried, count_causes, explain, explain_each
from marking.checking.causes.priors import Priors, learn, load_priors

__all__ = [
    "CERTAIN",
    "NEVER_CERTAIN",
    "Asked",
    "Explained",
    "Priors",
    "Tried",
    "certain_of",
    "count_causes",
    "denies",
    "explain",
    "explain_each",
    "learn",
    "load_priors",
]
