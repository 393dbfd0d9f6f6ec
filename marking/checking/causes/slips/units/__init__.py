"""Slips of units: left as recorded, changed wrongly, a prefix or a clock misread. Wrong answers in, hypotheses out."""

from marking.checking.causes.slips.units.misread_slips import clock_slips, prefix_slips
from marking.checking.causes.slips.units.unit_slips import unit_slips
from marking.checking.causes.slips.units.unit_words import size_text

__all__ = ["clock_slips", "prefix_slips", "size_text", "unit_slips"]
