"""Pages that may have been copied from another bench: a class in, pairs of groups with the chance of luck out.

Readings and answers are looked at together; nothing here knows how it is told.
"""

from marking.cohort.copies.copied import Alike, alike_pages
from marking.cohort.copies.wrong_alike import WrongAlike, wrong_alike

__all__ = ["Alike", "WrongAlike", "alike_pages", "wrong_alike"]
