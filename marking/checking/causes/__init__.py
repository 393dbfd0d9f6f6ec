"""What a student may have done: every simple explanation of a wrong answer, weighed."""

from marking.checking.causes.explaining import Explained, explain
from marking.checking.causes.priors import Priors, learn, load_priors

__all__ = ["Explained", "Priors", "explain", "learn", "load_priors"]
