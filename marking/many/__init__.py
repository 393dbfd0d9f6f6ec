"""Sets too large to hold, marked part by part, and work shared out among several hands. In: files. Out: tables."""

from marking.many.hands import hands
from marking.many.large_run import Call, mark_large
from marking.many.sheets_by_hands import Printing, sheets_under_way

__all__ = ["Call", "Printing", "hands", "mark_large", "sheets_under_way"]
