"""The sets that are open at the desk, kept up with the record. Knows no page."""

from marking.desk.shelf.held_set import HeldSet
from marking.desk.shelf.open_sets import Shelf
from marking.desk.shelf.part_of_shelf import PartOfShelf, SetsAtHand
from marking.desk.shelf.reading_stages import KnownSet, Refusal, Stage

__all__ = ["HeldSet", "KnownSet", "PartOfShelf", "Refusal", "SetsAtHand", "Shelf", "Stage"]
