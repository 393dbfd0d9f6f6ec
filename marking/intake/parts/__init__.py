"""Tidy files of any size, part by part: files in, write-ups of so many students at a time out."""

from marking.intake.parts.large_sets import Asked, LargeSet, large_set, told_unknown
from marking.intake.parts.part_reading import PartRead, Reader, read_part
from marking.intake.parts.part_sources import Part

__all__ = ["Asked", "LargeSet", "Part", "PartRead", "Reader", "large_set", "read_part", "told_unknown"]
