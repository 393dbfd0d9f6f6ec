"""Every sentence to a student or a teacher, as data, and the few functions that fill it."""

from reports.wording.explaining import explain, message, told_cause
from reports.wording.sentences import fill, slots_of, wording

__all__ = ["explain", "fill", "message", "slots_of", "told_cause", "wording"]
