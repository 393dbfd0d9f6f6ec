"""A write-up and its rubric in, findings out; one small file a kind of check."""

from marking.checking.marking_set import mark_set

__all__ = ["mark_set"]
