"""From files to write-ups, as they were written. Never knows a mark."""

from marking.intake.read_inputs import read_inputs

__all__ = ["read_inputs"]
