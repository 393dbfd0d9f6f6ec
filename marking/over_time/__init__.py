"""What the record tells of a class from practical to practical. Marked sets and decisions in, no page, no sentence."""

from marking.over_time.class_rows import ClassRow, class_rows, slip_counts, works_by_class
from marking.over_time.histories import Practical, histories, with_live
from marking.over_time.last_time import LastTime, last_times
from marking.over_time.since import came_back, mended, with_history
from marking.over_time.strands import Strand, strands

__all__ = [
    "ClassRow",
    "LastTime",
    "Practical",
    "Strand",
    "came_back",
    "class_rows",
    "histories",
    "last_times",
    "mended",
    "slip_counts",
    "strands",
    "with_history",
    "with_live",
    "works_by_class",
]
