"""The sets that are open at the desk, kept up with the record. Knows no page."""

from marking.desk.shelf.held_set import HeldSet
from marking.desk.shelf.open_sets import Refusal, Shelf, Stage

__all__ = ["HeldSet", "Refusal", "Shelf", "Stage"]
