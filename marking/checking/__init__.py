"""A set of write-ups and its rubric in, marks and findings out. Never knows files, pages or decisions of a teacher."""

from marking.checking.marking_set import Scripts, as_marked, mark_set, mark_sets, no_values, scripts_of, still_open
from marking.checking.settling_class import (
    BATCH,
    TOGETHER,
    Counted,
    Counting,
    Settled,
    count,
    is_sampled,
    learned_shares,
    rounds,
)

__all__ = [
    "BATCH",
    "TOGETHER",
    "Counted",
    "Counting",
    "Scripts",
    "Settled",
    "as_marked",
    "count",
    "is_sampled",
    "learned_shares",
    "mark_set",
    "mark_sets",
    "no_values",
    "rounds",
    "scripts_of",
    "still_open",
]
