"""A marked class in, notes that only the whole class can show out. Never changes a mark."""

from marking.cohort.assembly import notes_for

__all__ = ["notes_for"]
