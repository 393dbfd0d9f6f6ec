"""A set of write-ups and its rubric in, marks and findings out. Never knows files, pages or decisions of a teacher."""

from marking.checking.marking_set import Scripts, as_marked, mark_set, mark_sets, no_values, scripts_of, still_open
from marking.checking.settling_class import (
    BATCH,
    SAMPLE,
    TOGETHER,
    Counted,
    Counting,
    Settled,
    count,
    learned_shares,
    rounds,
)

__all__ = [
    "BATCH",
    "SAMPLE",
    "TOGETHER",
    "Counted",
    "Counting",
    "Scripts",
    "Settled",
    "as_marked",
    "count",
    "learned_shares",
    "mark_set",
    "mark_sets",
    "no_values",
    "rounds",
    "scripts_of",
    "still_open",
]
