"""A marked class in, notes that only the whole class can show out. Never changes a mark."""

from marking.cohort.assembly import notes_for
from marking.cohort.leads import leads_in

__all__ = ["leads_in", "notes_for"]
