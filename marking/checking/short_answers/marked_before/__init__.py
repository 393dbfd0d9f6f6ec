"""Answers that were marked before, and how much likelier the words of a new one are among those that earned nothing."""

from marking.checking.short_answers.marked_before.answers import AVOIDED, OTHER, Marked
from marking.checking.short_answers.marked_before.counts import Counts, counts_of
from marking.checking.short_answers.marked_before.kept_counts import marked_before
from marking.checking.short_answers.marked_before.like_marked import weight_against
from marking.checking.short_answers.marked_before.like_said import shares_of

__all__ = ["AVOIDED", "OTHER", "Counts", "Marked", "counts_of", "marked_before", "shares_of", "weight_against"]
