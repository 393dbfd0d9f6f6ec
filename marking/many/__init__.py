"""Sets too large to hold, marked part by part: files in, tables of a folder out. Never knows a page."""

from marking.many.large_run import Call, mark_large

__all__ = ["Call", "mark_large"]
