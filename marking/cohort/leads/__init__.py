"""Readings that deserve a look by the teacher: a class in, leads with the chance of luck out.

Never a finding, never a mark.
"""

from marking.cohort.leads.lead_notes import lead_notes, leads_in

__all__ = ["lead_notes", "leads_in"]
