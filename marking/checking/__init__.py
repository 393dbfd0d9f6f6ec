"""A set of write-ups and its rubric in, marks and findings out. Never knows files, pages or decisions of a teacher."""

from marking.checking.marking_set import mark_set

__all__ = ["mark_set"]
