"""Sets too large to hold, marked part by part. In: files. Out: tables."""

from marking.many.large_run import Call, mark_large

__all__ = ["Call", "mark_large"]
