"""What a student may have done: every simple explanation of a wrong answer, weighed.

In: the wrong answers of a class. Out: for each the likeliest causes and how sure. Never knows marks.
"""

from marking.checking.causes.certain import CERTAIN, certain_of, denies
from marking.checking.causes.explaining import Explained, Tried, count_causes, explain, explain_each
from marking.checking.causes.priors import Priors, learn, load_priors

__all__ = [
    "CERTAIN",
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
