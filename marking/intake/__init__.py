"""From files to write-ups, as they were written. Never knows a mark."""

from marking.intake.read_inputs import Reading, read_all, read_inputs

__all__ = ["Reading", "read_all", "read_inputs"]
