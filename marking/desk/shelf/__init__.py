"""The sets that are open at the desk, kept up with the record. Knows no page."""

from marking.desk.shelf.open_sets import HeldSet, Refusal, Shelf
from marking.desk.shelf.part_of_shelf import PartOfShelf, SetsAtHand

__all__ = ["HeldSet", "PartOfShelf", "Refusal", "SetsAtHand", "Shelf"]
