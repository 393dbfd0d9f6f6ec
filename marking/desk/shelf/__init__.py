"""The sets that are open at the desk, kept up with the record. Knows no page."""

from marking.desk.shelf.open_sets import HeldSet, Refusal, Shelf

__all__ = ["HeldSet", "Refusal", "Shelf"]
