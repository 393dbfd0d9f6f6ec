"""Every sentence to a student or a teacher, as data, and the few functions that fill it."""

from reports.wording.sentences import explain, fill, message, slots_of, told_cause, wording

__all__ = ["explain", "fill", "message", "slots_of", "told_cause", "wording"]
