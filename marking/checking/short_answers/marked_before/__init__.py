"""Answers that were marked before, and how much likelier the words of a new one are among those that earned nothing."""

from marking.checking.short_answers.marked_before.answers import Marked
from marking.checking.short_answers.marked_before.counts import Counts, counts_of, signs_of
from marking.checking.short_answers.marked_before.kept_counts import marked_before
from marking.checking.short_answers.marked_before.like_marked import weight_against

__all__ = ["Counts", "Marked", "counts_of", "marked_before", "signs_of", "weight_against"]
