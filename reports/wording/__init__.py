"""Every sentence to a student or a teacher, as data, and the few functions that fill it."""

from reports.wording.explaining import explain, message, told_cause
from reports.wording.sentences import Slots, fill, wording

__all__ = ["Slots", "explain", "fill", "message", "told_cause", "wording"]
