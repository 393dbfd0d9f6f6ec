"""What a student may have done: every simple explanation of a wrong answer, weighed."""

from marking.checking.causes.explaining import explain

__all__ = ["explain"]
