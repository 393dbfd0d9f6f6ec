"""Sets too large to hold, marked part by part; and sheets set by several hands. In: files. Out: a folder's tables."""

from marking.many.large_run import Call, mark_large
from marking.many.sheets_by_hands import Printing, sheets_under_way

__all__ = ["Call", "Printing", "mark_large", "sheets_under_way"]
