"""What a student may have done: every simple explanation of a wrong answer, weighed.

In: the wrong answers of a class. Out: for each the likeliest causes and how sure. Never knows marks.
"""

from marking.checking.causes.certain import CERTAIN, certain_of, certain_slips, denies
from marking.checking.causes.explaining import Explained, Tried, explain
from marking.checking.causes.priors import Priors, learn, load_priors

__all__ = [
    "CERTAIN",
    "Explained",
    "Priors",
    "Tried",
    "certain_of",
    "certain_slips",
    "denies",
    "explain",
    "learn",
    "load_priors",
]
