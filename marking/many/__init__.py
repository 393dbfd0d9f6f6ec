"""Sets too large to hold, marked part by part, and work shared out among several hands. In: files. Out: tables."""

from marking.many.hands import hands
from marking.many.large_run import Call, mark_large
from marking.many.sheets_by_hands import Printing, Setters, setters

__all__ = ["Call", "Printing", "Setters", "hands", "mark_large", "setters"]
